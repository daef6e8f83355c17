// An invented county for the storybook and the unit tests.

import type { Day, LeftOut, Office, Route, Visit } from "./types";
import { addDays } from "./time";

export const today = "2026-03-02";
export const tomorrow = addDays(today, 1);
export const zone = "America/Chicago";

const names = ["Ash & Bo", "Cade", "Dara", "Ewan & Fay", "Gil", "Hana", "Ike & Jo", "Kit"];
const streets = ["Harrow Lane", "Quarry Road", "Mill Street", "Orchard Way", "Depot Street", "College Avenue", "Ferry Road", "Kiln Court", "Tannery Row"];
const kinds = ["Bakery", "Clinic", "School", "Apartments", "Cannery", "Library", "Car wash", "Hotel", "Laundry"];

export const office: Office = {
  name: "North office",
  zone,
  today,
  tomorrow,
  demo: true,
  crews: names.map((name, i) => ({ id: `crew${i + 1}`, letter: String.fromCharCode(65 + i), name })),
  purveyors: [{ id: "harrow", name: "Harrow Valley Water" }, { id: "eastfork", name: "East Fork District" }],
};

/** An instant of tomorrow, so many minutes after midnight in Chicago (UTC−6 in early March). */
const at = (minutes: number) => new Date(Date.parse(`${tomorrow}T06:00:00Z`) + minutes * 60_000).toISOString();

function visit(crew: number, n: number, start: number): Visit {
  const seed = crew * 7 + n;
  const long = 30 + (seed % 4) * 15;
  const off = 12 + (seed % 3) * 9;
  const noWater = seed % 5 === 4;
  return {
    id: `v${crew}-${n}`, n,
    site: `${kinds[seed % kinds.length]} ${seed % 40 + 3} ${streets[(seed * 3) % streets.length]}`,
    address: `${seed % 40 + 3} ${streets[(seed * 3) % streets.length]}`,
    position: { lat: 41 + 0.05 * Math.sin(crew + n * 0.6) + 0.02 * crew, lon: -93 + 0.08 * Math.cos(crew * 1.3 + n * 0.7) },
    jobs: [{ assembly: `a${crew}-${n}`, label: seed % 2 ? "RP 1 in, boiler room" : "DC 2 in, meter pit", task: seed % 6 === 0 ? "retest" : "test", type: seed % 2 ? "RP" : "DC", size_in: 1, deadline: addDays(tomorrow, seed % 12), days_left: seed % 12 }],
    arrive: at(start - (seed % 2) * 5), start: at(start), leave: at(start + long),
    drive_min: 14, drive_km: 3 + (seed % 9) * 1.3,
    water_off: noWater ? [] : [{ feed: "main", from: at(start + 8), to: at(start + 8 + off) }],
    windows: noWater ? [] : [{ from: at(start - 20), to: at(start + 8 + off + (seed % 7 === 3 ? 4 : 50)) }],
    slack_min: noWater ? null : seed % 7 === 3 ? 4 : 50,
    little_slack: !noWater && seed % 7 === 3,
    held: seed % 9 === 2, sent_out: false, note: seed % 8 === 5 ? "test only: the window holds no full repair" : "",
  };
}

function route(i: number): Route {
  const visits: Visit[] = [];
  let start = 5 * 60 + 30 + i * 11;
  for (let n = 1; n <= 8; n++) {
    visits.push(visit(i, n, start));
    start += 62 + ((i + n) % 3) * 12;
  }
  return {
    ...office.crews[i]!, start: at(5 * 60 + i * 11), end: visits.at(-1)!.leave && at(start), home: { lat: 41.05, lon: -93.02 },
    drive_min: 112, drive_km: 64, visits,
  };
}

const leftOut: LeftOut[] = [
  { id: "l1", site: "Hospital 4 Ferry Road", what: "Test RP 4 in, west leg", minutes: 75, position: { lat: 41.1, lon: -92.95 }, days_left: 2, reason: "The other leg of the manifold was left shut on Monday.", would_fit: "restoring the east leg.", phone: "555-0142" },
  { id: "l2", site: "Cannery 11 Kiln Court", what: "Repair and retest RPDA 6 in", minutes: 190, position: { lat: 41.0, lon: -93.05 }, days_left: -1, reason: "No shutdown window of 2 h 40 before Friday; the longest is 2 h.", would_fit: "a window of 40 min more, any day this week.", phone: "555-0117" },
  { id: "l3", site: "Park 2 Orchard Way", what: "Test PVB 1 in", minutes: 20, position: null, days_left: null, reason: "The feed is drained for winter.", would_fit: "the owner filling it.", phone: "" },
];

export const day: Day = {
  date: tomorrow, zone, state: "proposed", sent_out_at: null, position: 4711,
  summary: { jobs_planned: 74, jobs_total: 81, routes: 8, drive_min: 370, deadlines_open: 3, little_slack: 2 },
  planning: false, amend: [], crews: names.map((_, i) => route(i)), left_out: leftOut,
};

export const dayEmpty: Day = { ...day, state: "none", crews: [], left_out: [], summary: { ...day.summary, jobs_planned: 0, routes: 0 } };
export const dayPlanning: Day = { ...dayEmpty, planning: true };
export const daySent: Day = {
  ...day, state: "sent-out", sent_out_at: "2026-03-02T21:04:00Z",
  crews: day.crews.map((crew) => ({ ...crew, visits: crew.visits.map((v) => ({ ...v, sent_out: true })) })),
};
export const dayAmended: Day = { ...daySent, amend: ["Crew C's gauge was dropped at 16:20 and is out until verified; 9 tests on its route need another."] };

export const refusals = [
  "Visit 3 of crew B: the water at Clinic 12 Mill Street would be off until 09:12, and may be off only until 09:00.",
  "Crew B has no one registered with East Fork District on 3 March.",
];
