import { useEffect, useRef, useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { useLoaded } from "../loaded";
import { namesOf, type Entries as AllEntries } from "../records/entries";
import { address } from "../route";
import { dated, dayName, duration, sentence } from "../time";
import type { Facts, Fit, Fits, FitsDay, Job, JobRequest, Office } from "../types";
import { Refused, Shown } from "../ui/States";
import { words } from "../words";
import { Entries } from "./Entries";

/** An assembly's site, a job by phone for it, and what happened to it. */
export function AssemblyMore(props: { assembly: string; facts: Facts; entries: AllEntries; office: Office; fits: string | null }) {
  const { assembly, facts, entries, office, fits } = props;
  const w = words.records;
  const site = String(facts.site ?? "");
  const history = useLoaded(`history ${assembly}`, ["assembly", "feed", "site"], () => api.history(assembly));
  return (
    <>
      <p>{w.siteOf}<a href={address("records", "sites", site)}>{namesOf(entries)("sites", site)}</a></p>
      {history.data?.job.job && <p class="actions"><a class="button" href={address("paper", assembly, history.data.job.job)}>{words.paper.link}</a></p>}
      <JobByPhone assembly={assembly} office={office} open={history.data?.job} />
      {fits && <WhereItFits key={fits} assembly={assembly} job={fits} site={site} feed={String(facts.feed ?? "")} office={office} />}
      <section>
        <h2>{w.history}</h2>
        <Shown loaded={history}>{(data) => <Entries entries={data.entries ?? []} zone={data.site.zone} today={office.today} mended={history.again} />}</Shown>
      </section>
    </>
  );
}

const kinds = Object.keys(words.records.job.kinds) as JobRequest["kind"][];

/** Stages in which a crew may yet be sent. */
const toDo = ["due", "failed-retest", "parts-pending", "parts-ready"];

function JobByPhone(props: { assembly: string; office: Office; open?: Job }) {
  const { open: job } = props;
  const w = words.records.job;
  const [kind, setKind] = useState(kinds[0]!);
  const [due, setDue] = useState(props.office.today);
  const [who, setWho] = useState("");
  const [refused, setRefused] = useState<string[] | null>(null);
  const open = (event: Event) => {
    event.preventDefault();
    setRefused(null);
    api.openJob({ assembly: props.assembly, kind, due, words: who.trim() }).then(
      ({ job }) => { setWho(""); location.hash = address("records", "assemblies", props.assembly, "fits", job); },
      (error: unknown) => setRefused(error instanceof Refusal ? error.sentences : [String(error)]),
    );
  };
  return (
    <section>
      <h2>{w.title}</h2>
      {job?.job && toDo.includes(job.stage) && (
        <p>{w.already([job.kind, job.work, job.due && dayName(job.due, props.office.today), job.before_use].filter(Boolean).join(", "))} <a href={address("records", "assemblies", props.assembly, "fits", job.job)}>{w.seeFits}</a></p>
      )}
      {refused && <Refused title={words.states.refused} sentences={refused} />}
      <form class="actions" onSubmit={open}>
        <label class="field">{w.kind}<select value={kind} onChange={(event) => setKind(event.currentTarget.value as JobRequest["kind"])}>{kinds.map((k) => <option key={k} value={k}>{w.kinds[k]}</option>)}</select></label>
        <label class="field">{w.due}<input type="date" value={due} required onInput={(event) => setDue(event.currentTarget.value)} /></label>
        <label class="field">{w.who}<input value={who} required onInput={(event) => setWho(event.currentTarget.value)} /></label>
        <button type="submit" class="main">{w.open}</button>
      </form>
      {kind === "relief-discharging" && <p class="small soft">{w.dischargingCaution}</p>}
    </section>
  );
}

/** Where an open job would go today and on the next working day. */
function WhereItFits(props: { assembly: string; job: string; site: string; feed: string; office: Office }) {
  const { assembly, job, site, feed, office } = props;
  const w = words.records.job;
  const loaded = useLoaded(`fits ${assembly} ${job}`, [], () => api.fits(assembly, job));
  const [placed, setPlaced] = useState<{ day: FitsDay; fit: Fit } | null>(null);
  const [refused, setRefused] = useState<string[] | null>(null);
  const [busy, setBusy] = useState(false);
  const head = useRef<HTMLHeadingElement>(null);
  useEffect(() => head.current?.focus(), []);
  const put = (day: FitsDay, fit: Fit) => {
    if (busy) return;
    setBusy(true);
    setRefused(null);
    const on = { site, ...(feed && { feed }), crew: fit.crew.id, place: fit.place };
    (day.out ? api.changeOut(day.date, on) : api.wish(day.date, { ...on, hold: true })).then(
      () => setPlaced({ day, fit }),
      (error: unknown) => setRefused(error instanceof Refusal ? error.sentences : [String(error)]),
    ).finally(() => setBusy(false));
  };
  return (
    <section>
      <h2 ref={head} tabIndex={-1}>{w.fits}</h2>
      {refused && <Refused title={words.states.refused} sentences={refused} />}
      {placed && <p class="said" role="status">{w.placed(placed.fit.crew.letter, placed.fit.place, dayName(placed.day.date, office.today))} <a href={address("tomorrow", placed.day.date)}>{w.see}</a></p>}
      {!placed && loaded.data === null && !loaded.failed ? <p class="blank soft" role="status">{w.looking}</p> : !placed && <Shown loaded={loaded}>{(data) => <FitsList data={data} today={office.today} put={put} />}</Shown>}
    </section>
  );
}

export function FitsList(props: { data: Fits; today: string; put: (day: FitsDay, fit: Fit) => void }) {
  const w = words.records.job;
  const { job, days } = props.data;
  return (
    <>
      <p>{w.opened([job.kind, job.work, job.due && dayName(job.due, props.today), job.before_use].filter(Boolean).join(", "))}</p>
      {(days ?? []).map((day) => {
        const name = w.day(dayName(day.date, props.today), day.date === props.today);
        const fits = day.fits ?? [];
        return (
          <section key={day.date}>
            <h3>{name}</h3>
            {fits.length === 0 && <p>{day.reason ? sentence(day.reason) : w.nowhere}{day.change && <span class="facts">{w.change(dated(day.change))}</span>}</p>}
            {fits.length > 0 && (
              <div class="scroll" tabIndex={0} role="region" aria-label={w.caption(name)}>
                <table class="fits">
                  <caption class="hidden-text">{w.caption(name)}</caption>
                  <thead><tr><th scope="col">{w.columns.crew}</th><th scope="col">{w.columns.place}</th><th scope="col" class="num">{w.columns.minutes}</th><th scope="col" class="num">{w.columns.cost}</th><th scope="col"><span class="hidden-text">{w.columns.act}</span></th></tr></thead>
                  <tbody>
                    {fits.map((fit) => (
                      <tr key={fit.crew.id}>
                        <th scope="row">{fit.crew.letter} {(fit.crew.people ?? []).join(" & ") || fit.crew.name}</th>
                        <td>{w.stop(fit.place)}</td>
                        <td class="num">{duration(fit.extra_minutes)}</td>
                        <td class="num">{dollars(fit.cost_usd)}</td>
                        <td><button type="button" aria-label={w.putOn(fit.crew.letter, fit.place, name)} onClick={() => props.put(day, fit)}>{w.put(fit.crew.letter, fit.place)}</button></td>
                      </tr>
                    ))}
                  </tbody>
                </table>
              </div>
            )}
          </section>
        );
      })}
    </>
  );
}

const dollars = (usd: number) => `${usd < 0 ? "−" : ""}$${Math.abs(usd).toFixed(2)}`;
