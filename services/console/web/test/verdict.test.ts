import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { compare, minus, parseDecimal, show } from "../src/decimal";
import { judge, judgeTest, opinion, profileOf, type Criteria, type Part, type Reading, type ShutOffs } from "../src/verdict";

// The same cases that the server's judge is held to, each with its published
// source in the file.
interface Case extends ShutOffs {
  name: string;
  source: string;
  type: string;
  profiles: string[];
  readings: Reading[];
  expect: { opinion: "pass" | "fail" | "not-completed"; complete?: boolean; fails?: string[]; missing?: string[]; buffer?: string | null; bypass_buffer?: string | null };
}
const testdata = new URL("../../../../testdata/criteria/", import.meta.url);
const { cases } = JSON.parse(readFileSync(new URL("cases.json", testdata), "utf8")) as { cases: Case[] };
const criteria = JSON.parse(readFileSync(new URL("profiles.json", testdata), "utf8")) as Criteria;

for (const example of cases) {
  describe(`${example.name} (${example.source})`, () => {
    it.each(example.profiles)("by %s", (id) => {
      const verdict = judgeTest(profileOf(criteria, id)!, criteria.types[example.type] ?? [], example);
      const expected = example.expect;
      expect(opinion(verdict)).toBe(expected.opinion);
      if (expected.complete !== undefined) expect(verdict.complete).toBe(expected.complete);
      const places = (status: string) => [...new Set(verdict.findings.filter((f) => f.status === status).map((f) => `${f.part} ${f.component}`))].sort();
      if (expected.fails) expect(places("fail")).toEqual([...expected.fails].sort());
      if (expected.missing) expect(places("missing")).toEqual([...expected.missing].sort());
      if (expected.buffer !== undefined) expect(verdict.buffer).toBe(expected.buffer);
      if (expected.bypass_buffer !== undefined) expect(verdict.bypassBuffer).toBe(expected.bypass_buffer);
    });
  });
}

it("has cases to run", () => expect(cases.length).toBeGreaterThan(20));

describe("decimals", () => {
  const decimal = (text: string) => parseDecimal(text)!;
  it.each(["1.0", "0.96", "5", "12.50", "-0.2"])("keeps %s as typed", (text) => expect(show(decimal(text))).toBe(text));
  it.each([["1,4", "1.4"], [".5", "0.5"], ["0,125", "0.125"]])("reads %s as %s", (text, shown) => expect(show(decimal(text))).toBe(shown));
  it.each(["", "1.", "a", "1.2.3", "1,000", "--1", "1234567890", "1e3"])("refuses %j", (text) => expect(parseDecimal(text)).toBeNull());
  it("knows 0.96 is not 1.0 and 1.00 is", () => {
    expect(compare(decimal("0.96"), decimal("1.0"))).toBeLessThan(0);
    expect(compare(decimal("1.00"), decimal("1.0"))).toBe(0);
  });
  it("subtracts exactly", () => expect(show(minus(decimal("5.2"), decimal("2.6")))).toBe("2.6"));
});

const reading = (component: string, number: string, part: Part = "main"): Reading => ({ part, component, phase: "initial", number, unit: "psid" });

it("judges nothing it has no criteria for", () => {
  const verdict = judge(profileOf(criteria, "strictest")!, [], [reading("check-1", "1.0")]);
  expect(verdict).toMatchObject({ pass: false, fail: false, complete: false });
});
