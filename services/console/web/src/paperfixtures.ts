// The invented county's papers, for the storybook.

import { backlog, office, today } from "./fixtures";
import { addDays } from "./time";
import type { Expiries, FilingList, FilingRow, Report } from "./types";

const [one, two] = backlog.rows!;
const row = (part: Partial<FilingRow>): FilingRow => ({ about: "pass", state: "owed", job: one!, site: one!.site, on: addDays(today, -2), filings: [], words: "", ...part });

export const filing: FilingList = {
  now: office.now, accepted_since: addDays(today, -14),
  clocks: office.purveyors!.map((p) => ({ purveyor: p.id, name: p.name, pass: "10 business days after the day of the test", fail: "3 calendar days after the day of the test", phone_in: "24 hours after the test" })),
  counts: { owed: 2, late: 1, not_known: 0, returned: 1, send_again: 0, filed: 1, accepted: 0 },
  rows: [
    row({ about: "phone-in", missed: true, days_left: -1, by: { known: true, at: `${addDays(today, -1)}T15:00:00Z`, on: addDays(today, -1), rule: "24 hours after the test" } }),
    row({ about: "fail", days_left: 1, by: { known: true, on: addDays(today, 1), rule: "3 calendar days after the day of the test" } }),
    row({ job: two!, site: two!.site, state: "returned", days_left: 4, by: { known: true, on: addDays(today, 4), rule: "10 business days" }, filings: [{ about: "pass", on: addDays(today, -1), how: "post", by: "Ida Moor", confirmation: "R1", returned_on: today, why: "no gauge serial" }] }),
    row({ job: two!, site: two!.site, about: "fail", state: "filed", filings: [{ about: "fail", on: today, how: "e-mail" }] }),
  ],
};

export const report: Report = {
  firm: office.name, printed: office.now, zone: office.zone, assembly: one!.assembly, job: one!.job, purveyor: one!.purveyor, why: "annual test", verdict: "pass",
  statement: "In the tester's judgement this assembly MEETS the requirements on the day of the test.", doubt: "By the criteria it fails: check 2 read 0.9 psid.",
  sections: [{ title: "Site", fields: [{ label: "Facility", value: one!.site.name }, { label: "Account number", value: "" }] }, { title: "As left", fields: [{ label: "Service", value: "in service" }] }],
  initial: { at: office.now, tester: "Bo Wren", certificate: "N1", certificate_until: "2027-01-31", gauge: "G1", gauge_maker: "Harbeck", gauge_model: "D5", gauge_calibrated_on: "2025-10-31", gauge_calibrated_by: "Northgate Instruments, Ashby", gauge_until: "2026-10-31", says: "fail", computed: "fail", profile: "usc-10", why: ["check 2 leaked"] },
  final: { at: office.now, tester: "Bo Wren", gauge: "G1", says: "pass", computed: "fail", profile: "usc-10", buffer: "3.1 psid", disagrees: true },
  rows: [{ part: "main", component: "check 2", initial: "leaked", final: "held at 0.9 psid" }],
  repairs: [{ on: today, who: "Bo Wren", licence: "L7", did: "cleaned, repair kit fitted", parts: ["K-100-check for check 2"] }],
  remarks: ["The plate is missing"], filings: [{ about: "pass", on: today, how: "post", confirmation: "R1" }],
  papers: [{ sha256: "ab".repeat(32), signed_on: today, tester: "Bo Wren", keyed_by: "Ida Moor" }],
  signatures: [{ who: "Tester", says: "The readings above are as I read them.", name: "Bo Wren" }, { who: "Owner or agent", says: "The test took place." }], blank: ["Account number"],
};

export const expiries: Expiries = {
  today, days: 45,
  rows: [
    { what: "gauge", name: "gauge's certificate", holder: "G1", id: "g1", crews: ["A"], last_day: addDays(today, -3), days_left: -3, words: "", stops: [{ date: addDays(today, 1), crew: "A", site: one!.site, jobs: ["test RP 1 in"], how: "proposed" }], ahead: [{ job: "j-0009", due: addDays(today, 20), site: two!.site }] },
    { what: "registration", name: "registration", holder: "Bo Wren", id: "p1", number: "77", purveyor: "East Fork District", crews: [], last_day: today, days_left: 0, words: "", stops: [], ahead: [] },
  ],
};
