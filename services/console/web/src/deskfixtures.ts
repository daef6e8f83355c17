// Development only: what the office keys in, mends and changes, for the storybook and the tests.

import { crewDay, criteria, history, leftOff, office, today, zone } from "./fixtures";
import type { BulkDifferences, HistoryEntry, JobForm, Unfilled } from "./types";

const stop = crewDay.stops![1]!;

export const papers: NonNullable<JobForm["papers"]> = [{ sha256: "cd".repeat(32), signed_on: "2026-02-24", tester: "Bo Wren", keyed_by: "Ida Moor" }];

export const form: JobForm = {
  date: today, zone, site: stop.site, out: { date: today, crew: office.crews![0]!.id }, crews: office.crews ?? [],
  people: [{ id: "p1", name: "Ash" }, { id: "p2", name: "Bo", lacks: "certificate ran out on 20 Feb 2026" }],
  gauges: crewDay.gauges ?? [], feed: stop.feeds![0]!, work: { ...stop.work![1]!, failure: "check 2 read 0.6 psid" }, criteria,
  tests: [{
    event: "t1", at: "2026-02-24T13:41:00Z", gauge: "g1", tester: "p1", procedure: "USC 10th", says: "fail", profile: "usc-10", shut_off_2: "held",
    readings: [
      { part: "main", component: "relief", phase: "initial", number: "2.4", unit: "psid", result: "opened" },
      { part: "main", component: "check-1", phase: "initial", number: "8.1", unit: "psid", result: "held" },
      { part: "main", component: "check-2", phase: "initial", result: "leaked" },
    ],
  }],
  could_not_reasons: crewDay.could_not_reasons ?? [], next_steps: crewDay.next_steps ?? {}, causes: crewDay.causes ?? [], types: crewDay.types ?? [], procedures: crewDay.procedures ?? [],
};

const entry = (n: number, part: Partial<HistoryEntry>): HistoryEntry => ({
  position: n, entity: "site", id: "s1", event: `s${n}`, happened: `2026-02-${String(10 + n).padStart(2, "0")}T15:00:00Z`, recorded: `2026-02-${String(10 + n).padStart(2, "0")}T15:00:00Z`, who: "Ida Moor", name: "time-agreed", words: "Agreed that the water may be off from 06:00 on 3 Mar 2026 to 08:00.", ...part,
});

export const siteStory: HistoryEntry[] = [
  entry(9, { mends: [{ how: "withdraw-time", from: "2026-03-03T12:00:00Z", to: "2026-03-03T14:00:00Z" }, { how: "note-mistake" }] }),
  entry(8, { entity: "feed", id: "f1", thing: "Clinic 12 Mill Street, fire line", words: "Left impaired by crew D: No. 2 shut-off partly open.", mistake: "it was the domestic line" }),
  ...history.entries!.map((e, i) => ({ ...e, position: 7 - i, event: `x${i}`, thing: "Clinic 12 Mill Street, RP, 2 in, riser room" })),
  ...[4, 3, 2, 1].map((n) => entry(n, { name: "call-noted", words: "Called on 12 Feb 2026: nobody could say, word was left." })),
];

const [, park] = leftOff.rows!;

export const unfilled: Unfilled = {
  customers: [
    { id: "c1", name: "Orchard Way Management", feeds: [
      { feed: "f2", name: "irrigation", site: park!.site, why: "left shut since 14:00 on 1 Mar 2026", jobs: 1 },
      { feed: "f7", name: "lawn, north side", site: { ...park!.site, name: "Terrace 8 Orchard Way" }, why: "drained", jobs: 2 },
      { feed: "f8", name: "lawn, south side", site: { ...park!.site, name: "Terrace 8 Orchard Way" }, why: "not known whether it holds water: out of its season, Apr-Oct 00:00-24:00", jobs: 1 },
    ] },
    { id: "c2", name: "Field and Sons", feeds: [{ feed: "f9", name: "greenhouse", site: { ...park!.site, name: "Nursery 3 Weir Road" }, why: "drained", jobs: 0 }] },
  ],
};

export const sheet: BulkDifferences = {
  kind: "sites", digest: "ab12", same: 212, new: 1, absent: 3,
  rows: [
    { id: "s1", name: "Clinic 12 Mill Street", cells: [{ column: "access_hours", was: "Mo-Fr 07:00-15:00", is: "Mo-Sa 06:00-15:00" }, { column: "notice_days", is: "2" }] },
    { id: "s2", name: "Park 2 Orchard Way", cells: [{ column: "notice_given_on", is: "2026-03-01", not: true }] },
    { id: "s9", name: "Annex 4 Weir Road", new: true, cells: [{ column: "name", is: "Annex 4 Weir Road" }, { column: "zone", is: "America/Chicago" }] },
  ],
  faults: [{ row: 17, column: "access_hours", value: "early", problem: "is not a time as this program reads them", what_to_do: "write it such as Mo-Fr 07:00-15:30" }],
};
