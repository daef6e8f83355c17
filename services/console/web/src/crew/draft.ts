// A half-filled form, kept on the phone until it is recorded, and the command
// it becomes. Pure but for the two functions that keep it.

import type { ComponentRepair, Component, KitTrouble, Outcome, PartWanted, Repaired, Test, Work } from "../types";
import { wordsFor, type Phase, type Reading, type ResultWord, type Unit } from "../verdict";

export interface TypedReading { number: string; unit: Unit; result: ResultWord | ""; fullyOpen: "" | "yes" | "no"; supply: string; wall: boolean }

/** What was done to one component. */
export interface Done { did: "" | "cleaned" | "fitted" | "closed"; code: string; found: string }

export const emptyDone: Done = { did: "", code: "", found: "" };

export interface Draft {
  gauge: string;
  tester: string;
  procedure: string;
  linePressure: string;
  shutOff1: "" | "held" | "leaked";
  shutOff2: "" | "held" | "leaked";
  noFlow: boolean;
  waterMeter: string;
  detectorMeter: string;
  forwardFlow: string;
  initial: Record<string, TypedReading>;
  repaired: boolean;
  done: Record<string, Done>;
  wrong: KitTrouble[];
  repairWords: string;
  final: Record<string, TypedReading>;
  outcome: Outcome | "";
  why: string;
  which: string;
  who: string;
  from: string;
  words: string;
  parts: PartWanted[];
  newSerial: string;
  newMaker: string;
  newModel: string;
  newType: string;
  newSize: string;
  seen: string;
}

export const emptyDraft: Draft = {
  gauge: "", tester: "", procedure: "", linePressure: "", shutOff1: "", shutOff2: "", noFlow: false, waterMeter: "", detectorMeter: "", forwardFlow: "",
  initial: {}, repaired: false, done: {}, wrong: [], repairWords: "", final: {},
  outcome: "", why: "", which: "", who: "", from: "", words: "", parts: [], newSerial: "", newMaker: "", newModel: "", newType: "", newSize: "", seen: "",
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

/** Meter readings as read, and the forward flow in US gallons a minute; what was not read is left out. */
export const metersOf = (draft: Pick<Draft, "waterMeter" | "detectorMeter" | "forwardFlow">) => ({
  ...(draft.waterMeter.trim() ? { water_meter_reading: draft.waterMeter.trim() } : {}),
  ...(draft.detectorMeter.trim() ? { detector_meter_reading: draft.detectorMeter.trim() } : {}),
  ...(Number(draft.forwardFlow) > 0 ? { forward_flow_gpm: Math.round(Number(draft.forwardFlow)) } : {}),
});

/** The tests of a draft: as found, and after a repair. */
export function testsOf(draft: Draft, work: Work, at: string): { initial?: Test; final?: Test } {
  const components = work.components ?? [];
  const test = (readings: Reading[], says: Test["says"]): Test => ({
    gauge: draft.gauge, tester: draft.tester, procedure: draft.procedure, at, readings, says, profile: work.profile,
    ...(draft.linePressure ? { line_pressure: draft.linePressure, line_pressure_unit: "psid" } : {}),
    ...(draft.shutOff1 ? { shut_off_1: draft.shutOff1 } : {}),
    ...(draft.shutOff2 ? { shut_off_2: draft.shutOff2 } : {}),
    ...(draft.noFlow ? { no_flow_proved: true } : {}),
    ...metersOf(draft),
  });
  const initial = readingsOf(components, draft.initial, "initial");
  const final = draft.repaired ? readingsOf(components, draft.final, "final") : [];
  const said: Test["says"] = draft.outcome === "passed" ? "pass" : draft.outcome === "failed" || draft.outcome === "repaired-and-passed" ? "fail" : "not-completed";
  return {
    ...(initial.length > 0 || withTest(draft.outcome) ? { initial: test(initial, said) } : {}),
    ...(final.length > 0 ? { final: test(final, draft.outcome === "repaired-and-passed" ? "pass" : "fail") } : {}),
  };
}

/** The repair of a draft, by component; null when nothing was opened. */
export function repairOf(draft: Draft, work: Work): Repaired | null {
  if (!draft.repaired) return null;
  const components = (work.components ?? []).flatMap((c): ComponentRepair[] => {
    const done = draft.done[placeKey(c)];
    if (!done?.did) return [];
    return [{
      part: c.part, component: c.component, did: done.did,
      ...(done.did === "fitted" && done.code ? { code: done.code } : {}),
      ...(done.found ? { found: done.found } : {}),
    }];
  });
  const free = [...(work.parts ?? [])].filter((p) => p.item);
  const fitted = components.flatMap((c): PartWanted[] => {
    if (c.did !== "fitted" || !c.code) return [];
    const at = free.findIndex((p) => p.code === c.code);
    const [kit] = at < 0 ? [] : free.splice(at, 1); // the very kit that was set aside for this job
    return [{ code: c.code, part: c.part, component: c.component, ...(kit?.item ? { item: kit.item } : {}) }];
  });
  return { job: work.job, components, fitted, ...(draft.repairWords ? { words: draft.repairWords } : {}) };
}

/** Whether everything that was opened was closed again as it was. */
export const onlyClosed = (draft: Draft): boolean => {
  const did = Object.values(draft.done).map((d) => d.did).filter(Boolean);
  return draft.repaired && did.length > 0 && did.every((d) => d === "closed");
};

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

/** A job is named within its assembly. */
export const workKey = (work: { assembly: string; job: string }) => `${work.assembly} ${work.job}`;

const keep = (key: string) => `valveround draft ${key}`;

export function readDraft(key: string): Draft | null {
  const text = localStorage.getItem(keep(key));
  if (!text) return null;
  try {
    return { ...emptyDraft, ...(JSON.parse(text) as Partial<Draft>) };
  } catch {
    return null; // what cannot be read is as if it had never been typed
  }
}

/** Keeps a draft; null forgets it. */
export function keepDraft(key: string, draft: Draft | null): void {
  try {
    if (draft) localStorage.setItem(keep(key), JSON.stringify(draft));
    else localStorage.removeItem(keep(key));
  } catch {
    // Storage is full or forbidden: the form still holds it until it is closed.
  }
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
