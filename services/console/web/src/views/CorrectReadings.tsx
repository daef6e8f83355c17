import { useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { emptyDraft, type Draft } from "../crew/draft";
import { Readings } from "../crew/Readings";
import { Setup } from "../crew/Setup";
import { correctedTest, draftOfTest, phaseOf, sameTest } from "../corrections";
import { useLoaded } from "../loaded";
import { address } from "../route";
import { dayAndClock } from "../time";
import type { JobForm } from "../types";
import { Empty, Refused, Shown } from "../ui/States";
import { placeName, profileOf } from "../verdict";
import { words } from "../words";

/** The readings of one test corrected by its tester: #/readings/ASSEMBLY/JOB/EVENT. */
export function CorrectReadings(props: { assembly: string; job: string; event: string }) {
  const { assembly, job, event } = props;
  const [done, setDone] = useState(false);
  const loaded = useLoaded(`form ${assembly} ${job}`, ["assembly"], () => api.jobForm(assembly, job));
  return <Shown loaded={loaded}>{(form) => <CorrectReadingsPage key={event} form={form} event={event} done={done} recorded={() => { setDone(true); loaded.again(); document.getElementById("page")?.focus(); }} />}</Shown>;
}

export function CorrectReadingsPage(props: { form: JobForm; event: string; done: boolean; recorded: () => void }) {
  const { form, event } = props;
  const { work } = form;
  const w = words.readings;
  const test = (form.tests ?? []).find((t) => t.event === event);
  const [draft, setDraft] = useState<Draft>(() => (test ? draftOfTest(test) : emptyDraft));
  const [by, setBy] = useState("");
  const [why, setWhy] = useState("");
  const [asked, setAsked] = useState(false);
  const [refused, setRefused] = useState<string[] | null>(null);
  const unit = [work.type, work.size, work.place].filter(Boolean).join(", ");
  const head = <><h1>{w.title(unit, form.site.name)}</h1><p class="small"><a href={address("assembly", work.assembly)}>{words.paper.toAssembly}</a></p></>;
  if (!test) return <>{head}<Empty><p>{w.none}</p></Empty></>;

  const components = work.components ?? [];
  const places = form.criteria.types[work.type] ?? [];
  const phase = phaseOf(test);
  const tester = (form.people ?? []).find((p) => p.id === test.tester)?.name ?? test.tester;
  const corrected = correctedTest(test, components, draft);
  const lacks = [!by && w.lacks.by, !why.trim() && w.lacks.why, sameTest(test, corrected) && w.lacks.same].filter((l): l is string => Boolean(l));
  const record = (submit: Event) => {
    submit.preventDefault();
    setAsked(true);
    if (lacks.length > 0) return;
    setRefused(null);
    api.correctReadings({ by, assembly: work.assembly, job: work.job, about: event, words: why.trim(), test: corrected }).then(
      () => { setWhy(""); setAsked(false); props.recorded(); },
      (error: unknown) => setRefused(error instanceof Refusal ? error.sentences : [String(error)]),
    );
  };
  return (
    <form class="record keyed" onSubmit={record}>
      {head}
      {props.done && <p class="said" role="status">{w.recorded}</p>}
      {refused && <Refused title={words.states.refused} sentences={refused} />}
      <p>{w.only(tester)} {w.stays(w.says[test.says] ?? test.says)}</p>
      <section>
        <h2>{w.was}</h2>
        <p class="small soft">{dayAndClock(test.at, form.zone)}{test.corrected && ` · ${w.corrected}`}</p>
        <ul>{(test.readings ?? []).map((r) => <li key={`${r.part} ${r.component} ${r.phase}`}>{placeName(r)}: {[r.number && `${r.number} ${r.unit ?? ""}`, r.result && words.crew.results[r.result as "held"]].filter(Boolean).join(", ")}</li>)}</ul>
      </section>
      <Setup draft={draft} set={(part) => setDraft((old) => ({ ...old, ...part, tester: test.tester }))} day={{ ...form, people: [{ id: test.tester, name: tester }] }} work={form.work} />
      <Readings legend={w.now} phase={phase} components={components} places={places} profile={profileOf(form.criteria, work.profile)} typed={draft.initial} change={(initial) => setDraft((old) => ({ ...old, initial }))} />
      <div class="actions">
        <label class="field">{w.by}
          <select value={by} onChange={(change) => setBy(change.currentTarget.value)}>
            <option value="">{words.crew.choose}</option>
            {(form.people ?? []).map((p) => <option key={p.id} value={p.id}>{p.name}</option>)}
          </select>
        </label>
        <label class="field wide">{w.why}<input value={why} onInput={(change) => setWhy(change.currentTarget.value)} /></label>
        <button type="submit" class="main">{w.record}</button>
      </div>
      {asked && lacks.length > 0 && <p class="fault" role="alert">{lacks.join(" ")}</p>}
    </form>
  );
}
