import { stopWords } from "../stopwords";
import { words } from "../words";
import type { Sheet } from "./WorkForm";
import type { Work } from "../types";
import type { Draft } from "./draft";

/** Gauge, tester, procedure, line pressure and the shut-offs: before anything is read. What is not valid today is said, and recorded all the same. */
export function Setup(props: { draft: Draft; set: (part: Partial<Draft>) => void; day: Sheet; work: Pick<Work, "type" | "service"> }) {
  const { draft, set, day } = props;
  const gauge = (day.gauges ?? []).find((g) => g.id === draft.gauge);
  const tester = (day.people ?? []).find((p) => p.id === draft.tester);
  return (
    <fieldset>
      <legend>{words.crew.setup}</legend>
      <div class="actions">
        <label class="field">{words.crew.gauge}
          <select value={draft.gauge} onChange={(event) => set({ gauge: event.currentTarget.value })}>
            <option value="">{words.crew.choose}</option>
            {(day.gauges ?? []).map((g) => <option key={g.id} value={g.id}>{g.words ? `${g.serial}: ${g.words}` : words.crew.gaugeLine(g.serial, g.certified_until)}</option>)}
          </select>
        </label>
        <label class="field">{words.crew.tester}
          <select value={draft.tester} onChange={(event) => set({ tester: event.currentTarget.value })}>
            <option value="">{words.crew.choose}</option>
            {(day.people ?? []).map((p) => <option key={p.id} value={p.id}>{p.lacks ? `${p.name}: ${p.lacks}` : p.name}</option>)}
          </select>
        </label>
        <label class="field">{words.crew.procedure}
          <select value={draft.procedure} onChange={(event) => set({ procedure: event.currentTarget.value })}>
            <option value="">{words.crew.choose}</option>
            {(day.procedures ?? []).map((p) => <option key={p}>{p}</option>)}
          </select>
        </label>
        <label class="field">{words.crew.linePressure}
          <input inputMode="decimal" value={draft.linePressure} onInput={(event) => set({ linePressure: event.currentTarget.value })} />
        </label>
        {(["shutOff1", "shutOff2"] as const).map((which) => (
          <label key={which} class="field">{words.crew[which]}
            <select value={draft[which]} onChange={(event) => set({ [which]: event.currentTarget.value as Draft["shutOff1"] })}>
              <option value="">{words.crew.notNoted}</option>
              <option value="held">{words.crew.results.held}</option>
              <option value="leaked">{words.crew.results.leaked}</option>
            </select>
          </label>
        ))}
      </div>
      <Meters {...props} />
      {gauge?.words && <p class="warn" role="status">{stopWords.gaugeLacks(`${gauge.serial}: ${gauge.words}`)}</p>}
      {tester?.lacks && <p class="warn" role="status">{stopWords.testerLacks(tester.name, tester.lacks)}</p>}
      {draft.shutOff2 === "leaked" && (
        <label class="choice"><input type="checkbox" checked={draft.noFlow} onChange={(event) => set({ noFlow: event.currentTarget.checked })} />{words.crew.noFlow}</label>
      )}
    </fieldset>
  );
}

/** Meter readings, with digits and unit as read, and the forward flow of a fire line. */
function Meters(props: { draft: Draft; set: (part: Partial<Draft>) => void; work: Pick<Work, "type" | "service"> }) {
  const { draft, set, work } = props;
  const detector = /^(DCDA|RPDA)/.test(work.type);
  return (
    <details class="meters" open={Boolean(draft.waterMeter || draft.detectorMeter || draft.forwardFlow)}>
      <summary>{stopWords.meters.title}</summary>
      <div class="actions">
        <label class="field">{stopWords.meters.water}<input value={draft.waterMeter} onInput={(event) => set({ waterMeter: event.currentTarget.value })} /></label>
        {detector && <label class="field">{stopWords.meters.detector}<input value={draft.detectorMeter} onInput={(event) => set({ detectorMeter: event.currentTarget.value })} /></label>}
        {(detector || work.service === "fire") && <label class="field">{stopWords.meters.flow}<input inputMode="numeric" pattern="[0-9]*" value={draft.forwardFlow} onInput={(event) => set({ forwardFlow: event.currentTarget.value })} /></label>}
      </div>
    </details>
  );
}
