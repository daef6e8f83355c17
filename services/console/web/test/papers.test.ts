import { describe, expect, it } from "vitest";
import { whomOf } from "../src/contacts";
import { backlog } from "../src/fixtures";
import { partRequest, placesOf } from "../src/parts";
import type { BacklogRow, Expiry, FilingRow, Report } from "../src/types";
import { pageOf } from "../src/ui/Pages";
import { deadlineLine, rowKey, setAside } from "../src/views/Backlog";
import { canRecord } from "../src/views/BacklogActions";
import { sums } from "../src/views/Expiries";
import { filedWords, filingKey, leftWords, rowsShown } from "../src/views/Filing";
import { onTest } from "../src/views/LeftOff";
import { testLines } from "../src/views/Report";
import { words } from "../src/words";

const row = backlog.rows![0]!;
const filing = (part: Partial<FilingRow>): FilingRow => ({ about: "pass", state: "owed", job: row, site: row.site, on: "2026-03-01", filings: [], words: "", ...part }) as FilingRow;

describe("the filing list", () => {
  const rows = [
    filing({ state: "owed" }), filing({ state: "returned", about: "fail" }), filing({ state: "send-again" }), filing({ state: "filed" }), filing({ state: "accepted" }),
    filing({ state: "owed", job: { ...row, purveyor: "East Fork District" } }),
  ];
  it.each([["owed", undefined, 4], ["filed", undefined, 1], ["accepted", undefined, 1], ["all", undefined, 6], ["all", "East Fork District", 1], ["filed", "East Fork District", 0]] as const)(
    "%s of %s: %i rows", (show, purveyor, n) => expect(rowsShown(rows, purveyor, show)).toHaveLength(n));
  it("tells a failure's report from its call", () => expect(filingKey(filing({ about: "fail" }))).not.toBe(filingKey(filing({ about: "phone-in" }))));

  const now = "2026-03-02T16:00:00-06:00";
  const by = { known: true, at: "2026-03-02T18:10:00-06:00", on: "2026-03-02", rule: "4 hours after the test" };
  it.each([
    ["a call on its last day counts in hours", filing({ about: "phone-in", by, days_left: 0 }), "2 h 10"],
    ["a report counts in days", filing({ about: "fail", by, days_left: 0 }), "today"],
    ["missed by hours", filing({ about: "phone-in", by, days_left: 0, missed: true }), words.filing.late],
    ["missed by days", filing({ days_left: -3, missed: true }), "3 days over"],
    ["not known", filing({}), "not known: ask"],
    ["filed", filing({ state: "filed", days_left: 3 }), words.filing.done],
  ])("%s", (_, r, text) => expect(leftWords(r, now)).toBe(text));

  it("says how a report went and came back", () =>
    expect(filedWords({ about: "pass" }, { about: "pass", on: "2026-02-26", how: "post", by: "Ida Moor", confirmation: "R1", returned_on: "2026-02-27", why: "no gauge" }, "2026-03-02"))
      .toBe("filed Thu 26 February, post, by Ida Moor, confirmation R1; came back Fri 27 February: no gauge"));
});

describe("the report on screen", () => {
  const at = "2026-03-02T12:25:00-06:00";
  const report = {
    zone: "America/Chicago",
    rows: [{ part: "main", component: "check 1", initial: "leaked", final: "held at 6.4 psid" }, { part: "bypass", component: "check 1", initial: "held at 1.2 psid" }],
    initial: { at, tester: "Bo Wren", gauge: "G1", gauge_until: "2026-10-31", says: "fail", computed: "fail", profile: "usc-10", why: ["check 1 leaked"] },
    final: { at, tester: "Bo Wren", gauge: "G1", says: "pass", buffer: "3.1 psid", shut_off_2: "leaked", no_flow_proved: true },
  } as unknown as Report;
  const lines = testLines(report);
  const line = (label: string) => lines.find((l) => l.label === label);
  it("puts results first, those of a bypass named", () => expect(lines.slice(0, 2).map((l) => l.label)).toEqual(["check 1", "bypass check 1"]));
  it("stands the tests side by side", () => expect(line(words.report.rows.buffer)).toMatchObject({ initial: "", final: "3.1 psid" }));
  it("leaves out what neither test knows", () => expect(line(words.report.rows.linePressure)).toBeUndefined());
  it("says why the criteria fail it", () => expect(line(words.report.rows.computed)?.initial).toBe("fails (usc-10); check 1 leaked"));
  it("tells days with their year", () => {
    expect(line(words.report.rows.at)?.initial).toBe("Mon 2 March 2026 12:25");
    expect(line(words.report.rows.gauge)).toMatchObject({ initial: "G1, until Sat 31 October 2026", final: "G1" });
  });
  it("says that no flow was proved", () => expect(line(words.report.rows.shutOff2)?.final).toBe(`leaked, ${words.report.noFlow}`));
});

it("one visit that two expiries stop is counted once", () => {
  const stop = { date: "2026-03-04", crew: "A", how: "sent-out" as const, site: row.site, jobs: [] };
  const one = (days_left: number): Expiry => ({ what: "gauge", name: "", holder: "", id: "g", crews: ["A"], last_day: "2026-03-03", days_left, stops: [stop], words: "", ahead: [] });
  expect(sums([one(-1), one(1)])).toEqual({ ended: 1, soon: 1, stopped: 1 });
});

describe("backlog rows", () => {
  const other: BacklogRow = { ...row, assembly: "a2", retest_by: undefined, failed_on: undefined, due: "2026-03-09", stage: "due" };
  it("of two assemblies differ even when their jobs bear the same id", () => expect(rowKey(other)).not.toBe(rowKey(row)));
  it("without a retest say by when they are due", () => expect(deadlineLine(other)).toBe("due Mon 9 March"));
  it("that owe only a report name no retest", () => expect(deadlineLine({ ...other, stage: "passed" })).toBe(""));
  it("with a rule nobody knows say so", () => expect(deadlineLine({ ...row, retest_by: { known: false, rule: "ask" } as never })).toBe(words.backlog.unknown));
  it("name a part once: what is awaited is told by what they wait for", () =>
    expect(setAside({ ...row, part_states: [{ nth: 1, code: "K", step: "reserved", words: "K, reserved" }, { nth: 2, code: "K", step: "ordered", words: "K, ordered" }] })).toEqual(["K, reserved"]));
  it("that owe only a report are recorded under filing", () => expect([canRecord(row), canRecord({ ...other, waits_for: "purveyor" })]).toEqual([true, false]));
});

describe("repair parts", () => {
  const trucks = [{ id: "c1", name: "Crew A" }];
  it("lie in the shop, on a truck, or where somebody put them", () =>
    expect(placesOf(trucks, "shelf 3").map((p) => p.text)).toEqual([words.parts.inShop, "on the truck of Crew A", "at shelf 3"]));
  it("are named by their place in the job's list", () =>
    expect(partRequest({ assembly: "a", job: "j" }, { nth: 2, code: "K" }, { kind: "load-part", where: "c1" })).toEqual({ kind: "load-part", assembly: "a", job: "j", nth: 2, code: "K", where: "c1" }));
});

it("the alarm company is called first, and each person once", () =>
  expect(whomOf([{ role: "lets in", name: "Zoe" }, { role: "fire pump hand", name: "Zoe" }, { role: "alarm company", name: "Watch", phone: "555-0138" }], ["alarm company", "fire pump hand"]))
    .toEqual([{ name: "Watch", phone: "555-0138", roles: ["alarm company"] }, { name: "Zoe", phone: "", roles: ["lets in", "fire pump hand"] }]));

describe("on test until", () => {
  const until = "2026-03-02T16:00:00-06:00";
  const zone = "America/Chicago";
  it.each([["2026-03-02T14:40:00-06:00", "1 h 20 left", false], ["2026-03-02T15:40:00-06:00", "20 min left", true], ["2026-03-02T16:01:00-06:00", "over", true], ["2026-03-01T16:00:00-06:00", "24 h left", false]])(
    "at %s: %s", (now, text, urgent) => {
      const said = onTest(until, Date.parse(now), zone);
      expect(said.text).toContain(text);
      expect(said.urgent).toBe(urgent);
    });
});

it.each([["report", "filing"], ["assembly", "records"], ["backlog", "backlog"]])("the address %s stands under the page %s", (view, page) => expect(pageOf(view)).toBe(page));
