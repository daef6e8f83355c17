import { api } from "../api";
import { useLoaded } from "../loaded";
import { address } from "../route";
import { stopWords } from "../stopwords";
import { bareClock, dateIn, dayAndClock, dayName } from "../time";
import type { Report as ReportData, ReportTest } from "../types";
import { Shown } from "../ui/States";
import { words } from "../words";
import { filedWords } from "./Filing";

/** The test report of one job, every field of it: #/report/ASSEMBLY/JOB. */
export function Report(props: { assembly: string; job: string }) {
  const { assembly, job } = props;
  const loaded = useLoaded(`report ${assembly} ${job}`, ["assembly", "feed", "site", "purveyor", "person", "gauge"], () => api.report(assembly, job));
  return <Shown loaded={loaded}>{(data) => <ReportPage data={data} />}</Shown>;
}

export function ReportPage(props: { data: ReportData }) {
  const r = props.data;
  const w = words.report;
  const blanks = r.blank ?? [];
  return (
    <article class="report">
      <h1>{w.title}</h1>
      <p>{w.to(r.purveyor, r.why)} <strong>{r.firm}</strong></p>
      <p class="actions">
        <a class="button" href={api.reportAddress(r.assembly, r.job, "letter")} target="_blank" rel="noreferrer">{w.pdf.letter}</a>
        <a class="button" href={api.reportAddress(r.assembly, r.job, "a4")} target="_blank" rel="noreferrer">{w.pdf.a4}</a>
        <button type="button" onClick={() => print()}>{w.print}</button>
        <a href={address("filing")}>{w.toFiling}</a>
        <a href={address("assembly", r.assembly)}>{w.history}</a>
      </p>
      <p class="verdict"><strong>{r.statement}</strong></p>
      {r.doubt && <p class="said">{r.doubt}</p>}
      {blanks.length > 0 && <p class="small soft">{w.blanks(blanks.length)}</p>}
      {(r.sections ?? []).map((section) => (
        <section key={section.title}>
          <h2>{section.title}</h2>
          <dl class="form">{(section.fields ?? []).map((field) => <Field key={field.label} {...field} />)}</dl>
        </section>
      ))}
      <Tests report={r} />
      <Repairs report={r} />
      <Lines title={w.remarks} lines={r.remarks ?? []} />
      <Lines title={w.filings} lines={(r.filings ?? []).map((f) => `${words.filing.about[f.about]}: ${filedWords(f, f, "0000")}`)} />
      <Papers report={r} />
      <Pictures report={r} />
      <section>
        <h2>{w.signatures}</h2>
        {(r.signatures ?? []).map((s) => <p class="sign" key={s.who}>{s.who}: {s.says}<span class="line">{w.signed(s.name ?? "")}</span></p>)}
      </section>
      <p class="small soft">{w.foot(r.assembly, r.job, moment(r.printed, r.zone), r.zone)}</p>
    </article>
  );
}

/** A day with its year: a report is kept for years. */
const inFull = (date: string) => dayName(date, "0000");

/** A day and time on the site's own clocks, whose zone the foot names. */
const moment = (at: string, zone: string) => `${inFull(dateIn(at, zone))} ${bareClock(at, zone)}`;

function Field(props: { label: string; value: string }) {
  return <div><dt>{props.label}</dt><dd>{props.value || <span class="hidden-text">{words.report.blank}</span>}</dd></div>;
}

/** One line of the table of tests: what it says of the initial test, and of the final one. */
export type TestLine = { label: string; initial: string; final: string; result: boolean };

/** Results first, then what they were taken with; a line of which neither test knows anything is left out. */
export function testLines(r: ReportData): TestLine[] {
  const w = words.report;
  const results = (r.rows ?? []).map((row) => ({
    label: row.part === "bypass" ? w.bypass(row.component) : row.component, initial: row.initial ?? "", final: row.final ?? "", result: true,
  }));
  const facts: [string, (t: ReportTest) => string | undefined][] = [
    [w.rows.buffer, (t) => t.buffer],
    [w.rows.bypassBuffer, (t) => t.bypass_buffer],
    [w.rows.linePressure, (t) => t.line_pressure],
    [w.rows.shutOff1, (t) => t.shut_off_1],
    [w.rows.shutOff2, (t) => [t.shut_off_2, t.no_flow_proved && w.noFlow].filter(Boolean).join(", ")],
    [w.rows.at, (t) => moment(t.at, r.zone)],
    [w.rows.tester, (t) => t.tester],
    [w.rows.certificate, (t) => t.certificate && w.until(t.certificate, t.certificate_until && inFull(t.certificate_until))],
    [w.rows.registered, (t) => t.registered_until && w.onlyUntil(inFull(t.registered_until))],
    [w.rows.gauge, (t) => t.gauge && w.until(t.gauge, t.gauge_until && inFull(t.gauge_until))],
    [w.rows.gaugeModel, (t) => [t.gauge_maker, t.gauge_model].filter(Boolean).join(" ")],
    [w.rows.calibrated, (t) => [t.gauge_calibrated_on && inFull(t.gauge_calibrated_on), t.gauge_calibrated_by].filter(Boolean).join(", ")],
    [w.rows.procedure, (t) => t.procedure],
    [w.rows.says, (t) => w.verdicts[t.says] ?? t.says],
    [w.rows.computed, (t) => t.computed && [w.by(w.verdicts[t.computed] ?? t.computed, t.profile ?? ""), ...(t.why ?? [])].join("; ")],
  ];
  const of = (t: ReportTest | undefined, say: (t: ReportTest) => string | undefined) => (t && say(t)) || "";
  const lines = facts.map(([label, say]) => ({ label, initial: of(r.initial, say), final: of(r.final, say), result: false }));
  return [...results, ...lines.filter((line) => line.initial || line.final)];
}

function Tests(props: { report: ReportData }) {
  const r = props.report;
  const w = words.report;
  const lines = testLines(r);
  if (lines.length === 0) return null;
  return (
    <section>
      <h2>{w.test}</h2>
      <div class="scroll" tabIndex={0} role="region" aria-label={w.caption}>
        <table>
          <caption class="hidden-text">{w.caption}</caption>
          <thead><tr><th scope="col">{w.result}</th><th scope="col">{w.initial}</th><th scope="col">{w.final}</th></tr></thead>
          <tbody>
            {lines.map((line) => (
              <tr key={line.label}>
                <th scope="row">{line.result ? <strong>{line.label}</strong> : line.label}</th>
                <td>{line.result ? <strong>{line.initial}</strong> : line.initial}</td>
                <td>{line.result ? <strong>{line.final}</strong> : line.final}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {(r.between ?? 0) > 0 && <p class="small">{w.between(r.between!)}</p>}
    </section>
  );
}

function Repairs(props: { report: ReportData }) {
  const w = words.report;
  const repairs = props.report.repairs ?? [];
  if (repairs.length === 0) return null;
  return (
    <section>
      <h2>{w.repairs}</h2>
      <ul class="plain">
        {repairs.map((x, i) => (
          <li key={i}>{x.did}<span class="facts">{[w.repair(inFull(x.on), x.who, x.licence ?? ""), (x.parts ?? []).length > 0 && w.parts(x.parts!.join(", "))].filter(Boolean).join(". ")}</span></li>
        ))}
      </ul>
    </section>
  );
}

function Lines(props: { title: string; lines: string[] }) {
  if (props.lines.length === 0) return null;
  return <section><h2>{props.title}</h2><ul>{props.lines.map((line) => <li key={line}>{line}</li>)}</ul></section>;
}

/** Photos of the job, which are not on the paper. */
function Pictures(props: { report: ReportData }) {
  const photos = props.report.photos ?? [];
  if (photos.length === 0) return null;
  return (
    <section class="screen-only">
      <h2>{stopWords.pictures}</h2>
      <ul>{photos.map((p) => <li key={p.sha256}><a href={api.attachmentAddress(p.sha256)} target="_blank" rel="noreferrer">{p.shows || stopWords.picture}</a>, {dayAndClock(p.taken, props.report.zone)}</li>)}</ul>
    </section>
  );
}

/** Signed copies that results were keyed in from. */
function Papers(props: { report: ReportData }) {
  const w = words.report;
  const papers = props.report.papers ?? [];
  if (papers.length === 0) return null;
  return (
    <section>
      <h2>{w.papers}</h2>
      <ul>{papers.map((p) => <li key={p.sha256}><a href={api.attachmentAddress(p.sha256)} target="_blank" rel="noreferrer">{w.copy}</a>: {w.paper(inFull(p.signed_on), p.tester, p.keyed_by)}</li>)}</ul>
    </section>
  );
}
