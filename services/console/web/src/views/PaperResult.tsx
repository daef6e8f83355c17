import { useRef, useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { peopleOnRecord } from "../contacts";
import { emptyDraft, missing, readingsOf, withTest, type Draft } from "../crew/draft";
import { OutcomeDetails } from "../crew/OutcomeDetails";
import { Readings } from "../crew/Readings";
import { Repair } from "../crew/Repair";
import { Setup } from "../crew/Setup";
import { finished, outcomes, TwoVerdicts } from "../crew/WorkForm";
import { useLoaded, useStaying } from "../loaded";
import { newCommandId } from "../outbox";
import { emptyLeft, leftOf, leftWhole, type Left } from "../paperleft";
import { instantIn } from "../records/zoned";
import { address } from "../route";
import { dayName } from "../time";
import type { JobForm, Office, PaperResultRequest } from "../types";
import { crewTitle } from "../ui/crewtitle";
import { Refused, Shown } from "../ui/States";
import { judgeTest, opinion, profileOf } from "../verdict";
import { words } from "../words";
import { PaperLeft } from "./PaperLeft";
import { PersonChoice } from "./PersonChoice";

/** A result keyed in from a signed paper: #/paper/ASSEMBLY/JOB. */
export function PaperResult(props: { office: Office; assembly: string; job: string }) {
  const { assembly, job } = props;
  const [signed, setSigned] = useState(props.office.today);
  // While the form is read for another day of signing, the one before stays, with all that was typed.
  const loaded = useStaying(useLoaded(`form ${assembly} ${job} ${signed}`, ["assembly", "feed", "person", "gauge"], () => api.jobForm(assembly, job, signed)));
  return <Shown loaded={loaded}>{(form) => <PaperResultPage key={`${assembly} ${job}`} office={props.office} form={form} signed={signed} sign={setSigned} />}</Shown>;
}

export interface Kept { name: string; sha256: string; bytes: number }

export function PaperResultPage(props: { office: Office; form: JobForm; signed: string; sign: (day: string) => void; kept?: Kept; left?: boolean }) {
  const { office, form, signed } = props;
  const { work } = form;
  const w = words.paper;
  const [kept, setKept] = useState<Kept | null>(props.kept ?? null);
  const [visit, setVisit] = useState(form.out?.date ?? "");
  const [at, setAt] = useState("");
  const [crew, setCrew] = useState(form.out?.crew ?? "");
  const [by, setBy] = useState("");
  const [draft, setDraft] = useState<Draft>(emptyDraft);
  const [left, setLeft] = useState<Left>(() => emptyLeft(form.feed));
  const [saysLeft, setSaysLeft] = useState(props.left ?? false);
  const [asked, setAsked] = useState(false);
  const [busy, setBusy] = useState(false);
  const [refused, setRefused] = useState<string[] | null>(null);
  const [done, setDone] = useState<{ said: string; alarms: string[] } | null>(null);
  const command = useRef(newCommandId());
  const set = (part: Partial<Draft>) => setDraft((old) => ({ ...old, ...part }));

  const components = work.components ?? [];
  const places = form.criteria.types[work.type] ?? [];
  const profile = profileOf(form.criteria, work.profile);
  const readings = [...readingsOf(components, draft.initial, "initial"), ...(draft.repaired ? readingsOf(components, draft.final, "final") : [])];
  const computed = profile && readings.length > 0
    ? opinion(judgeTest(profile, places, {
        readings,
        shut_off_1: draft.shutOff1, shut_off_2: draft.shutOff2, no_flow_proved: draft.noFlow,
      }))
    : null;
  const day = visit || signed;
  const lacks = [
    !kept && w.lacks.paper, !signed && w.lacks.signed, !by && w.lacks.by, !draft.tester && !missing(draft).includes("tester") && w.lacks.signer,
    !at && withTest(draft.outcome) && w.lacks.at,
    ...missing(draft).map((l) => words.crew.lacks[l]), saysLeft && !leftWhole(left) && w.lacks.left,
  ].filter((l): l is string => Boolean(l));

  const record = (event: Event) => {
    event.preventDefault();
    setAsked(true);
    if (lacks.length > 0 || busy) return;
    setBusy(true);
    setRefused(null);
    const request: PaperResultRequest = {
      command_id: command.current, by, sha256: kept!.sha256, signed_on: signed, tester: draft.tester, day, ...(crew && { crew }),
      ...finished(draft, work, day, instantIn(day, at || "12:00", form.zone), form.zone),
      ...(saysLeft && { as_left: leftOf(left), left_at: instantIn(day, left.at, form.zone) }),
    };
    api.paperResult(request).then(
      (receipt) => {
        command.current = newCommandId();
        setDone({ said: w.recorded(words.crew.outcomes[draft.outcome as keyof typeof words.crew.outcomes]), alarms: receipt.alarms ?? [] });
        setDraft(emptyDraft);
        setAsked(false);
        setKept(null);
        setSaysLeft(false);
        document.getElementById("page")?.focus();
      },
      (error: unknown) => {
        // Judged and refused: what is mended and sent then is another command.
        if (error instanceof Refusal && error.final) command.current = newCommandId();
        setRefused(error instanceof Refusal ? error.sentences : [String(error)]);
      },
    ).finally(() => setBusy(false));
  };

  const unit = [work.type, work.size, work.place].filter(Boolean).join(", ");
  return (
    <form class="record keyed" onSubmit={record} noValidate>
      <h1>{w.title(unit, form.site.name)}</h1>
      <p class="facts">{[form.site.address, work.maker, work.model, work.serial && words.crew.serial(work.serial), work.purveyor, work.work || work.kind].filter(Boolean).join(" · ")}</p>
      <p class="small"><a href={address("assembly", work.assembly)}>{w.toAssembly}</a></p>
      {done && (
        <div class="said" role="status">
          <p><strong>{done.said}</strong> <a href={address("report", work.assembly, work.job)}>{w.toReport}</a> <a href={address("filing")}>{w.toFiling}</a></p>
          {done.alarms.map((alarm) => <p key={alarm} class="warn">{alarm}</p>)}
        </div>
      )}
      {refused && <Refused title={words.states.refused} sentences={refused} />}
      <Before form={form} />
      <p class="small">{w.lead}</p>
      <fieldset>
        <legend>{w.the}</legend>
        <Attach kept={kept} keep={setKept} refuse={setRefused} />
        <div class="actions">
          <label class="field">{w.signedOn}<input type="date" value={signed} max={office.today} required onInput={(event) => event.currentTarget.value && props.sign(event.currentTarget.value)} /></label>
          <label class="field">{w.visitOn}<input type="date" value={visit} max={office.today} onInput={(event) => setVisit(event.currentTarget.value)} /></label>
          <label class="field">{w.at}<input type="time" value={at} onInput={(event) => setAt(event.currentTarget.value)} /></label>
          <label class="field">{w.crew}
            <select value={crew} onChange={(event) => setCrew(event.currentTarget.value)}>
              <option value="">{w.noCrew}</option>
              {(form.crews ?? []).map((c) => <option key={c.id} value={c.id}>{`${c.letter} ${crewTitle(c)}`}</option>)}
            </select>
          </label>
          <PersonChoice label={w.by} list="record" read={peopleOnRecord} value={by} change={setBy} />
        </div>
      </fieldset>
      {work.failure && <p>{words.crew.failedBefore} {work.failure}</p>}
      <Setup draft={draft} set={set} day={form} work={work} />
      {components.length > 0 && (
        <>
          <Readings legend={words.crew.asFound} phase="initial" components={components} places={places} profile={profile} typed={draft.initial} change={(initial) => set({ initial })} />
          <Repair draft={draft} set={set} work={work} day={form} />
          {draft.repaired && <Readings legend={words.crew.afterRepair} phase="final" components={components} places={places} profile={profile} typed={draft.final} change={(final) => set({ final })} />}
        </>
      )}
      <fieldset>
        <legend>{words.crew.outcome}</legend>
        <div class="choices">
          {outcomes.map((o) => (
            <label key={o} class="choice">
              <input type="radio" name="outcome" checked={draft.outcome === o} onChange={() => set({ outcome: o, ...(o === "repaired-and-passed" ? { repaired: true } : {}) })} />
              {words.crew.outcomes[o]}
            </label>
          ))}
        </div>
        <TwoVerdicts outcome={draft.outcome} computed={computed} />
      </fieldset>
      <OutcomeDetails draft={draft} set={set} work={work} day={form} components={components} zone={form.zone} />
      <label class="field wide">{words.crew.remarks}<textarea rows={2} value={draft.words} onInput={(event) => set({ words: event.currentTarget.value })} /></label>
      {form.feed.id && (
        <fieldset>
          <legend>{w.left}</legend>
          <label class="choice"><input type="checkbox" checked={saysLeft} onChange={(event) => setSaysLeft(event.currentTarget.checked)} />{w.saysLeft}</label>
          {saysLeft && <PaperLeft feed={form.feed} left={left} change={setLeft} />}
        </fieldset>
      )}
      {asked && lacks.length > 0 && <p class="fault" role="alert">{lacks.join(" ")}</p>}
      <div class="actions"><button type="submit" class="main" disabled={busy}>{draft.outcome ? w.record(words.crew.outcomes[draft.outcome]) : w.recordNothing}</button></div>
    </form>
  );
}

/** The scan of the paper: kept first, under its hash, which the result names. */
function Attach(props: { kept: Kept | null; keep: (kept: Kept | null) => void; refuse: (sentences: string[] | null) => void }) {
  const { kept } = props;
  const w = words.paper;
  const [reading, setReading] = useState(false);
  const attach = (file: File | undefined) => {
    props.keep(null);
    props.refuse(null);
    if (!file) return;
    setReading(true);
    api.attach(file).then(
      ({ sha256, bytes }) => props.keep({ name: file.name, sha256, bytes }),
      (error: unknown) => props.refuse(error instanceof Refusal ? error.sentences : [String(error)]),
    ).finally(() => setReading(false));
  };
  return (
    <>
      <label class="field">{w.file}<input type="file" accept="application/pdf,image/png,image/jpeg,image/webp" onChange={(event) => attach(event.currentTarget.files?.[0])} /></label>
      <p role="status" class="small">
        {reading ? w.reading : kept && <>{w.kept(w.kB(kept.bytes))} <a href={api.attachmentAddress(kept.sha256)} target="_blank" rel="noreferrer">{w.look}</a> <span class="hash">{w.hash} {kept.sha256}</span></>}
      </p>
    </>
  );
}

function Before(props: { form: JobForm }) {
  const papers = props.form.papers ?? [];
  const w = words.paper;
  if (papers.length === 0) return null;
  return (
    <section>
      <h2>{w.before}</h2>
      <ul class="plain">{papers.map((p) => <li key={p.sha256}><a href={api.attachmentAddress(p.sha256)} target="_blank" rel="noreferrer">{w.beforeLine(dayName(p.signed_on, "0000"), p.tester, p.keyed_by)}</a><span class="facts hash">{w.hash} {p.sha256}</span></li>)}</ul>
    </section>
  );
}
