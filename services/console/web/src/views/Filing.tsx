import { Fragment } from "preact";
import { useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { useLoaded } from "../loaded";
import { address } from "../route";
import { addDays, clock, dated, dateIn, dayName, daysLeft, duration, minutesBetween } from "../time";
import type { DeskRequest, FilingList, FilingRow, Job, Office } from "../types";
import { Empty, Refused, Shown } from "../ui/States";
import { words } from "../words";
import { FilingActions } from "./FilingActions";

export const shows = ["owed", "filed", "accepted", "all"] as const;
export type Shows = (typeof shows)[number];

/** What the purveyors are owed and what became of it: #/filing/PURVEYOR/WHAT. */
export function Filing(props: { office: Office; purveyor: string; show: Shows }) {
  const loaded = useLoaded("filing", ["assembly", "purveyor"], api.filing);
  const [refused, setRefused] = useState<string[] | null>(null);
  const [said, setSaid] = useState("");
  const record = (row: FilingRow, request: DeskRequest) => {
    setRefused(null);
    api.desk(request).then(
      () => { setSaid(words.filing.recorded(words.filing.about[row.about], row.site.name)); loaded.again(); },
      (error: unknown) => { setSaid(""); setRefused(error instanceof Refusal ? error.sentences : [String(error)]); },
    );
  };
  return <Shown loaded={loaded}>{(data) => <FilingPage {...props} data={data} said={said} refused={refused} record={record} />}</Shown>;
}

export function FilingPage(props: {
  data: FilingList;
  office: Office;
  purveyor: string;
  show: Shows;
  said: string;
  refused: string[] | null;
  record: (row: FilingRow, request: DeskRequest) => void;
}) {
  const { data, purveyor, show } = props;
  const w = words.filing;
  const name = (data.clocks ?? []).find((c) => c.purveyor === purveyor)?.name;
  const rows = rowsShown(data.rows ?? [], name, show);
  const { owed, returned, send_again, late, filed, not_known } = data.counts;
  return (
    <>
      <h1>{w.head(owed + returned + send_again, late, filed)}</h1>
      {not_known > 0 && <p>{w.notKnown(not_known)}</p>}
      <p role="status" class={props.said ? "said" : undefined}>{props.said}</p>
      {props.refused && <Refused title={words.states.refused} sentences={props.refused} />}
      <div class="actions">
        <label class="field">{w.purveyor}
          <select value={name ? purveyor : "all"} onChange={(event) => (location.hash = address("filing", event.currentTarget.value, show))}>
            <option value="all">{w.all}</option>
            {(data.clocks ?? []).map((c) => <option key={c.purveyor} value={c.purveyor}>{c.name}</option>)}
          </select>
        </label>
        <label class="field">{w.show}
          <select value={show} onChange={(event) => (location.hash = address("filing", purveyor, event.currentTarget.value))}>
            {shows.map((s) => <option key={s} value={s}>{w.shows[s]}</option>)}
          </select>
        </label>
      </div>
      {(show === "accepted" || show === "all") && <p class="small soft">{w.acceptedSince(dayName(data.accepted_since, props.office.today))} {data.truncated && w.truncated}</p>}
      {rows.length === 0 ? <Empty><p>{w.none}</p></Empty> : <Table {...props} rows={rows} />}
      <Clocks data={data} />
      <Invoicing today={props.office.today} />
    </>
  );
}

/** The rows of one purveyor, by name, or of all, that are in the state asked for. */
export function rowsShown(rows: FilingRow[], purveyor: string | undefined, show: Shows): FilingRow[] {
  return rows.filter((row) => (!purveyor || row.job.purveyor === purveyor) && (show === "all" || show === (row.state === "filed" || row.state === "accepted" ? row.state : "owed")));
}

/** One report or call of one job. */
export const filingKey = (row: FilingRow) => `${row.job.assembly} ${row.job.job} ${row.about}`;

export const unitOf = (job: Job) => [job.type, job.size, job.place].filter(Boolean).join(", ");

/** A unit in the name of a control: with its serial, since a site may have two that are otherwise alike. */
export const namedUnit = (job: Pick<Job, "type" | "size" | "place" | "serial">) => [job.type, job.size, job.place, job.serial && words.crew.serial(job.serial)].filter(Boolean).join(", ");

function Table(props: { data: FilingList; office: Office; rows: FilingRow[]; record: (row: FilingRow, request: DeskRequest) => void }) {
  const [open, setOpen] = useState<string | null>(null);
  const w = words.filing;
  const c = w.columns;
  const { today } = props.office;
  return (
    <div class="scroll" tabIndex={0} role="region" aria-label={w.caption}>
      <table class="rows">
        <caption>{w.caption}</caption>
        <thead><tr><th scope="col">{c.left}</th><th scope="col">{c.what}</th><th scope="col">{c.where}</th><th scope="col">{c.by}</th><th scope="col">{c.stands}</th><th scope="col"><span class="hidden-text">{c.actions}</span></th></tr></thead>
        <tbody>
          {props.rows.map((row) => {
            const key = filingKey(row);
            const unit = unitOf(row.job), named = namedUnit(row.job);
            return (
              <Fragment key={key}>
                <tr>
                  <td><strong class={row.missed ? "warn" : undefined}>{leftWords(row, props.data.now)}</strong></td>
                  <td>{w.about[row.about]}{row.on && <span class="facts">{(row.about === "pass" ? w.on.pass : w.on.fail)(dayName(row.on, today))}</span>}</td>
                  <td>
                    {row.job.job ? (
                      <><a href={address("report", row.job.assembly, row.job.job)} aria-label={w.reportOf(named, row.site.name)}>{row.site.name}</a>{" "}
                      <a class="small" href={api.reportAddress(row.job.assembly, row.job.job)} target="_blank" rel="noreferrer" aria-label={w.pdfOf(named, row.site.name)}>{w.pdf}</a></>
                    ) : <a href={address("assembly", row.job.assembly)}>{row.site.name}</a>}
                    <span class="facts">{[unit, row.job.purveyor_number, row.job.serial && words.crew.serial(row.job.serial)].filter(Boolean).join(", ")}</span>
                  </td>
                  <td>{byWords(row, props.office)}<span class="facts">{dated([row.job.purveyor, row.by?.rule].filter(Boolean).join(": "))}</span></td>
                  <td>{(row.about === "phone-in" && w.callStates[row.state]) || w.states[row.state]}{(row.filings ?? []).map((f) => <span class="facts" key={`${f.on} ${f.confirmation}`}>{filedWords(row, f, today)}</span>)}</td>
                  <td>{row.state !== "accepted" && !(row.about === "phone-in" && row.state === "filed") &&
                    <button type="button" class="text" aria-expanded={open === key} aria-label={w.actFor(w.about[row.about], named, row.site.name)} onClick={() => setOpen(open === key ? null : key)}>{w.act}</button>}</td>
                </tr>
                {open === key && <tr><td colSpan={6}><FilingActions row={row} today={today} record={(request) => { props.record(row, request); setOpen(null); document.getElementById("page")?.focus(); }} /></td></tr>}
              </Fragment>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}

/** "2 h 10", "3 days left", "late", or that nothing is owed. On the last day a clock of hours counts in hours. */
export function leftWords(row: FilingRow, now: string): string {
  const w = words.filing;
  if (row.state === "filed" || row.state === "accepted") return w.done;
  if (row.missed) return row.days_left ? daysLeft(row.days_left) : w.late;
  if (row.about === "phone-in" && row.by?.at && row.days_left === 0) return duration(minutesBetween(now, row.by.at));
  return daysLeft(row.days_left ?? null);
}

function byWords(row: FilingRow, office: Office): string {
  const by = row.by;
  if (!by?.known || !by.on) return words.filing.notKnownBy;
  const day = dayName(by.on, office.today);
  return row.about === "phone-in" && by.at ? words.filing.atTime(dayName(dateIn(by.at, row.site.zone), office.today), clock(by.at, row.site.zone)) : day;
}

type Filed = NonNullable<FilingRow["filings"]>[number];

/** How one report went, in words: filed, and what the purveyor did with it. */
export function filedWords(row: { about: FilingRow["about"] }, f: Filed, today: string): string {
  const w = words.filing;
  const day = dayName(f.on, today);
  if (row.about === "phone-in") return w.told(day, f.how ?? "", f.by ?? "");
  return [
    w.sent(day, f.how ?? "", f.by ?? "", f.confirmation ?? ""),
    f.returned_on && w.cameBack(dayName(f.returned_on, today), f.why ?? ""),
    f.accepted_on && w.wasAccepted(dayName(f.accepted_on, today)),
  ].filter(Boolean).join("; ");
}

function Clocks(props: { data: FilingList }) {
  const w = words.filing;
  const c = w.clockColumns;
  return (
    <details class="rest">
      <summary>{w.clocks}</summary>
      <div class="scroll" tabIndex={0} role="region" aria-label={w.clocks}>
        <table>
          <thead><tr><th scope="col">{c.purveyor}</th><th scope="col">{c.pass}</th><th scope="col">{c.fail}</th><th scope="col">{c.phone}</th></tr></thead>
          <tbody>{(props.data.clocks ?? []).map((clocks) => <tr key={clocks.purveyor}><th scope="row">{clocks.name}</th><td>{clocks.pass}</td><td>{clocks.fail}</td><td>{clocks.phone_in}</td></tr>)}</tbody>
        </table>
      </div>
    </details>
  );
}

function Invoicing(props: { today: string }) {
  const w = words.invoicing;
  const [from, setFrom] = useState(addDays(props.today, -7));
  const [to, setTo] = useState(props.today);
  const wrong = !from || !to || to < from;
  return (
    <section>
      <h2>{w.title}</h2>
      <p class="small">{w.lead}</p>
      <div class="actions">
        <label class="field">{w.from}<input type="date" value={from} onInput={(event) => setFrom(event.currentTarget.value)} /></label>
        <label class="field">{w.to}<input type="date" value={to} min={from} aria-invalid={wrong || undefined} onInput={(event) => setTo(event.currentTarget.value)} /></label>
        {wrong ? <p class="fault" role="status">{w.order}</p> : <a class="button" href={api.invoicingAddress(from, to)} download="">{w.save}</a>}
      </div>
    </section>
  );
}
