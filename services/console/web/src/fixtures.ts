// An invented county for the storybook and the unit tests.

import type { Item } from "./outbox";
import type { Backlog, BacklogRow, Component, Crew, CrewDay, Day, DueList, FireCall, History, LeftOff, LeftOut, Office, Position, Route, Stop, Visit, Work } from "./types";
import type { Criteria, Place } from "./verdict";
import { addDays } from "./time";

export const today = "2026-03-02";
export const tomorrow = addDays(today, 1);
export const zone = "America/Chicago";

const names = ["Ash & Bo", "Cade", "Dara", "Ewan & Fay", "Gil", "Hana", "Ike & Jo", "Kit"];
const streets = ["Harrow Lane", "Quarry Road", "Mill Street", "Orchard Way", "Depot Street", "College Avenue", "Ferry Road", "Kiln Court", "Tannery Row"];
const kinds = ["Bakery", "Clinic", "School", "Apartments", "Cannery", "Library", "Car wash", "Hotel", "Laundry"];
const areas = ["Kiln Hill", "Ferry End", "Old Orchard"];

export const crews: Crew[] = names.map((name, i) => ({ id: `crew${i + 1}`, letter: String.fromCharCode(65 + i), name, people: name.split(" & "), home: { lat: 41.05, lon: -93.02 } }));

export const office: Office = {
  office: "north", name: "North office", zone, now: "2026-03-02T20:04:00Z", today, tomorrow,
  notice: "Demo: nobody signs in, so this server answers only on this machine.",
  crews,
  purveyors: [
    { id: "harrow", name: "Harrow Valley Water", rules: "retest within 14 days of the failed test" },
    { id: "eastfork", name: "East Fork District", rules: "retest within 10 business days" },
  ],
};

/** An instant of tomorrow, so many minutes after midnight in Chicago (UTC−6 in early March). */
const at = (minutes: number) => new Date(Date.parse(`${tomorrow}T06:00:00Z`) + minutes * 60_000).toISOString();

export const site = (name: string, position: { lat: number; lon: number } | null, area = areas[0]!) =>
  ({ id: name.toLowerCase().replaceAll(" ", "-"), name, address: name.split(" ").slice(1).join(" "), zone, position: position as Position, neighbourhood: area });

function visit(crew: number, n: number, start: number): Visit {
  const seed = crew * 7 + n;
  const long = 30 + (seed % 4) * 15;
  const off = 12 + (seed % 3) * 9;
  const little = seed % 7 === 3;
  return {
    key: `v${crew}-${n}`, order: n,
    site: site(
      `${kinds[seed % kinds.length]} ${(seed % 40) + 3} ${streets[(seed * 3) % streets.length]}`,
      { lat: 41 + 0.05 * Math.sin(crew + n * 0.6) + 0.02 * crew, lon: -93 + 0.08 * Math.cos(crew * 1.3 + n * 0.7) }, areas[crew % 3],
    ),
    jobs: [{
      assembly: `a${crew}-${n}`, job: "j1", kind: "annual test", work: seed % 6 === 0 ? "repair and retest" : "test", type: seed % 2 ? "RP" : "DC", type_name: seed % 2 ? "reduced pressure" : "double check",
      size: "1-1/2 in", place: seed % 2 ? "boiler room" : "meter pit", purveyor: "Harrow Valley Water", stage: "due", due: addDays(tomorrow, seed % 12), days_left: seed % 12, minutes: long,
    }],
    arrive: at(start - (seed % 2) * 5), wait_s: (seed % 2) * 300, leave: at(start + long),
    drive_s: 840, drive_m: 3000 + (seed % 9) * 1300,
    access: [], slack_s: little ? 240 : 3000, little_slack: little,
    water_off: seed % 5 === 4 ? [] : [{ feed: "f1", name: "main feed", from: at(start + 8), to: at(start + 8 + off), windows: [{ open: at(start - 20), close: at(start + 8 + off + (little ? 4 : 50)) }] }],
    hold: seed % 9 === 2, notes: seed % 8 === 5 ? ["test only: the window holds no full repair"] : [],
  };
}

function route(i: number): Route {
  const visits: Visit[] = [];
  let start = 5 * 60 + 30 + i * 11;
  for (let n = 1; n <= 8; n++) {
    visits.push(visit(i, n, start));
    start += 72 + ((i + n) % 3) * 12;
  }
  return { crew: crews[i]!, start: at(5 * 60 + i * 11), end: at(start), hours: [], drive_s: 6720, drive_m: 64000, home_drive_s: 900, home_drive_m: 6100, overtime_s: i === 3 ? 1500 : 0, visits };
}

const job = (work: string, type: string, size: string, minutes: number) =>
  ({ assembly: "x", job: "j", kind: "annual test", work, type, type_name: type, size, purveyor: "Harrow Valley Water", stage: "due", minutes });

const leftOut: LeftOut[] = [
  { key: "l1", site: site("Hospital 4 Ferry Road", { lat: 41.1, lon: -92.95 }), jobs: [job("test", "RP", "4 in", 75)], minutes: 75, days_left: 2, reason: "The other leg of the manifold was left shut on Monday.", change: "restore the east leg", wished: false, rule: "window", plannable: true },
  { key: "l2", site: site("Cannery 11 Kiln Court", { lat: 41.0, lon: -93.05 }), jobs: [job("repair and retest", "RPDA", "6 in", 190)], minutes: 190, days_left: -1, reason: "No shutdown window of 2 h 40 before Friday; the longest is 2 h.", change: "a window of 40 min more, any day this week", wished: false, rule: "window", plannable: true },
  { key: "l3", site: site("Park 2 Orchard Way", null), jobs: [job("test", "PVB", "1 in", 20)], minutes: 20, reason: "Left out by the dispatcher: owner away.", wished: true, rule: "wish", plannable: true },
];

export const day: Day = {
  date: tomorrow, zone, status: "proposed", position: 4711, digest: "d1",
  headline: "74 of 81 jobs on 8 routes, 6 h 10 driving, 3 deadlines this week still open, 2 visits with little slack.",
  settings: ["Travel: straight line × 1.3 at 38 km/h in town."], costs: [{ name: "hours", usd: 3120 }, { name: "travel", usd: 610 }, { name: "overtime", usd: 40 }], total_usd: 3770,
  routes: names.map((_, i) => route(i)), left_out: leftOut, crews, jobs: { planned: 74, left_out: 7, done: 0 },
};

export const dayEmpty: Day = { ...day, status: "empty", headline: "", routes: [], left_out: [] };
export const dayPlanning: Day = {
  ...dayEmpty, status: "planning",
  progress: { date: tomorrow, step: "solving", seconds: 25, budget_seconds: 40, visits_planned: 71, cost: [9800, 7400, 6100, 6050, 5820, 5790].map((usd, i) => ({ seconds: i * i, usd })) },
};
export const daySent: Day = {
  ...day, status: "sent-out", sent_at: "2026-03-02T21:04:00Z",
  routes: day.routes!.map((r) => ({ ...r, visits: r.visits!.map((v, i) => (i === 0 ? { ...v, state: "at the site since 07:02" } : { ...v, ahead: true, ...(i === 1 && { state: "expected about 08:10, 12 min late" }) })) })),
};
export const dayAmended: Day = { ...daySent, amend: [{ rule: "gauge", words: "Crew C's gauge was dropped at 16:20 and is out until verified; 9 tests on its route need another." }] };
export const dayStale: Day = { ...day, stale: "Two jobs came due since this was planned. Plan again to take them in." };

export const refusals = [
  "Visit 3 of crew B: the water at Clinic 12 Mill Street would be off until 09:12, and may be off only until 09:00.",
  "Crew B has no one registered with East Fork District on 3 March.",
];

// ---- the crew's day -----------------------------------------------------------

const places = {
  DC: [{ part: "main", component: "check-1", family: "DC" }, { part: "main", component: "check-2", family: "DC" }],
  RP: [{ part: "main", component: "relief", family: "RP" }, { part: "main", component: "check-1", family: "RP" }, { part: "main", component: "check-2", family: "RP" }],
} satisfies Record<string, Place[]>;

/** A cut of the criteria, enough to draw with; the whole is testdata/criteria/profiles.json. */
export const criteria: Criteria = {
  default: "strictest",
  types: { DC: places.DC, RP: places.RP, DCDA: [...places.DC, ...places.DC.map((p) => ({ ...p, part: "bypass" as const }))] },
  profiles: [{
    id: "usc-10", name: "USC Foundation manual, 10th edition",
    criteria: [
      { family: "RP", component: "relief", relation: "at-least", limit: { psid: "2.0", kPa: "13.8" }, text: "at least 2.0 psid (13.8 kPa)", source: "USC Foundation manual, 10th ed., by a summary of its changes", mark: "from memory" },
      { family: "RP", component: "check-1", relation: "at-least", limit: { psid: "5.0", kPa: "34.5" }, text: "at least 5.0 psid (34.5 kPa)", source: "USC Foundation manual, 10th ed., by a summary of its changes", mark: "checked" },
      { family: "RP", component: "check-2", relation: "result", want: "held", text: "held against backpressure", source: "USC Foundation manual, 10th ed., by a summary of its changes", mark: "checked" },
      ...["check-1", "check-2"].map((component) => ({ family: "DC", component, relation: "at-least" as const, limit: { psid: "1.0", kPa: "6.9" }, text: "at least 1.0 psid (6.9 kPa)", source: "USC Foundation manual, 10th ed., by a summary of its changes", mark: "from memory" })),
    ],
  }],
};

const named = (type: string): Component[] =>
  (criteria.types[type] ?? []).map(({ part, component }) => ({ part, component, name: component.replace("-", " ") }));

function work(visit: Visit, type: string, extra: Partial<Work> = {}): Work {
  const job = visit.jobs![0]!;
  return { ...job, type, job: `${visit.key}-${type}`, components: named(type), profile: "usc-10", feed: "f1", maker: "Maker One", model: "M2", serial: "0047113", kit_codes: ["K-100-rubber", "K-100-check"], ...extra };
}

function stop(visit: Visit, extra: Partial<Stop> = {}): Stop {
  return {
    ...visit, cautions: [], lacks: [], contacts: [{ role: "lets in", name: "Ms Ord", phone: "555-0130" }], bring: [], access_words: "Report at the desk; the riser room is behind the laundry.",
    feeds: [{ id: "f1", name: "main feed", valves: ["No. 1 shut-off", "No. 2 shut-off"] }], work: [work(visit, visit.jobs![0]!.type)], ...extra,
  };
}

function calls(told_at: string | undefined): FireCall[] {
  return [
    { role: "impairment coordinator", before: "Ask for the yes to shut the line, and say for how long.", after: "Say that it is restored; have the time signed.", contacts: [{ role: "may order shut-off", name: "Ms Ord", phone: "555-0130" }], told_at },
    { role: "alarm company", before: "Put the monitoring on test; agree until when.", after: "Take it off test; ask whether the signals came in.", on_test: true, contacts: [], told_at },
  ];
}

const stops = day.routes![0]!.visits!.map((v) => stop(v));
stops[0] = { ...stops[0]!, here_since: at(331), left_at: at(360), work: stops[0]!.work!.map((w) => ({ ...w, outcome: "passed" })) };
stops[1] = {
  ...stops[1]!, here_since: at(404), bring: ["repair kit K-100-rubber", "8 in valve key"],
  cautions: ["Vault: test the air first and keep an attendant outside; 29 CFR 1910.146 and local code decide."],
  lacks: ["No valid fire licence in this crew today: Bo's ran out after 28 Feb 2026. Call the office before work starts."], ask_position: true,
  feeds: [
    { id: "f1", name: "fire line", fire: true, valves: ["No. 1 shut-off", "No. 2 shut-off", "bypass No. 1 shut-off", "bypass No. 2 shut-off"], dry_since: at(410), other: "the east leg", on_test_until: at(470), calls: calls(at(405)) },
    { id: "f2", name: "west fire line", fire: true, valves: ["No. 1 shut-off", "No. 2 shut-off"], checks: ["main drain or valve status test done", "signals received, panel normal"], calls: calls(undefined) },
  ],
  work: [work(stops[1]!, "DCDA", { place: "fire riser vault" }), work(stops[1]!, "RP", { yes_to_repair: "standing, up to $400" })],
};

/** A return visit whose kit is set aside. */
export const returnWork: Work = {
  ...stops[1]!.work![1]!, job: "return", failure: "check 1 read 4.1 psid", outcome: "could-not-test",
  parts: [{ code: "K-100-rubber", item: "kit-7", part: "main", component: "check-1", where: "crew1" }], retest_by: { known: true, on: "2026-03-09", rule: "7 days" },
  stopped: { outcome: "could-not-test", why: "shut-off-would-not-hold", which: "No. 1 shut-off", who: "purveyor, at the street valve", from: at(660), on: tomorrow },
  serials_seen: [{ part: "main", seen: "0047118" }],
};

export const crewDay: CrewDay = {
  crew: crews[0]!, date: tomorrow, zone, status: "sent-out", sent_at: "2026-03-02T21:04:00Z", position: 4711, now: at(415),
  people: [{ id: "p1", name: "Ash" }, { id: "p2", name: "Bo" }],
  gauges: [{ id: "g1", serial: "G-204", certified_until: "2026-09-14", valid: true }, { id: "g2", serial: "G-119", certified_until: "2026-02-20", valid: false, words: "G-119: certificate ran out on 20 February" }],
  bring: ["repair kit K-100-rubber", "8 in valve key", "air meter"], stops, criteria,
  could_not_reasons: ["shut-off-would-not-hold", "cock-broken", "buried", "flooded", "no-pressure", "winterised", "vacant"],
  next_steps: {
    passed: "The report goes to the purveyor by its clock. Hang the tag where one is required.",
    failed: "It may stay in service while the clock runs; a repair and a retest are owed.",
    "could-not-test": "Neither a pass nor a fail. The office clears what stood in the way and plans it again.",
  },
  causes: ["sand or grit", "worn or swollen rubber", "nothing found"],
  types: [{ type: "DC", name: "double check", components: named("DC") }, { type: "RP", name: "reduced pressure", components: named("RP") }],
  procedures: ["USC 10th", "one-hose"],
};

export const outbox: Item[] = (["sent", "waiting", "refused"] as const).map((state, i) => ({
  seq: i + 1, state, label: ["at Clinic 12 Mill Street", "water off, fire line", "fire line left impaired"][i]!,
  request: { command_id: String(i).repeat(32), happened: at(404 + i * 3), kind: "arrive", crew: "crew1", day: tomorrow, site: "s" },
  ...(state === "refused" ? { answer: ["Say how the feed was left: in service, impaired or shut."] } : {}),
}));

// ---- backlog, left off, lists in --------------------------------------------------

const failed = (i: number, days: number | undefined, waits_for: BacklogRow["waits_for"], planned: boolean): BacklogRow => ({
  assembly: `b${i}`, job: `bj${i}`, kind: "annual test", type: i % 2 ? "RP" : "DCDA", type_name: "", size: "4 in", place: "riser room", serial: `00${47 + i}`, purveyor: i % 2 ? "Harrow Valley Water" : "East Fork District",
  stage: waits_for === "parts" ? "parts-pending" : "failed-retest", minutes: 90, days_left: days,
  retest_by: days === undefined ? { known: false, rule: "not known: ask East Fork District" } : { known: true, on: addDays(today, days), rule: i % 2 ? "14 days from the failed test" : "10 business days from the failed test" },
  site: site(`${kinds[i % kinds.length]} ${i + 3} ${streets[i % streets.length]}`, null), waits_for, waits_words: { parts: "parts", access: "access", slot: "a slot", owner: "the owner's yes", way: "a shut-off that holds", purveyor: "the purveyor" }[waits_for],
  failed_on: "2026-02-24", words: "check 2 read 0.6 psid; at least 1.0 psid (6.9 kPa) is needed",
  ...(waits_for === "parts" ? { parts: [{ code: "K-100-check", promised: addDays(today, 4) }] } : {}),
  ...(planned ? { planned: { date: tomorrow, crew: "B", sent_out: false, before_deadline: true } } : {}),
});

export const backlog: Backlog = {
  now: office.now, headline: "9 failed assemblies: 2 past their deadline, 4 with no visit planned before it.", counts: {}, others: [],
  rows: [failed(1, -4, "owner", false), failed(2, -1, "parts", false), failed(3, 0, "slot", true), failed(4, 2, "access", true), failed(5, 2, "parts", false), failed(6, 6, "parts", true), failed(7, 9, "slot", true), failed(8, 13, "way", true), failed(9, undefined, "purveyor", false)],
};

export const history: History = {
  job: backlog.rows![1]!, site: backlog.rows![1]!.site,
  entries: [
    { position: 1, entity: "assembly" as const, id: "b2", event: "e1", happened: "2026-01-05T15:00:00Z", recorded: "2026-01-05T15:00:00Z", who: "list of Harrow Valley Water", name: "due", words: "Test due by 28 February." },
    { position: 2, entity: "assembly" as const, id: "b2", mends: [{ how: "correct-readings" as const, assembly: "b2", job: "bj2", who: "p1" }, { how: "note-mistake" as const }], event: "e2", happened: "2026-02-24T13:41:00Z", recorded: "2026-02-24T13:50:00Z", who: "Bo, crew A", name: "tested", words: "Check 1 read 1.6 psid, check 2 read 0.6 psid; the tester and the criteria say fail." },
    { position: 3, entity: "assembly" as const, id: "b2", mends: [{ how: "void-result" as const, assembly: "b2", job: "bj2" }, { how: "note-mistake" as const }], event: "e3", happened: "2026-02-24T13:41:00Z", recorded: "2026-02-24T13:50:00Z", who: "Bo, crew A", name: "failed-retest", words: "Failed; retest by 10 March: 14 days from the failed test." },
  ],
};

export const leftOff: LeftOff = {
  now: office.now,
  rows: [
    { feed: "f1", name: "fire line", fire: true, site: site("Cannery 11 Kiln Court", null), service: "impaired", dry_now: false, valves: [{ name: "No. 1 shut-off", state: "open" }, { name: "No. 2 shut-off", state: "partly" }], since: "2026-03-02T14:10:00Z", by: "crew D", told: ["impairment coordinator", "alarm company"], on_test_until: "2026-03-02T22:00:00Z", decides: "impairment coordinator", restores: "a new No. 2 stem, promised Wednesday" },
    { feed: "f2", name: "irrigation", fire: false, site: site("Park 2 Orchard Way", null), service: "shut", dry_now: false, valves: [{ name: "No. 1 shut-off", state: "shut" }], since: "2026-03-01T20:00:00Z", by: "crew A" },
  ],
};

export const dueList: DueList = {
  id: "l1", file: "harrow-march.csv", purveyor: "harrow", as_of: today, date_order: "", mapping_saved: false,
  columns: [
    { index: 1, header: "Device #", field: "number", sure: "sure: 41 of 41 values fit", samples: ["H-1004", "H-1007", "H-1010"] },
    { index: 2, header: "Addr", field: "address", sure: "sure", samples: ["4 Ferry Road", "11 Kiln Court"] },
    { index: 3, header: "Due", field: "due", sure: "sure; the order of day and month is not", samples: ["3/4/2026", "3/9/2026"] },
    { index: 4, header: "Notes", samples: ["gate code at desk"] },
  ],
  fields: [{ key: "number", name: "purveyor's number" }, { key: "address", name: "address" }, { key: "due", name: "due date" }, { key: "serial", name: "serial" }],
  questions: [{ key: "date-order", text: "Dates such as 3/4/2026 can be read two ways: say whether the month or the day comes first.", choices: ["month-first", "day-first"] }],
  counts: { new: 28, moved: 3, unchanged: 6, "not-credited": 1, ask: 2, rejected: 1 },
  rows: [
    { row: 2, action: "new", words: "test of the DC at 4 Ferry Road", number: "H-1004", address: "4 Ferry Road", due: "2026-03-14" },
    { row: 3, action: "moved", words: "from 28 February", number: "H-1007", address: "11 Kiln Court", due: "2026-03-20" },
    { row: 4, action: "not-credited", words: "passed on 20 February", number: "H-1010", address: "2 Orchard Way", due: "2026-03-02" },
  ],
  rejected: [{ file: "harrow-march.csv", row: 17, col: 3, column: "Due", value: "31/02/2026", problem: "there is no such day", what_to_do: "ask the purveyor for the date and add the row again" }],
  warnings: [], skipped: [{ row: 42, problem: "a total, not an assembly", value: "Total: 41" }], missing: ["RP 1 in, 9 Mill Street"], taken: false,
};
