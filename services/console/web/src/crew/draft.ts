// A half-filled form, kept on the phone until it is recorded, and the command
// it becomes. Pure but for the two functions that keep it.

import type { Component, Outcome, PartWanted, Test, Work } from "../types";
import { wordsFor, type Phase, type Reading, type ResultWord, type Unit } from "../verdict";

export interface TypedReading { number: string; unit: Unit; result: ResultWord | ""; fullyOpen: "" | "yes" | "no"; supply: string; wall: boolean }

export interface Draft {
  gauge: string;
  tester: string;
  procedure: string;
  linePressure: string;
  shutOff1: "" | "held" | "leaked";
  shutOff2: "" | "held" | "leaked";
  noFlow: boolean;
  initial: Record<string, TypedReading>;
  repaired: boolean;
  cleaned: boolean;
  fitted: string[];
  repairWords: string;
  final: Record<string, TypedReading>;
  outcome: Outcome | "";
  why: string;
  words: string;
  parts: PartWanted[];
  newSerial: string;
  newMaker: string;
  newModel: string;
  seen: string;
}

export const emptyDraft: Draft = {
  gauge: "", tester: "", procedure: "", linePressure: "", shutOff1: "", shutOff2: "", noFlow: false,
  initial: {}, repaired: false, cleaned: false, fitted: [], repairWords: "", final: {},
  outcome: "", why: "", words: "", parts: [], newSerial: "", newMaker: "", newModel: "", seen: "",
};

export const placeKey = (c: { part: string; component: string }) => `${c.part} ${c.component}`;

export const emptyReading = (component: string): TypedReading =>
  ({ number: "", unit: component === "air-gap" ? "in" : "psid", result: "", fullyOpen: "", supply: "", wall: false });

/** The readings that were typed, as the criteria and the log want them. */
export function readingsOf(components: Component[], typed: Record<string, TypedReading>, phase: Phase): Reading[] {
  return components.flatMap((c): Reading[] => {
    const t = typed[placeKey(c)];
    if (!t || (t.number.trim() === "" && t.result === "" && t.fullyOpen === "")) return [];
    const number = t.number.trim().replace(",", ".");
    return [{
      part: c.part, component: c.component, phase,
      ...(number ? { number, unit: t.unit } : {}),
      ...(t.result && wordsFor(c.component).includes(t.result) ? { result: t.result } : {}),
      ...(t.fullyOpen ? { fully_open: t.fullyOpen === "yes" } : {}),
      ...(c.component === "air-gap" && t.supply ? { gap_at: { supply_diameter: t.supply.trim().replace(",", "."), beside_wall: t.wall } } : {}),
    }];
  });
}

/** Whether this outcome comes with a test. */
export const withTest = (outcome: Outcome | "") => outcome === "passed" || outcome === "failed" || outcome === "repaired-and-passed";

/** The tests of a draft: as found, and after a repair. */
export function testsOf(draft: Draft, work: Work, at: string): { initial?: Test; final?: Test } {
  const components = work.components ?? [];
  const test = (readings: Reading[], says: Test["says"]): Test => ({
    gauge: draft.gauge, tester: draft.tester, procedure: draft.procedure, at, readings, says, profile: work.profile,
    ...(draft.linePressure ? { line_pressure: draft.linePressure, line_pressure_unit: "psid" } : {}),
    ...(draft.shutOff1 ? { shut_off_1: draft.shutOff1 } : {}),
    ...(draft.shutOff2 ? { shut_off_2: draft.shutOff2 } : {}),
    ...(draft.noFlow ? { no_flow_proved: true } : {}),
  });
  const initial = readingsOf(components, draft.initial, "initial");
  const final = draft.repaired ? readingsOf(components, draft.final, "final") : [];
  const said: Test["says"] = draft.outcome === "passed" ? "pass" : draft.outcome === "failed" || draft.outcome === "repaired-and-passed" ? "fail" : "not-completed";
  return {
    ...(initial.length > 0 || withTest(draft.outcome) ? { initial: test(initial, said) } : {}),
    ...(final.length > 0 ? { final: test(final, draft.outcome === "repaired-and-passed" ? "pass" : "fail") } : {}),
  };
}

/** What keeps the draft from being recorded, in the order of the form; empty when nothing does. */
export function missing(draft: Draft): ("outcome" | "gauge" | "tester" | "why" | "serial" | "seen" | "final")[] {
  if (!draft.outcome) return ["outcome"];
  const lacks: ReturnType<typeof missing> = [];
  if (withTest(draft.outcome) && !draft.gauge) lacks.push("gauge");
  if (withTest(draft.outcome) && !draft.tester) lacks.push("tester");
  if (draft.outcome === "could-not-test" && !draft.why) lacks.push("why");
  if (draft.outcome === "replaced" && !draft.newSerial.trim()) lacks.push("serial");
  if (draft.outcome === "wrong-type" && !draft.seen) lacks.push("seen");
  if (draft.outcome === "repaired-and-passed" && !draft.repaired) lacks.push("final");
  return lacks;
}

const keep = (job: string) => `valveround draft ${job}`;

export function readDraft(job: string): Draft | null {
  const text = localStorage.getItem(keep(job));
  return text ? { ...emptyDraft, ...(JSON.parse(text) as Partial<Draft>) } : null;
}

/** Keeps a draft; null forgets it. */
export function keepDraft(job: string, draft: Draft | null): void {
  if (draft) localStorage.setItem(keep(job), JSON.stringify(draft));
  else localStorage.removeItem(keep(job));
}

/** Who tested with what by which procedure last time: the next form begins with it. */
export function lastSetup(): Pick<Draft, "gauge" | "tester" | "procedure"> {
  const text = localStorage.getItem("valveround setup");
  return text ? (JSON.parse(text) as Pick<Draft, "gauge" | "tester" | "procedure">) : { gauge: "", tester: "", procedure: "" };
}

export function keepSetup(draft: Draft): void {
  const { gauge, tester, procedure } = draft;
  localStorage.setItem("valveround setup", JSON.stringify({ gauge, tester, procedure }));
}
