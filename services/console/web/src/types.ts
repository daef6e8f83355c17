// The shapes the API speaks, as these pages use them. Instants are RFC 3339
// with an offset, dates YYYY-MM-DD, durations minutes (_min), distances
// kilometres (_km).

export type Instant = string;
export type CalendarDate = string;
export interface Position { lat: number; lon: number }
export interface Span { from: Instant; to: Instant }

export interface Office {
  name: string;
  zone: string;
  today: CalendarDate;
  tomorrow: CalendarDate;
  demo: boolean;
  crews: CrewName[];
  purveyors: { id: string; name: string }[];
}

export interface CrewName { id: string; letter: string; name: string }

export interface VisitJob {
  assembly: string;
  label: string;
  task: "test" | "retest" | "repair" | "inspect";
  type: string;
  size_in: number;
  deadline: CalendarDate | null;
  days_left: number | null;
}

export interface Visit {
  id: string;
  n: number;
  site: string;
  address: string;
  position: Position | null;
  jobs: VisitJob[];
  arrive: Instant;
  start: Instant;
  leave: Instant;
  drive_min: number;
  drive_km: number;
  water_off: { feed: string; from: Instant; to: Instant }[];
  windows: Span[];
  slack_min: number | null;
  little_slack: boolean;
  held: boolean;
  sent_out: boolean;
  note: string;
}

export interface Route extends CrewName {
  start: Instant;
  end: Instant;
  home: Position;
  drive_min: number;
  drive_km: number;
  visits: Visit[];
}

export interface LeftOut {
  id: string;
  site: string;
  what: string;
  minutes: number;
  position: Position | null;
  days_left: number | null;
  reason: string;
  would_fit: string;
  phone: string;
}

export interface Day {
  date: CalendarDate;
  zone: string;
  state: "none" | "proposed" | "sent-out";
  sent_out_at: Instant | null;
  position: number;
  summary: {
    jobs_planned: number;
    jobs_total: number;
    routes: number;
    drive_min: number;
    deadlines_open: number;
    little_slack: number;
  };
  planning: boolean;
  amend: string[];
  crews: Route[];
  left_out: LeftOut[];
}

export interface Progress { elapsed_s: number; best_cost: number; left_out: number }
