// The shapes the API speaks (services/console/shapes.go). Instants are RFC 3339,
// dates YYYY-MM-DD, durations seconds (_s) or minutes, lengths metres (_m),
// money US dollars (_usd).

import type { Criteria, Reading } from "./verdict";

export type Instant = string;
export type CalendarDate = string;
export interface Position { lat: number; lon: number }
export interface Span { open: Instant; close: Instant }

export interface Crew { id: string; name: string; letter: string; people: string[] | null; home: Position | null; off?: string }
export interface Purveyor { id: string; name: string; rules: string }

export interface Office {
  office: string;
  name: string;
  zone: string;
  now: Instant;
  today: CalendarDate;
  tomorrow: CalendarDate;
  notice?: string;
  crews: Crew[];
  purveyors: Purveyor[];
}

// ---- a day, as planned or sent out -----------------------------------------

export interface Site {
  id: string;
  name: string;
  address?: string;
  use?: string;
  zone: string;
  position: Position | null;
  position_source?: string;
  neighbourhood?: string;
}

export interface Deadline { known: boolean; at?: Instant; on?: CalendarDate; rule: string }

export interface Job {
  assembly: string;
  job: string;
  work?: string;
  type: string;
  type_name: string;
  size?: string;
  service?: string;
  hazard?: string;
  place?: string;
  serial?: string;
  purveyor: string;
  stage: string;
  due?: CalendarDate;
  retest_by?: Deadline;
  days_left?: number;
  minutes: number;
}

export interface WaterOff { feed: string; name: string; fire?: boolean; from: Instant; to: Instant; windows: Span[] | null }

export interface Visit {
  key: string;
  feed?: string;
  order: number;
  site: Site;
  arrive: Instant;
  leave: Instant;
  drive_s: number;
  drive_m: number;
  wait_s: number;
  slack_s: number;
  little_slack: boolean;
  jobs: Job[];
  access: Span[] | null;
  water_off: WaterOff[] | null;
  hold: boolean;
  notes?: string[];
  state?: string;
}

export interface Route {
  crew: Crew;
  start: Instant;
  end: Instant;
  hours: Span[] | null;
  drive_s: number;
  drive_m: number;
  home_drive_s: number;
  home_drive_m: number;
  overtime_s: number;
  visits: Visit[] | null;
}

export interface LeftOut {
  key: string;
  feed?: string;
  site: Site;
  jobs: Job[];
  minutes: number;
  reason: string;
  change?: string;
  days_left?: number;
  wished: boolean;
}

export interface RuleRefusal { rule: string; words: string; crew?: string; site?: string; job?: string }

export interface Progress {
  date: CalendarDate;
  step: "collecting" | "solving" | "explaining" | "checking" | "done";
  seconds: number;
  budget_seconds: number;
  cost: { seconds: number; usd: number }[] | null;
  visits_planned: number;
}

export interface Wish { site: string; feed?: string; name: string; hold?: boolean; crew?: string; place?: number; out?: boolean; why?: string }

export interface Day {
  date: CalendarDate;
  zone: string;
  status: "empty" | "planning" | "proposed" | "sent-out";
  headline: string;
  position: number;
  stale?: string;
  digest?: string;
  sent_at?: Instant;
  amend?: RuleRefusal[];
  refusals?: RuleRefusal[];
  settings: string[] | null;
  costs: { name: string; usd: number }[] | null;
  total_usd: number;
  routes: Route[] | null;
  left_out: LeftOut[] | null;
  progress?: Progress;
  crews: Crew[] | null;
  jobs: { planned: number; left_out: number; done: number };
  wishes?: Wish[];
}

export interface WishRequest { site: string; feed?: string; hold?: boolean; crew?: string; place?: number; out?: boolean; why?: string; drop?: boolean }

// ---- the crew's day ---------------------------------------------------------

export interface Component { part: "main" | "bypass"; component: string; name: string }

export interface Feed {
  id: string;
  name: string;
  fire?: boolean;
  valves: string[] | null;
  dry_since?: Instant;
  as_left?: string;
  other?: string;
}

export interface Work extends Job {
  components: Component[] | null;
  profile: string;
  maker?: string;
  model?: string;
  bypass?: string;
  feed: string;
  failure?: string;
  yes_to_repair?: string;
  kits?: string[];
  kit_codes?: string[];
  outcome?: string;
}

export interface Stop extends Visit {
  access_words?: string;
  cautions: string[] | null;
  contacts: { role: string; name: string; phone?: string }[] | null;
  bring: string[] | null;
  feeds: Feed[] | null;
  work: Work[] | null;
  here_since?: Instant;
  /** Set on the phone when the crew has tapped that it leaves. */
  left_at?: Instant;
}

export interface CrewDay {
  crew: Crew;
  date: CalendarDate;
  zone: string;
  status: "not-sent" | "sent-out" | "taken-back";
  sent_at?: Instant;
  start?: Instant;
  end?: Instant;
  position: number;
  now: Instant;
  people: { id: string; name: string }[] | null;
  gauges: { id: string; serial: string; certified_until: CalendarDate; valid: boolean; words?: string }[] | null;
  bring: string[] | null;
  stops: Stop[] | null;
  criteria: Criteria;
  could_not_reasons: string[] | null;
  types: { type: string; name: string; components: Component[] | null }[] | null;
  procedures: string[] | null;
}

export type Outcome =
  | "passed" | "failed" | "repaired-and-passed" | "could-not-test" | "not-found" | "removed" | "replaced"
  | "wrong-type" | "no-access" | "owner-refused" | "ran-out-of-window";

export interface Test {
  gauge: string;
  tester: string;
  procedure: string;
  at: Instant;
  line_pressure?: string;
  line_pressure_unit?: string;
  shut_off_1?: string;
  shut_off_2?: string;
  no_flow_proved?: boolean;
  readings: Reading[];
  says: "pass" | "fail" | "not-completed" | "";
  profile?: string;
}

export interface PartWanted { code: string; part?: string; component?: string; promised?: CalendarDate; item?: string; where?: string }

export interface Condition {
  service: "in-service" | "impaired" | "shut";
  valves: { name: string; state: "open" | "shut" | "partly" }[];
  told?: string[];
  on_test_until?: Instant;
  decides?: string;
  restores?: string;
  words?: string;
}

export type FieldKind = "arrive" | "leave" | "no-access" | "shut-off" | "restore" | "leave-feed" | "finish-job";

export interface FieldRequest {
  command_id: string;
  actor?: string;
  happened: Instant;
  clock_offset_ms?: number;
  kind: FieldKind;
  crew: string;
  day: CalendarDate;
  site?: string;
  feed?: string;
  jobs?: { assembly: string; job: string }[];
  condition?: Condition;
  assembly?: string;
  job?: string;
  outcome?: Outcome;
  initial?: Test;
  repair?: { job: string; cleaned?: boolean; fitted?: PartWanted[]; words?: string };
  final?: Test;
  why?: string;
  words?: string;
  parts?: PartWanted[];
  new?: { job: string; on: CalendarDate; old_serial?: string; serial: string; maker?: string; model?: string; type: string };
  seen?: string;
}

export interface Receipt { position: number; repeated: boolean; alarms?: string[]; now: Instant }

// ---- the desk ---------------------------------------------------------------

export interface DeskRequest {
  kind: "yes-to-repair" | "want-parts" | "ready-parts" | "clear-way" | "restore-feed";
  assembly?: string;
  job?: string;
  feed?: string;
  date?: CalendarDate;
  basis?: string;
  limit_usd?: number;
  parts?: PartWanted[];
  where?: string;
  words?: string;
}

export type WaitsFor = "parts" | "access" | "slot" | "owner" | "way" | "purveyor";

export interface BacklogRow extends Job {
  site: Site;
  waits_for: WaitsFor;
  waits_words: string;
  failed_on?: CalendarDate;
  words?: string;
  phone_by?: Deadline;
  parts?: PartWanted[];
  yes_to_repair?: string;
  planned?: { date: CalendarDate; crew: string; sent_out: boolean; before_deadline: boolean };
  as_left?: string;
}

export interface Backlog {
  now: Instant;
  headline: string;
  rows: BacklogRow[] | null;
  others: BacklogRow[] | null;
  counts: Record<string, number>;
}

export interface History {
  job: Job;
  site: Site;
  entries: { position: number; happened: Instant; recorded: Instant; who: string; name: string; words: string; alarm?: boolean; void?: boolean }[] | null;
}

export interface LeftOffRow {
  feed: string;
  name: string;
  fire: boolean;
  site: Site;
  service: string;
  dry_now: boolean;
  valves: { name: string; state: string }[] | null;
  since: Instant;
  by?: string;
  told?: string[];
  on_test_until?: Instant;
  decides?: string;
  restores?: string;
  words?: string;
}

export interface LeftOff { now: Instant; rows: LeftOffRow[] | null }

// ---- due lists --------------------------------------------------------------

export interface Fault { file?: string; sheet?: string; row: number; col?: number; column?: string; value?: string; problem: string; what_to_do?: string; question?: boolean }

export interface DueList {
  id: string;
  file: string;
  sheet?: string;
  purveyor: string;
  as_of: CalendarDate;
  date_order?: "" | "month-first" | "day-first";
  columns: { index: number; header: string; field?: string; sure?: string; why?: string; samples?: string[] }[] | null;
  fields: { key: string; name: string }[] | null;
  mapping_saved: boolean;
  questions?: { key: string; text: string; columns?: number[]; choices?: string[] }[];
  counts: Record<string, number>;
  rows: { row: number; action: string; words: string; assembly?: string; number?: string; address?: string; due?: CalendarDate; differs?: string[] }[] | null;
  rejected: Fault[] | null;
  warnings: Fault[] | null;
  skipped: Fault[] | null;
  missing: string[] | null;
  taken: boolean;
}
