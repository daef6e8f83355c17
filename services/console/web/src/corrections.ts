// A test's readings as a form shows them, and the form as a corrected test. The verdict and the instant stay as they were.

import { emptyDraft, emptyReading, metersOf, placeKey, readingsOf, type Draft, type TypedReading } from "./crew/draft";
import type { Component, Test } from "./types";
import type { Phase, ResultWord, Unit } from "./verdict";

export const phaseOf = (test: Pick<Test, "readings">): Phase => ((test.readings ?? [])[0]?.phase === "final" ? "final" : "initial");

/** The form filled with what a test says. A number that was not read stays empty. */
export function draftOfTest(test: Test): Draft {
  const typed: Record<string, TypedReading> = {};
  for (const r of test.readings ?? []) {
    typed[placeKey(r)] = {
      ...emptyReading(r.component), number: r.number ?? "", ...(r.unit && { unit: r.unit as Unit }), result: (r.result ?? "") as ResultWord | "",
      fullyOpen: r.fully_open === undefined || r.fully_open === null ? "" : r.fully_open ? "yes" : "no",
      ...(r.gap_at && { supply: String(r.gap_at.supply_diameter), wall: Boolean(r.gap_at.beside_wall) }),
    };
  }
  return {
    ...emptyDraft, gauge: test.gauge, tester: test.tester, procedure: test.procedure, linePressure: test.line_pressure ?? "",
    shutOff1: (test.shut_off_1 ?? "") as Draft["shutOff1"], shutOff2: (test.shut_off_2 ?? "") as Draft["shutOff2"], noFlow: Boolean(test.no_flow_proved), initial: typed,
    waterMeter: test.water_meter_reading ?? "", detectorMeter: test.detector_meter_reading ?? "", forwardFlow: test.forward_flow_gpm ? String(test.forward_flow_gpm) : "",
  };
}

/** What the form says was read in truth, as a test. */
export function correctedTest(was: Test, components: Component[], draft: Draft): Test {
  const readings = readingsOf(components, draft.initial, phaseOf(was)) as Test["readings"];
  return {
    gauge: draft.gauge, tester: was.tester, procedure: draft.procedure, at: was.at, says: was.says, readings,
    ...(draft.linePressure.trim() && { line_pressure: draft.linePressure.trim(), line_pressure_unit: was.line_pressure_unit || "psid" }),
    ...(draft.shutOff1 && { shut_off_1: draft.shutOff1 }), ...(draft.shutOff2 && { shut_off_2: draft.shutOff2 }), ...(draft.noFlow && { no_flow_proved: true }),
    ...metersOf(draft), ...(was.profile && { profile: was.profile }),
  };
}

/** Whether nothing was changed; in which order the readings stand does not matter. */
export function sameTest(a: Test, b: Test): boolean {
  const plain = (t: Test) => JSON.stringify([
    t.gauge, t.procedure, t.line_pressure ?? "", t.shut_off_1 ?? "", t.shut_off_2 ?? "", Boolean(t.no_flow_proved), t.water_meter_reading ?? "", t.detector_meter_reading ?? "", t.forward_flow_gpm ?? 0,
    [...(t.readings ?? [])].sort((x, y) => placeKey(x).localeCompare(placeKey(y))).map((r) => [r.part, r.component, r.phase, r.number ?? "", r.number ? r.unit ?? "" : "", r.result ?? "", r.fully_open ?? null, r.gap_at ? [String(r.gap_at.supply_diameter), r.gap_at.beside_wall] : null]),
  ]);
  return plain(a) === plain(b);
}
