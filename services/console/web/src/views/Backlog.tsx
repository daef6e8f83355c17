import { Fragment } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { useLoaded } from "../loaded";
import { address } from "../route";
import { dayAndClock, dayName, daysLeft } from "../time";
import type { Backlog as BacklogData, BacklogRow, DeskRequest, History as HistoryData } from "../types";
import { Empty, Refused, Shown } from "../ui/States";
import { words } from "../words";
import { Ladder } from "./Ladder";

/** The manager's page: what failed, by days left to each purveyor's own deadline. */
export function Backlog(props: { chosen: string | null }) {
  const loaded = useLoaded("backlog", ["assembly", "day", "kit", "purveyor"], api.backlog);
  const [refused, setRefused] = useState<string[] | null>(null);
  const record = (request: DeskRequest) => {
    setRefused(null);
    api.desk(request).then(loaded.again, (error: unknown) => setRefused(error instanceof Refusal ? error.sentences : [String(error)]));
  };
  return <Shown loaded={loaded}>{(data) => <BacklogPage data={data} refused={refused} chosen={props.chosen} record={record} />}</Shown>;
}

export function BacklogPage(props: { data: BacklogData; refused: string[] | null; chosen: string | null; record: (request: DeskRequest) => void }) {
  const { data, chosen } = props;
  const rows = data.rows ?? [];
  const others = data.others ?? [];
  return (
    <>
      <h1>{data.headline || words.backlog.title}</h1>
      {props.refused && <Refused title={words.states.refused} sentences={props.refused} />}
      {rows.length === 0 ? <Empty><p>{words.backlog.none}</p></Empty> : <Ladder rows={rows} chosen={chosen} />}
      {chosen && <HistorySection assembly={chosen} />}
      {rows.length > 0 && <Table rows={rows} caption={words.backlog.caption} chosen={chosen} record={props.record} />}
      {others.length > 0 && <><h2>{words.backlog.others}</h2><Table rows={others} caption={words.backlog.othersCaption} chosen={chosen} record={props.record} /></>}
    </>
  );
}

function Table(props: { rows: BacklogRow[]; caption: string; chosen: string | null; record: (request: DeskRequest) => void }) {
  const [open, setOpen] = useState<string | null>(null);
  const c = words.backlog.columns;
  return (
    <div class="scroll" tabIndex={0} role="region" aria-label={props.caption}>
      <table>
        <caption>{props.caption}</caption>
        <thead><tr><th scope="col">{c.left}</th><th scope="col">{c.what}</th><th scope="col">{c.failed}</th><th scope="col">{c.waits}</th><th scope="col">{c.planned}</th><th scope="col">{c.deadline}</th><th scope="col"><span class="hidden-text">{c.actions}</span></th></tr></thead>
        <tbody>
          {props.rows.map((row) => (
            <Fragment key={row.job}>
              <tr aria-current={row.assembly === props.chosen || undefined}>
                <td><strong>{daysLeft(row.days_left ?? null)}</strong></td>
                <td><a href={address("backlog", row.assembly)}>{row.site.name}</a><span class="facts">{[row.type, row.size, row.place, row.serial && words.crew.serial(row.serial)].filter(Boolean).join(", ")}</span></td>
                <td>{row.failed_on && dayName(row.failed_on)}<span class="facts">{row.words}</span></td>
                <td>{row.waits_words}{partsLine(row) && <span class="facts">{partsLine(row)}</span>}{row.as_left && <span class="facts">{words.backlog.asLeft(row.as_left)}</span>}</td>
                <td>{plannedLine(row)}</td>
                <td>{row.retest_by?.known && row.retest_by.on ? dayName(row.retest_by.on) : words.backlog.unknown}<span class="facts">{[row.purveyor, row.retest_by?.rule].filter(Boolean).join(": ")}</span></td>
                <td><button type="button" class="text" aria-expanded={open === row.job} aria-label={words.backlog.actionsFor(row.site.name, row.type)} onClick={() => setOpen(open === row.job ? null : row.job)}>{words.backlog.act}</button></td>
              </tr>
              {open === row.job && <tr><td colSpan={7}><Actions row={row} record={(request) => { props.record(request); setOpen(null); }} /></td></tr>}
            </Fragment>
          ))}
        </tbody>
      </table>
    </div>
  );
}

const partsLine = (row: BacklogRow) =>
  (row.parts ?? []).map((p) => [p.code, p.where ? words.backlog.ready(p.where) : p.promised ? words.backlog.promised(dayName(p.promised)) : p.item ? words.backlog.reserved : ""].filter(Boolean).join(", ")).join("; ");

function plannedLine(row: BacklogRow): string {
  if (!row.planned) return words.backlog.open;
  const { date, crew, sent_out, before_deadline } = row.planned;
  return words.backlog.planned(dayName(date), crew, sent_out, before_deadline);
}

/** What the office can record about a failed assembly. */
function Actions(props: { row: BacklogRow; record: (request: DeskRequest) => void }) {
  const { row, record } = props;
  const of = { assembly: row.assembly, job: row.job };
  const [basis, setBasis] = useState("standing");
  const [limit, setLimit] = useState("");
  const [codes, setCodes] = useState((row.parts ?? []).map((p) => p.code).join(", "));
  const [promised, setPromised] = useState("");
  const [where, setWhere] = useState("");
  const [cleared, setCleared] = useState("");
  const submit = (request: DeskRequest) => (event: Event) => { event.preventDefault(); record(request); };
  const old = row.parts ?? [];
  const parts = codes.split(",").map((code) => code.trim()).filter(Boolean)
    .map((code) => ({ ...(old.find((p) => p.code === code) ?? { code }), ...(promised ? { promised } : {}) }));
  return (
    <div class="desk">
      <form class="actions" onSubmit={submit({ kind: "yes-to-repair", ...of, basis, ...(limit ? { limit_usd: Number(limit) } : {}) })}>
        <label class="field">{words.backlog.yesBasis}
          <select value={basis} onChange={(event) => setBasis(event.currentTarget.value)}>
            {Object.entries(words.backlog.bases).map(([value, text]) => <option key={value} value={value}>{text}</option>)}
          </select>
        </label>
        {basis === "up to a sum" && <label class="field">{words.backlog.limit}<input type="number" min="0" value={limit} required onInput={(event) => setLimit(event.currentTarget.value)} /></label>}
        <button type="submit">{words.backlog.recordYes}</button>
        {row.yes_to_repair && <span class="small">{words.crew.repairYes(row.yes_to_repair)}</span>}
      </form>
      <form class="actions" onSubmit={submit({ kind: "want-parts", ...of, parts })}>
        <label class="field">{words.backlog.codes}<input value={codes} required onInput={(event) => setCodes(event.currentTarget.value)} /></label>
        <label class="field">{words.backlog.promisedOn}<input type="date" value={promised} onInput={(event) => setPromised(event.currentTarget.value)} /></label>
        <button type="submit">{words.backlog.recordOrdered}</button>
      </form>
      <form class="actions" onSubmit={submit({ kind: "ready-parts", ...of, where })}>
        <label class="field">{words.backlog.where}<input value={where} required onInput={(event) => setWhere(event.currentTarget.value)} /></label>
        <button type="submit">{words.backlog.recordReady}</button>
      </form>
      {row.waits_for === "way" && (
        <form class="actions" onSubmit={submit({ kind: "clear-way", ...of, words: cleared })}>
          <label class="field">{words.backlog.clearedWhat}<input value={cleared} required onInput={(event) => setCleared(event.currentTarget.value)} /></label>
          <button type="submit">{words.backlog.recordCleared}</button>
        </form>
      )}
    </div>
  );
}

function HistorySection(props: { assembly: string }) {
  const loaded = useLoaded(`history ${props.assembly}`, ["assembly", "feed", "site"], () => api.history(props.assembly));
  return <Shown loaded={loaded}>{(data) => <History data={data} />}</Shown>;
}

/** What happened to one assembly, as a plain dated list, oldest first. */
export function History(props: { data: HistoryData }) {
  const { job, site, entries } = props.data;
  const head = useRef<HTMLHeadingElement>(null);
  useEffect(() => head.current?.focus(), [job.assembly]);
  return (
    <section class="said">
      <h2 ref={head} tabIndex={-1}>{words.backlog.history(`${job.type} ${job.size ?? ""}`.trim(), site.name)}</h2>
      <ol class="plain history">
        {(entries ?? []).map((entry) => (
          <li key={entry.position}>
            <span class="soft">{dayAndClock(entry.happened, site.zone)}</span> {entry.words}
            <span class="facts">{[entry.who, entry.alarm && words.backlog.alarm, entry.void && words.backlog.void].filter(Boolean).join(" · ")}</span>
          </li>
        ))}
      </ol>
      <p><a href={address("backlog")}>{words.backlog.closeHistory}</a></p>
    </section>
  );
}
