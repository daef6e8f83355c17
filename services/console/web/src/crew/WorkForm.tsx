import { useState } from "preact/hooks";
import type { Component, CrewDay, Outcome, PartWanted, Work } from "../types";
import { judgeTest, opinion, profileOf, type Place } from "../verdict";
import { words } from "../words";
import { emptyDraft, keepDraft, keepSetup, lastSetup, missing, placeKey, readDraft, readingsOf, testsOf, withTest, type Draft } from "./draft";
import { tap } from "./phone";
import { Readings } from "./Readings";

/** What a form asks from: the crew's day on the phone, the job's own form in the office. */
export type Sheet = Pick<CrewDay, "date" | "gauges" | "people" | "procedures" | "could_not_reasons" | "types">;

export const outcomes: Outcome[] = [
  "passed", "failed", "repaired-and-passed", "could-not-test", "not-found", "removed", "replaced", "wrong-type", "owner-refused", "no-access", "ran-out-of-window",
];

/** One job: what was read, what was done, and what came of it. */
export function WorkForm(props: { day: CrewDay; work: Work; done: () => void }) {
  const { day, work } = props;
  const [draft, setDraft] = useState<Draft>(() => readDraft(work.job) ?? { ...emptyDraft, ...begin(day) });
  const [asked, setAsked] = useState(false);
  const set = (part: Partial<Draft>) => {
    const next = { ...draft, ...part };
    setDraft(next);
    keepDraft(work.job, next);
  };
  const components = work.components ?? [];
  const places: Place[] = day.criteria.types[work.type] ?? [];
  const profile = profileOf(day.criteria, work.profile);
  const computed = profile && components.length > 0
    ? opinion(judgeTest(profile, places, {
        readings: [...readingsOf(components, draft.initial, "initial"), ...(draft.repaired ? readingsOf(components, draft.final, "final") : [])],
        shut_off_1: draft.shutOff1, shut_off_2: draft.shutOff2, no_flow_proved: draft.noFlow,
      }))
    : null;
  const lacks = missing(draft);

  const record = (event: Event) => {
    event.preventDefault();
    setAsked(true);
    if (lacks.length > 0) return;
    keepSetup(draft);
    keepDraft(work.job, null);
    void tap(words.crew.recorded(workTitle(work), words.crew.outcomes[draft.outcome as Outcome]), { kind: "finish-job", ...finished(draft, work, day.date, new Date().toISOString()) });
    props.done();
  };

  return (
    <form onSubmit={record} class="work">
      {work.failure && <p>{words.crew.failedBefore} {work.failure}</p>}
      {work.components && work.components.length > 0 && (
        <>
          <Setup draft={draft} set={set} day={day} />
          <Readings legend={words.crew.asFound} phase="initial" components={components} places={places} profile={profile} typed={draft.initial} change={(initial) => set({ initial })} />
          <Repair draft={draft} set={set} work={work} />
          {draft.repaired && (
            <Readings legend={words.crew.afterRepair} phase="final" components={components} places={places} profile={profile} typed={draft.final} change={(final) => set({ final })} />
          )}
        </>
      )}
      <fieldset>
        <legend>{words.crew.outcome}</legend>
        {outcomes.map((o) => (
          <label key={o} class="choice">
            <input type="radio" name={`outcome-${work.job}`} checked={draft.outcome === o} onChange={() => set({ outcome: o, ...(o === "repaired-and-passed" ? { repaired: true } : {}) })} />
            {words.crew.outcomes[o]}
          </label>
        ))}
        {disagrees(draft.outcome, computed) && <p class="warn" role="status">{words.crew.disagree(computed!)}</p>}
      </fieldset>
      <OutcomeDetails draft={draft} set={set} work={work} day={day} components={components} />
      <label class="field">{words.crew.remarks}<textarea rows={2} value={draft.words} onInput={(event) => set({ words: event.currentTarget.value })} /></label>
      {asked && lacks.length > 0 && <p class="warn" role="alert">{lacks.map((l) => words.crew.lacks[l]).join(" ")}</p>}
      <div class="actions">
        <button type="submit" class="main">{draft.outcome ? words.crew.record(words.crew.outcomes[draft.outcome]) : words.crew.recordNothing}</button>
        <button type="button" onClick={props.done}>{words.crew.keepForLater}</button>
      </div>
    </form>
  );
}

export const workTitle = (work: Work) => [work.type, work.size, work.place].filter(Boolean).join(", ");

/** The last set-up, as far as this crew still has it; a single gauge or person needs no choosing. */
function begin(day: CrewDay): Pick<Draft, "gauge" | "tester" | "procedure"> {
  const last = lastSetup();
  const gauges = (day.gauges ?? []).filter((g) => g.valid).map((g) => g.id);
  const people = (day.people ?? []).map((p) => p.id);
  const procedures = day.procedures ?? [];
  const pick = (was: string, all: string[]) => (all.includes(was) ? was : all.length === 1 ? all[0]! : "");
  return { gauge: pick(last.gauge, gauges), tester: pick(last.tester, people), procedure: pick(last.procedure, procedures) };
}

export const disagrees = (outcome: Outcome | "", computed: string | null) =>
  (computed === "fail" && (outcome === "passed" || outcome === "repaired-and-passed")) || (computed === "pass" && outcome === "failed");

/** The result as it is sent: what was read and done, and what came of it; `at` is when it was tested. */
export function finished(draft: Draft, work: Work, date: string, at: string) {
  const outcome = draft.outcome as Outcome;
  const parts = outcome === "failed" ? draft.parts.filter((p) => p.code) : [];
  return {
    assembly: work.assembly, job: work.job, outcome,
    ...(work.components && work.components.length > 0 ? testsOf(draft, work, at) : {}),
    ...(draft.repaired ? { repair: { job: work.job, cleaned: draft.cleaned, fitted: draft.fitted.map((code) => ({ code })), words: draft.repairWords } } : {}),
    ...(outcome === "could-not-test" ? { why: draft.why } : {}),
    ...(draft.words ? { words: draft.words } : {}),
    ...(parts.length > 0 ? { parts } : {}),
    ...(outcome === "replaced" ? { new: { job: work.job, on: date, old_serial: work.serial ?? "", serial: draft.newSerial, maker: draft.newMaker, model: draft.newModel, type: work.type } } : {}),
    ...(outcome === "wrong-type" ? { seen: draft.seen } : {}),
  };
}

type Part = { draft: Draft; set: (part: Partial<Draft>) => void };

/** Gauge, tester, procedure, line pressure and the shut-offs: before anything is read. */
export function Setup(props: Part & { day: Sheet }) {
  const { draft, set, day } = props;
  return (
    <fieldset>
      <legend>{words.crew.setup}</legend>
      <div class="actions">
        <label class="field">{words.crew.gauge}
          <select value={draft.gauge} onChange={(event) => set({ gauge: event.currentTarget.value })}>
            <option value="">{words.crew.choose}</option>
            {(day.gauges ?? []).map((g) => <option key={g.id} value={g.id} disabled={!g.valid}>{g.words || words.crew.gaugeLine(g.serial, g.certified_until)}</option>)}
          </select>
        </label>
        <label class="field">{words.crew.tester}
          <select value={draft.tester} onChange={(event) => set({ tester: event.currentTarget.value })}>
            <option value="">{words.crew.choose}</option>
            {(day.people ?? []).map((p) => <option key={p.id} value={p.id}>{p.name}</option>)}
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
      {draft.shutOff2 === "leaked" && (
        <label class="choice"><input type="checkbox" checked={draft.noFlow} onChange={(event) => set({ noFlow: event.currentTarget.checked })} />{words.crew.noFlow}</label>
      )}
    </fieldset>
  );
}

/** What was done to it. Without the owner's yes the unit is not opened. */
export function Repair(props: Part & { work: Work }) {
  const { draft, set, work } = props;
  const codes = [...new Set([...(work.kits ?? []), ...(work.kit_codes ?? [])])];
  return (
    <fieldset>
      <legend>{words.crew.repair}</legend>
      <p class="small">{work.yes_to_repair ? words.crew.repairYes(work.yes_to_repair) : words.crew.repairNo}</p>
      <label class="choice"><input type="checkbox" checked={draft.repaired} onChange={(event) => set({ repaired: event.currentTarget.checked })} />{words.crew.repairedNow}</label>
      {draft.repaired && (
        <>
          <p class="caution small">{words.crew.coverCaution}</p>
          <label class="choice"><input type="checkbox" checked={draft.cleaned} onChange={(event) => set({ cleaned: event.currentTarget.checked })} />{words.crew.cleaned}</label>
          {codes.map((code) => (
            <label key={code} class="choice">
              <input type="checkbox" checked={draft.fitted.includes(code)} onChange={(event) => set({ fitted: event.currentTarget.checked ? [...draft.fitted, code] : draft.fitted.filter((c) => c !== code) })} />
              {words.crew.fitted(code)}
            </label>
          ))}
          <label class="field">{words.crew.repairWords}<input value={draft.repairWords} onInput={(event) => set({ repairWords: event.currentTarget.value })} /></label>
        </>
      )}
    </fieldset>
  );
}

export function OutcomeDetails(props: Part & { work: Work; day: Sheet; components: Component[] }) {
  const { draft, set, day } = props;
  switch (draft.outcome) {
    case "failed": return <PartsNeeded {...props} />;
    case "could-not-test": return (
      <label class="field">{words.crew.whyNot}
        <select value={draft.why} onChange={(event) => set({ why: event.currentTarget.value })}>
          <option value="">{words.crew.choose}</option>
          {(day.could_not_reasons ?? []).map((r) => <option key={r} value={r}>{words.crew.reasons[r] ?? r}</option>)}
        </select>
      </label>
    );
    case "replaced": return (
      <fieldset>
        <legend>{words.crew.newUnit}</legend>
        <div class="actions">
          <label class="field">{words.crew.newSerial}<input value={draft.newSerial} onInput={(event) => set({ newSerial: event.currentTarget.value })} /></label>
          <label class="field">{words.crew.newMaker}<input value={draft.newMaker} onInput={(event) => set({ newMaker: event.currentTarget.value })} /></label>
          <label class="field">{words.crew.newModel}<input value={draft.newModel} onInput={(event) => set({ newModel: event.currentTarget.value })} /></label>
        </div>
      </fieldset>
    );
    case "wrong-type": return (
      <label class="field">{words.crew.seenType}
        <select value={draft.seen} onChange={(event) => set({ seen: event.currentTarget.value })}>
          <option value="">{words.crew.choose}</option>
          {(day.types ?? []).map((t) => <option key={t.type} value={t.type}>{`${t.type} ${t.name}`}</option>)}
        </select>
      </label>
    );
    default: return null;
  }
}

/** Which repair kits a failed unit needs, by component. */
function PartsNeeded(props: Part & { work: Work; components: Component[] }) {
  const { draft, set, work, components } = props;
  const codes = [...new Set([...(work.kit_codes ?? []), ...(work.kits ?? [])])];
  const code = (c: Component) => draft.parts.find((p) => p.part === c.part && p.component === c.component)?.code ?? "";
  const want = (c: Component, value: string) => {
    const others = draft.parts.filter((p) => placeKey({ part: p.part!, component: p.component! }) !== placeKey(c));
    set({ parts: value ? [...others, { code: value, part: c.part, component: c.component } satisfies PartWanted] : others });
  };
  return (
    <fieldset>
      <legend>{words.crew.partsNeeded}</legend>
      {components.map((c) => (
        <label key={placeKey(c)} class="field">{c.part === "bypass" ? `${words.crew.parts.bypass} ${c.name}` : c.name}
          {codes.length > 0
            ? <select value={code(c)} onChange={(event) => want(c, event.currentTarget.value)}>
                <option value="">{words.crew.noParts}</option>
                {codes.map((k) => <option key={k}>{k}</option>)}
              </select>
            : <input value={code(c)} placeholder={words.crew.kitCode} onInput={(event) => want(c, event.currentTarget.value.trim())} />}
        </label>
      ))}
    </fieldset>
  );
}

export { withTest };
