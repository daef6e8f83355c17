import { useState } from "preact/hooks";
import { stopWords } from "../stopwords";
import { phoneWords } from "../phonewords";
import { clock, dayName } from "../time";
import type { CrewDay, Outcome, Stop, Work } from "../types";
import { judgeTest, opinion, profileOf, type Place } from "../verdict";
import { words } from "../words";
import { emptyDraft, keepDraft, keepSetup, lastSetup, missing, readDraft, readingsOf, repairOf, testsOf, workKey, type Draft } from "./draft";
import { OutcomeDetails } from "./OutcomeDetails";
import { Photos } from "./Photos";
import { tap } from "./phone";
import { Readings } from "./Readings";
import { Repair } from "./Repair";
import { instantAt } from "./typed";
import { SerialSeen } from "./SerialSeen";
import { Setup } from "./Setup";

/** What a form asks from: the crew's day on the phone, the job's own form in the office. */
export type Sheet = Pick<CrewDay, "date" | "gauges" | "people" | "procedures" | "could_not_reasons" | "types" | "next_steps" | "causes">;

export const outcomes: Outcome[] = [
  "passed", "failed", "repaired-and-passed", "could-not-test", "not-found", "removed", "replaced", "wrong-type", "owner-refused", "no-access", "ran-out-of-window",
];

/** One job: what was read, what was done, and what came of it. */
export function WorkForm(props: { day: CrewDay; stop: Stop; work: Work; done: () => void; begin?: Partial<Draft> }) {
  const { day, work } = props;
  const [draft, setDraft] = useState<Draft>(() => readDraft(workKey(work)) ?? { ...emptyDraft, ...begin(day), ...props.begin });
  const [asked, setAsked] = useState(false);
  const set = (part: Partial<Draft>) => {
    const next = { ...draft, ...part };
    setDraft(next);
    keepDraft(workKey(work), next);
  };
  const components = work.components ?? [];
  const places: Place[] = day.criteria.types[work.type] ?? [];
  const profile = profileOf(day.criteria, work.profile);
  const readings = [...readingsOf(components, draft.initial, "initial"), ...(draft.repaired ? readingsOf(components, draft.final, "final") : [])];
  const computed = profile && readings.length > 0
    ? opinion(judgeTest(profile, places, { readings, shut_off_1: draft.shutOff1, shut_off_2: draft.shutOff2, no_flow_proved: draft.noFlow }))
    : null;
  const lacks = missing(draft);

  const record = (event: Event) => {
    event.preventDefault();
    setAsked(true);
    if (lacks.length > 0) return;
    keepSetup(draft);
    keepDraft(workKey(work), null);
    void tap(words.crew.recorded(workTitle(work), words.crew.outcomes[draft.outcome as Outcome]), { kind: "finish-job", site: props.stop.site.id, ...finished(draft, work, day.date, new Date().toISOString(), props.stop.site.zone) });
    props.done();
  };

  return (
    <form onSubmit={record} class="work">
      {work.failure && <p>{words.crew.failedBefore} {work.failure}</p>}
      {work.stopped && <p>{stoppedWords(work, day.zone)}</p>}
      {work.outcome && <p class="soft">{stopWords.outcome.recordAgain}</p>}
      <Known work={work} />
      <SerialSeen work={work} stop={props.stop} />
      <Photos work={work} stop={props.stop} />
      {components.length > 0 && (
        <>
          <Setup draft={draft} set={set} day={day} work={work} />
          <Readings legend={words.crew.asFound} phase="initial" components={components} places={places} profile={profile} typed={draft.initial} change={(initial) => set({ initial })} />
          <Repair draft={draft} set={set} work={work} day={day} />
          {draft.repaired && (
            <Readings legend={words.crew.afterRepair} phase="final" components={components} places={places} profile={profile} typed={draft.final} change={(final) => set({ final })} />
          )}
        </>
      )}
      <fieldset>
        <legend>{words.crew.outcome}</legend>
        {outcomes.map((o) => (
          <label key={o} class="choice">
            <input type="radio" name={`outcome-${workKey(work)}`} checked={draft.outcome === o} onChange={() => set({ outcome: o, ...(o === "repaired-and-passed" ? { repaired: true } : {}) })} />
            {words.crew.outcomes[o]}
          </label>
        ))}
        <TwoVerdicts outcome={draft.outcome} computed={computed} />
      </fieldset>
      <OutcomeDetails draft={draft} set={set} work={work} day={day} components={components} zone={props.stop.site.zone} />
      <label class="field">{words.crew.remarks}<textarea rows={2} value={draft.words} onInput={(event) => set({ words: event.currentTarget.value })} /></label>
      {asked && lacks.length > 0 && <p class="warn" role="alert">{lacks.map((l) => words.crew.lacks[l]).join(" ")}</p>}
      <div class="actions">
        <button type="submit" class="main">{draft.outcome ? words.crew.record(words.crew.outcomes[draft.outcome]) : words.crew.recordNothing}</button>
        <button type="button" onClick={props.done}>{words.crew.keepForLater}</button>
      </div>
    </form>
  );
}

/** What the phone knows of the unit without signal: its history, and the repair kits that fit it. */
function Known(props: { work: Work }) {
  const past = props.work.past ?? [], kits = props.work.kits_at_hand ?? [];
  return (
    <>
      {past.length > 0 && (
        <details>
          <summary>{phoneWords.past(past.length)}</summary>
          <ul>{past.map((p, i) => <li key={i}>{dayName(p.on)} {p.on.slice(0, 4)}: {p.words}</li>)}</ul>
        </details>
      )}
      {kits.length > 0 && (
        <details>
          <summary>{phoneWords.kits(kits.reduce((n, k) => n + k.count, 0))}</summary>
          <ul>{kits.map((k) => <li key={k.code + k.where}>{phoneWords.kit(k.code, k.count, k.where, k.mine)}</li>)}</ul>
        </details>
      )}
    </>
  );
}

export const workTitle = (work: Work) => [work.type, work.size, work.place].filter(Boolean).join(", ");

function stoppedWords(work: Work, zone: string): string {
  const s = work.stopped!;
  const why = [words.crew.outcomes[s.outcome as Outcome], s.why && (words.crew.reasons[s.why] ?? s.why), s.which].filter(Boolean).join(", ");
  return stopWords.outcome.stoppedBefore(why, s.who ?? "", s.from ? clock(s.from, zone) : "");
}

/** The last set-up, as far as this crew still has it; a single gauge or person needs no choosing. */
function begin(day: CrewDay): Pick<Draft, "gauge" | "tester" | "procedure"> {
  const last = lastSetup();
  const gauges = (day.gauges ?? []).filter((g) => g.valid).map((g) => g.id);
  const people = (day.people ?? []).map((p) => p.id);
  const procedures = day.procedures ?? [];
  const pick = (was: string, all: string[]) => (all.includes(was) ? was : all.length === 1 ? all[0]! : "");
  return { gauge: pick(last.gauge, gauges), tester: pick(last.tester, people), procedure: pick(last.procedure, procedures) };
}

type Opinion = "pass" | "fail" | "not-completed";
const opinionOf: Partial<Record<Outcome, Opinion>> = { passed: "pass", "repaired-and-passed": "pass", failed: "fail", "could-not-test": "not-completed" };

/** The tester's verdict and the criteria's side by side; neither overwrites the other. */
export function TwoVerdicts(props: { outcome: Outcome | ""; computed: Opinion | null }) {
  const yours = props.outcome && opinionOf[props.outcome];
  if (!yours || !props.computed) return null;
  const said = stopWords.outcome.side(stopWords.outcome.computed[props.computed], stopWords.outcome.yours[yours]);
  return <p class={yours === props.computed ? "soft" : "warn"} role="status">{said}</p>;
}

/** The result as it is sent: what was read and done, and what came of it; `at` is when it was tested, `zone` that of the site. */
export function finished(draft: Draft, work: Work, date: string, at: string, zone: string) {
  const outcome = draft.outcome as Outcome;
  const parts = outcome === "failed" ? draft.parts.filter((p) => p.code) : [];
  const repair = repairOf(draft, work);
  const obstacle = { ...(draft.which ? { which: draft.which } : {}), ...(draft.who ? { who: draft.who } : {}), ...(draft.from ? { from: instantAt(draft.from, zone) } : {}) };
  const hasObstacle = Object.keys(obstacle).length > 0 && !["passed", "failed", "repaired-and-passed", "replaced", "removed", "wrong-type"].includes(outcome);
  return {
    assembly: work.assembly, job: work.job, outcome,
    ...(work.components && work.components.length > 0 ? testsOf(draft, work, at) : {}),
    ...(repair ? { repair } : {}),
    ...(draft.wrong.length > 0 ? { wrong_kits: draft.wrong } : {}),
    ...(outcome === "could-not-test" ? { why: draft.why } : {}),
    ...(hasObstacle ? { obstacle } : {}),
    ...(draft.words ? { words: draft.words } : {}),
    ...(parts.length > 0 ? { parts } : {}),
    ...(outcome === "replaced" ? { new: { job: work.job, on: date, old_serial: work.serial ?? "", serial: draft.newSerial, maker: draft.newMaker, model: draft.newModel, type: draft.newType || work.type } } : {}),
    ...(outcome === "wrong-type" ? { seen: draft.seen } : {}),
  };
}
