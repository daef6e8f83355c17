import { describe, expect, it } from "vitest";
import { positionOf, positionText } from "../src/records/coordinates";
import { draftOf, factsOf, faultsAt } from "../src/records/draft";
import { cellsOf, fields, matches, recordKinds } from "../src/records/kinds";
import { weekOf, weekWords, withDay } from "../src/records/week";
import { instantIn } from "../src/records/zoned";
import type { Call, Facts } from "../src/types";
import { partsOf } from "../src/views/CallList";
import { openTimes } from "../src/views/CallOutcomes";
import { words } from "../src/words";

// The notation: OpenStreetMap opening-hours specification 0.7.4. Later rules
// take over the days they name; a rule after a comma adds to them.
describe("hours read back as a week", () => {
  it.each([
    ["Mo-Fr 05:00-09:00,13:00-15:00", "Monday to Friday 05:00–09:00, 13:00–15:00; Saturday and Sunday closed"],
    ["24/7", "Every day all day"],
    ["Mo-Su 06:00-20:00", "Every day 06:00–20:00"],
    ["Mo-Fr 08:00-16:00; We off", "Monday and Tuesday 08:00–16:00; Wednesday closed; Thursday and Friday 08:00–16:00; Saturday and Sunday closed"],
    ["Mo-Fr 08:00-12:00, We 14:00-16:00", "Monday and Tuesday 08:00–12:00; Wednesday 08:00–12:00, 14:00–16:00; Thursday and Friday 08:00–12:00; Saturday and Sunday closed"],
    ["Fr-Mo 22:00-02:00", "Monday 22:00–02:00; Tuesday to Thursday closed; Friday to Sunday 22:00–02:00"],
    ["Mo,We 07:00-09:00", "Monday 07:00–09:00; Tuesday closed; Wednesday 07:00–09:00; Thursday to Sunday closed"],
    ["Mo-Fr 08:00-16:00; Dec 24-26 off", "Monday to Friday 08:00–16:00; Saturday and Sunday closed; on certain dates: Dec 24-26 off"],
    ["Mo-Fr 08:00-16:00; PH off", "Monday to Friday 08:00–16:00; Saturday and Sunday closed; on certain dates: PH off"],
    ["Mo-Fr,PH 08:00-09:00", "Monday to Friday 08:00–09:00; Saturday and Sunday closed; on certain dates: PH 08:00-09:00"],
    ["PH,Sa 08:00-09:00", "Monday to Friday closed; Saturday 08:00–09:00; Sunday closed; on certain dates: PH 08:00-09:00"],
    ["Mo-Fr 08:00-12:00, We[2] 14:00-16:00; week 01-53/2 Mo off", "Monday to Friday 08:00–12:00; Saturday and Sunday closed; on certain dates: We[2] 14:00-16:00; on certain dates: week 01-53/2 Mo off"],
    ["Mo-Fr 08:00-17:00; 12:00-13:00 off", "Monday to Friday 08:00–12:00, 13:00–17:00; Saturday and Sunday closed"],
    ["Mo-Fr 22:00-02:00; Fr 08:00-10:00", "Monday to Wednesday 22:00–02:00; Thursday 22:00–24:00; Friday 08:00–10:00; Saturday 00:00–02:00; Sunday closed"],
    ["Sa 08:00-12:00 open \"ring at gate\"", "Monday to Friday closed; Saturday 08:00–12:00; Sunday closed"],
  ])("%j", (text, said) => expect(weekWords(text)).toBe(said));
  it.each(["", "early", "Mo-Fr 8-16", "Mo-Fr 05:00", "25:00-26:00"])("%j is not read", (text) => expect(weekOf(text)).toBeNull());
});

it.each([
  ["Mo-Fr 06:00-15:30", "2026-05-16", "Mo-Fr 06:00-15:30; 2026 May 16 07:00-11:30"],
  ["Mo-Fr 06:00-15:30; 2026 May 16 08:00-09:00; Dec 24 off", "2026-05-16", "Mo-Fr 06:00-15:30; Dec 24 off; 2026 May 16 07:00-11:30"],
])("%j with other hours on %s", (hours, date, want) => expect(withDay(hours, date, "07:00", "11:30")).toBe(want));

it("draws windows over midnight on both days", () =>
  expect(weekOf("Su 22:00-02:00")!.bars).toEqual([{ day: 0, from: 0, to: 120 }, { day: 6, from: 1320, to: 1440 }]));

// ISO 6709 writes latitude first; degree signs and letters as they are pasted from maps.
describe("pasted positions", () => {
  it.each([
    ["41.19, -95.93", 41.19, -95.93],
    ["41.19° N, 95.93° W", 41.19, -95.93],
    ["(41.19;-95.93)", 41.19, -95.93],
    ["95.93W 41.19N", 41.19, -95.93],
    ["−33.9 151.2", -33.9, 151.2],
  ])("%j", (text, lat, lon) => expect(positionOf(text)).toEqual({ lat, lon }));
  it.each(["", "41.19", "91, 0", "41.19, 200", "north, west", "41 N 42 N", "1 2 3"])("%j is none", (text) => expect(positionOf(text)).toBeNull());
  it("is written as it is read", () => expect(positionOf(positionText({ lat: 41.187304, lon: -37.999617 }))).toEqual({ lat: 41.187304, lon: -37.999617 }));
});

// RFC 5545, section 3.3.5: the first of two, and a skipped time with the offset before the change. Dates of 2026 in
// America/Chicago: 8 March and 1 November (tz database).
describe("a site's clock", () => {
  it.each([
    ["2026-05-13", "07:30", "2026-05-13T12:30:00.000Z"],
    ["2026-01-13", "07:30", "2026-01-13T13:30:00.000Z"],
    ["2026-11-01", "01:30", "2026-11-01T06:30:00.000Z"],
    ["2026-03-08", "02:30", "2026-03-08T08:30:00.000Z"],
  ])("%s %s", (date, clock, at) => expect(instantIn(date, clock, "America/Chicago")).toBe(at));
});

const site: Facts = {
  name: "Iron Horse Apartments", position: { lat: 41.269684867518656, lon: -37.83133000122025 }, position_source: "street", zone: "America/Chicago", access_hours: "Mo-Fr 08:00-17:00",
  notice_days: 3, contacts: [{ person: "p-0016", role: "lets in" }], something_new: { kept: true },
};

describe("a form", () => {
  it("untouched says what is on record, with what it does not show", () => expect(factsOf("sites", site, undefined, {})).toEqual({ facts: site, details: undefined, faults: {} }));
  it("changes only what was typed", () => {
    const { facts, faults } = factsOf("sites", site, undefined, { notice_days: "5", address: " 77 Pasture Lane ", customer: "" });
    expect(faults).toEqual({});
    expect(facts).toEqual({ ...site, notice_days: 5, address: "77 Pasture Lane" });
  });
  it("takes away what was emptied", () => {
    const { facts } = factsOf("sites", site, undefined, { notice_days: "", position: "", position_source: "", contacts: [] });
    expect(facts).toEqual({ name: site.name, position: null, zone: site.zone, access_hours: site.access_hours, something_new: { kept: true } });
  });
  it("says which fields need a look", () =>
    expect(Object.keys(factsOf("sites", {}, undefined, { name: " ", position: "north", notice_days: "many", contacts: [{ person: "p-1", role: "" }] }).faults).sort())
      .toEqual(["access_hours", "contacts", "name", "notice_days", "position", "zone"]));
  it("keeps a person's name apart from the facts", () =>
    expect(factsOf("people", {}, { name: "Ann Ord", phone: "555-0100" }, { "details.phone": "555-0101" })).toEqual({ facts: {}, details: { name: "Ann Ord", phone: "555-0101" }, faults: {} }));
  it("keeps the clocks of a purveyor that it was not asked about", () => {
    const purveyor = { name: "Water", zone: "UTC", criteria_profile: "", repair: { health: { count: 7, unit: "calendar" } } };
    expect(factsOf("purveyors", purveyor, undefined, { "repair.imminent": { count: "24", unit: "hours" }, "repair.health": {} }).facts)
      .toEqual({ ...purveyor, repair: { imminent: { count: 24, unit: "hours" } } });
    expect(factsOf("purveyors", purveyor, undefined, { "report_pass": { count: "x", unit: "hours" } }).faults).toHaveProperty("report_pass");
  });
  it("puts the server's faults at their fields", () =>
    expect(faultsAt("sites", [{ message: "is empty", location: "body.facts.name" }, { message: "no", location: "body.facts.contacts[0].role" }, { message: "all wrong", location: "body" }, { message: "too long", location: "body.details.code" }]))
      .toEqual({ name: "is empty", contacts: "no", "": "all wrong", "details.code": "too long" }));
  it("has a label for each field", () => {
    for (const kind of recordKinds) {
      for (const field of fields[kind]) {
        expect(words.records.labels, `${kind}.${field.name}`).toHaveProperty([`${kind}.${field.name}`]);
        for (const column of field.columns ?? []) expect(words.records.labels).toHaveProperty([`${kind}.${field.name}.${column.name}`]);
      }
      expect(Object.keys(draftOf(kind, {}))).toEqual(fields[kind].map((f) => f.name));
      expect(cellsOf(kind, {}, (_, id) => id)).toHaveLength(words.records.columns[kind].length - 1);
    }
  });
});

describe("the filter", () => {
  it.each([["", true], ["iron PASTURE", true], ["café", true], ["cafe", true], ["iron mill", false]])("%j: %s", (filter, yes) => expect(matches(filter, ["Iron Horse Café", "77 Pasture Lane"])).toBe(yes));
});

describe("the call list", () => {
  const call = (id: string, needed: boolean, jobs = 0): Call => ({ id, name: id, needed, jobs_let_in_tomorrow: jobs, asks: [], say: "", whom: [], jobs: 1, minutes: 30, sites: [] });
  it("puts first the calls that let more in tomorrow, each part in the server's order", () => {
    const { first, then, rest } = partsOf([call("a", true), call("b", true, 2), call("c", true), call("d", false), call("e", true, 1)]);
    expect([first, then, rest].map((part) => part.map((c) => c.id).join(""))).toEqual(["be", "ac", "d"]);
  });
  it("offers the first open times once each, in order", () => {
    const feed = (open: { date: string; hours: string }[]) => ({ id: "f", name: "main", shutdown_window: "", dry_minutes: 30, jobs: [], open: open.map((o) => ({ ...o, name: "" })) });
    const one = { ...call("a", true), sites: [{ feeds: [feed([{ date: "2026-05-12", hours: "15:00–16:00" }, { date: "2026-05-14", hours: "06:00–10:00" }, { date: "2026-05-13", hours: "05:00–09:00, 13:00–15:00" }]), feed([{ date: "2026-05-13", hours: "05:00–09:00" }])] }] } as unknown as Call;
    expect(openTimes(one, "2026-05-12")).toEqual([{ date: "2026-05-13", from: "05:00", to: "09:00" }, { date: "2026-05-14", from: "06:00", to: "10:00" }]);
  });
});
