// What a purveyor's criteria say about readings, evaluated on the phone from
// the criteria the server sends, by the server's own rules (events.Judge); one
// shared file of cases, testdata/criteria/cases.json, holds both to the same
// answers. The verdict on the report is the tester's; this one stands beside it.

import { compare, minus, parseDecimal, show, times, type Decimal } from "./decimal";

/** "main" or "bypass". */
export type Part = string;
export type Unit = "psid" | "kPa" | "in" | "mm";
export type ResultWord = "held" | "leaked" | "opened" | "did-not-open";
export type Phase = "initial" | "final";

export interface Place { part: Part; component: string; family: string }

export interface Reading {
  part: Part;
  component: string;
  phase: Phase;
  number?: string;
  unit?: Unit | "";
  result?: ResultWord | "";
  fully_open?: boolean;
  gap_at?: { supply_diameter: string; beside_wall: boolean };
}

export interface GapRule {
  times: number;
  times_beside_wall: number;
  at_least: Partial<Record<Unit, string>>;
  at_least_beside_wall: Partial<Record<Unit, string>>;
}

export interface Criterion {
  family: string;
  component: string;
  relation: "at-least" | "recorded" | "result" | "fully-open" | "above" | "above-by" | "gap";
  limit?: Partial<Record<Unit, string>>;
  want?: ResultWord;
  against?: string;
  if_given?: boolean;
  gap_rule?: GapRule;
  text: string;
  source: string;
  mark: string;
}

export interface Profile { id: string; name: string; criteria: Criterion[] }

export interface Criteria { default: string; types: Record<string, Place[] | null>; profiles: Profile[] }

export type Status = "pass" | "fail" | "missing";

export interface Finding {
  part: Part;
  component: string;
  status: Status;
  criterion: string;
  source?: string;
  message: string;
}

export interface Verdict {
  profile: string;
  pass: boolean;
  fail: boolean;
  complete: boolean;
  findings: Finding[];
  /** Check 1 minus relief opening, in their unit; null when it cannot be computed. */
  buffer: string | null;
  bypassBuffer: string | null;
}

const names: Record<string, string> = {
  "check-1": "check 1", "check-2": "check 2", "air-inlet": "air inlet", "bypass-check": "bypass check", "air-gap": "air gap",
};
export const componentName = (component: string) => names[component] ?? component;
export const placeName = (place: { part: Part; component: string }) =>
  (place.part === "bypass" && place.component !== "bypass-check" ? "bypass " : "") + componentName(place.component);

export function profileOf(criteria: Criteria, id: string): Profile | null {
  return criteria.profiles.find((p) => p.id === (id || criteria.default)) ?? null;
}

/** Applies a profile to the readings of one test. Any final reading makes only the final ones count. */
export function judge(profile: Profile, places: Place[], all: Reading[]): Verdict {
  const readings = counting(all);
  const findings = places.flatMap((place) => judgePlace(profile, place, readings));
  const fail = findings.some((f) => f.status === "fail");
  const complete = findings.length > 0 && findings.every((f) => f.status !== "missing");
  return {
    profile: profile.id, pass: complete && !fail, fail, complete, findings,
    buffer: buffer(readings, "main"), bypassBuffer: buffer(readings, "bypass"),
  };
}

export interface ShutOffs { shut_off_1?: string; shut_off_2?: string; no_flow_proved?: boolean }

/**
 * Applies a profile with regard to the shut-offs. A No. 2 that leaks puts the
 * unit in flow: the test is not completed unless no flow was proved (EPA
 * 816-R-03-002, ch. 5). If check 1 of a double check fails while No. 1 leaks,
 * check 1 is repaired before check 2 is tested (Foundation newsletter, Spring 2001).
 */
export function judgeTest(profile: Profile, places: Place[], test: ShutOffs & { readings: Reading[] }): Verdict {
  const v = judge(profile, places, test.readings);
  if (test.shut_off_2 === "leaked" && !test.no_flow_proved) {
    const message = "No. 2 shut-off does not hold: the unit is in flow and the readings are not valid";
    const finding: Finding = { part: "main", component: "shut-off-2", status: "missing", criterion: "held", source: "EPA 816-R-03-002 (2003), ch. 5", message };
    return { ...v, pass: false, fail: false, complete: false, findings: [...v.findings, finding] };
  }
  const main = (component: string) => (f: Finding) => f.part === "main" && f.component === component;
  const doubleCheck = places.some((p) => p.part === "main" && p.family === "DC");
  if (test.shut_off_1 === "leaked" && doubleCheck && v.findings.some((f) => main("check-1")(f) && f.status === "fail")) {
    const message = "check 1 fails and No. 1 shut-off leaks: repair check 1 before testing check 2";
    const findings = v.findings.map((f) => (main("check-2")(f) ? { ...f, status: "missing" as const, source: "Foundation newsletter, Spring 2001", message } : f));
    return { ...v, complete: false, findings };
  }
  return v;
}

export const opinion = (v: Verdict): "pass" | "fail" | "not-completed" => (v.fail ? "fail" : v.pass ? "pass" : "not-completed");

const counting = (all: Reading[]) => {
  const final = all.filter((r) => r.phase === "final");
  return final.length > 0 ? final : all;
};

function one(readings: Reading[], part: Part, component: string): Reading | null {
  const found = readings.filter((r) => r.part === part && r.component === component);
  return found.length === 1 ? found[0]! : null;
}

function judgePlace(profile: Profile, place: Place, readings: Reading[]): Finding[] {
  const what = placeName(place);
  const base = { part: place.part, component: place.component };
  const found = readings.filter((r) => r.part === place.part && r.component === place.component);
  const reading = found[0];
  if (!reading) return [{ ...base, status: "missing", criterion: "read", message: `${what} was not read` }];
  if (found.length > 1) return [{ ...base, status: "missing", criterion: "read once", message: `${what} was read more than once: which one counts?` }];
  if (reading.result === "leaked" || reading.result === "did-not-open") {
    const message = reading.result === "leaked" ? `${what} leaked` : `${what} did not open`;
    return [{ ...base, status: "fail", criterion: "held, or opened", message }];
  }
  const judged = profile.criteria
    .filter((c) => c.family === place.family && c.component === place.component)
    .flatMap((c) => {
      const said = apply(c, reading, what, readings);
      return said ? [{ ...base, ...said, criterion: c.text, source: c.source }] : [];
    });
  return judged.length > 0 ? judged : [{ ...base, status: "missing", criterion: "not known: ask", message: `${what}: this profile has no criterion for it` }];
}

type Said = { status: Status; message: string } | null;
const say = (status: Status, message: string) => ({ status, message });

/** One criterion on one reading; null when it does not apply. */
function apply(c: Criterion, r: Reading, what: string, readings: Reading[]): Said {
  switch (c.relation) {
    case "result": return judgeResult(c, r, what);
    case "fully-open": return judgeFullyOpen(r, what);
    case "gap": return judgeGap(c, r, what);
  }
  const number = parseDecimal(r.number ?? "");
  if (!number) {
    if (c.want && r.result === c.want) return say("pass", `${what} ${c.want}`);
    if (c.if_given) return null;
    return say("missing", `${what} has no number; ${c.text} is needed`);
  }
  switch (c.relation) {
    case "at-least": return judgeLimit(c, number, r.unit, `${what} read`);
    case "recorded": return say("pass", `${what} read ${show(number)} ${r.unit}`);
    case "above":
    case "above-by": return judgeAgainst(c, r, number, what, readings);
    default: return say("missing", `${what}: the criterion "${String(c.relation)}" is not known here`);
  }
}

/** A number by the limit of its own unit; nothing is converted. */
function judgeLimit(c: Criterion, number: Decimal, unit: Reading["unit"], what: string): Said {
  const limit = unit ? parseDecimal(c.limit?.[unit] ?? "") : null;
  if (!limit) return say("missing", `${what} "${show(number)}" ${unit ?? ""}: there is no limit in this unit`);
  if (compare(number, limit) < 0) return say("fail", `${what} ${show(number)} ${unit}; ${c.text} is needed`);
  return say("pass", `${what} ${show(number)} ${unit}`);
}

function judgeResult(c: Criterion, r: Reading, what: string): Said {
  if (r.result === c.want) return say("pass", `${what} ${c.want}`);
  if (!r.result) return c.if_given ? null : say("missing", `${what}: was not noted whether it ${c.want}`);
  return say("missing", `${what}: "${r.result}" does not answer whether it ${c.want}`);
}

function judgeFullyOpen(r: Reading, what: string): Said {
  if (r.fully_open === undefined || r.fully_open === null) return say("missing", `${what}: was not noted whether it opened fully`);
  return r.fully_open ? say("pass", `${what} opened fully`) : say("fail", `${what} did not open fully`);
}

function judgeGap(c: Criterion, r: Reading, what: string): Said {
  const number = parseDecimal(r.number ?? "");
  const supply = parseDecimal(r.gap_at?.supply_diameter ?? "");
  if (!number || !supply || !c.gap_rule) return say("missing", `${what}: the gap and the supply's diameter are needed`);
  const needed = gapNeeded(c.gap_rule, supply, r.gap_at!.beside_wall, r.unit);
  if (!needed) return say("missing", `${what}: no rule in "${r.unit ?? ""}"`);
  if (compare(number, needed) < 0) return say("fail", `${what} is ${show(number)} ${r.unit}; at least ${show(needed)} ${r.unit} is needed`);
  return say("pass", `${what} is ${show(number)} ${r.unit}`);
}

function gapNeeded(rule: GapRule, supply: Decimal, besideWall: boolean, unit: Reading["unit"]): Decimal | null {
  const least = unit ? parseDecimal((besideWall ? rule.at_least_beside_wall : rule.at_least)[unit] ?? "") : null;
  if (!least) return null;
  const wide = times(supply, besideWall ? rule.times_beside_wall : rule.times);
  return compare(wide, least) > 0 ? wide : least;
}

/** Against another component's number. Not applied when that one has none: its own finding says so. */
function judgeAgainst(c: Criterion, r: Reading, number: Decimal, what: string, readings: Reading[]): Said {
  const other = one(readings, r.part, c.against ?? "");
  const against = parseDecimal(other?.number ?? "");
  if (!other || !against || other.result === "did-not-open") return null;
  if (other.unit !== r.unit) return say("missing", `${what} and ${componentName(c.against!)} were read in different units`);
  const difference = minus(number, against);
  if (c.relation === "above-by") return judgeLimit(c, difference, r.unit, `${what} above ${componentName(c.against!)} by`);
  if (difference.digits <= 0n) return say("fail", `${what} read ${show(number)} ${r.unit}, which is not ${c.text}`);
  return say("pass", `${what} read ${show(number)} ${r.unit}, ${c.text}`);
}

function buffer(readings: Reading[], part: Part): string | null {
  const check = one(readings, part, "check-1");
  const relief = one(readings, part, "relief");
  const a = parseDecimal(check?.number ?? ""), b = parseDecimal(relief?.number ?? "");
  if (!a || !b || relief!.result === "did-not-open" || check!.unit !== relief!.unit) return null;
  return show(minus(a, b));
}

/** Which result words a component can have: checks hold or leak, a relief or an air inlet opens or does not. */
export function wordsFor(component: string): ResultWord[] {
  if (component === "air-gap") return [];
  return component === "relief" || component === "air-inlet" ? ["opened", "did-not-open"] : ["held", "leaked"];
}
