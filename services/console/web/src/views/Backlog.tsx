import { Fragment } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { useLoaded } from "../loaded";
import { address } from "../route";
import { dated, dayName, daysLeft } from "../time";
import type { Backlog as BacklogData, BacklogRow, DeskRequest, History as HistoryData, Office } from "../types";
import { Empty, Refused, Shown } from "../ui/States";
import { words } from "../words";
import { BacklogActions, canRecord } from "./BacklogActions";
import { Entries } from "./Entries";
import { namedUnit } from "./Filing";
import { Ladder } from "./Ladder";
import { SerialProposals } from "./SerialProposals";

/** The manager's page: what failed, by days left to each purveyor's own deadline. */
export function Backlog(props: { office: Office; chosen: string | null }) {
  const loaded = useLoaded("backlog", ["assembly", "day", "kit", "purveyor"], api.backlog);
  const [refused, setRefused] = useState<string[] | null>(null);
  const record = (request: DeskRequest) => {
    setRefused(null);
    api.desk(request).then(loaded.again, (error: unknown) => setRefused(error instanceof Refusal ? error.sentences : [String(error)]));
  };
  return <Shown loaded={loaded}>{(data) => <BacklogPage data={data} office={props.office} refused={refused} chosen={props.chosen} record={record} />}</Shown>;
}

export function BacklogPage(props: { data: BacklogData; office: Office; refused: string[] | null; chosen: string | null; record: (request: DeskRequest) => void }) {
  const { data, chosen } = props;
  const rows = data.rows ?? [];
  const others = data.others ?? [];
  return (
    <>
      <h1>{data.headline || words.backlog.title}</h1>
      {props.refused && <Refused title={words.states.refused} sentences={props.refused} />}
      {rows.length === 0 ? <Empty><p>{words.backlog.none}</p></Empty> : <Ladder rows={rows} chosen={chosen} />}
      {chosen && <HistorySection assembly={chosen} today={props.office.today} />}
      {rows.length > 0 && <Table rows={rows} caption={words.backlog.caption} chosen={chosen} office={props.office} record={props.record} />}
      {others.length > 0 && <><h2>{words.backlog.others}</h2><Table rows={others} caption={words.backlog.othersCaption} chosen={chosen} office={props.office} record={props.record} /></>}
    </>
  );
}

/** One job of one assembly: two assemblies' jobs may bear the same id. */
export const rowKey = (row: BacklogRow) => `${row.assembly} ${row.job}`;

function Table(props: { rows: BacklogRow[]; caption: string; chosen: string | null; office: Office; record: (request: DeskRequest) => void }) {
  const [open, setOpen] = useState<string | null>(null);
  const c = words.backlog.columns;
  return (
    <div class="scroll" tabIndex={0} role="region" aria-label={props.caption}>
      <table class="rows">
        <caption>{props.caption}</caption>
        <thead><tr><th scope="col">{c.left}</th><th scope="col">{c.what}</th><th scope="col">{c.failed}</th><th scope="col">{c.waits}</th><th scope="col">{c.planned}</th><th scope="col">{c.deadline}</th><th scope="col"><span class="hidden-text">{c.actions}</span></th></tr></thead>
        <tbody>
          {props.rows.map((row) => (
            <Fragment key={rowKey(row)}>
              <tr aria-current={row.assembly === props.chosen || undefined}>
                <td><strong>{daysLeft(row.days_left ?? null)}</strong></td>
                <td><a href={address("backlog", row.assembly)}>{row.site.name}</a><span class="facts">{[row.type, row.size, row.place, row.serial && words.crew.serial(row.serial)].filter(Boolean).join(", ")}</span></td>
                <td>{row.failed_on && dayName(row.failed_on)}<span class="facts">{row.words}</span></td>
                <td>{row.waits_words}{setAside(row).map((text, i) => <span class="facts" key={i}>{text}</span>)}{row.as_left && <span class="facts">{words.backlog.asLeft(row.as_left)}</span>}</td>
                <td>{plannedLine(row)}</td>
                <td>{deadlineLine(row)}<span class="facts">{dated([row.purveyor, row.retest_by?.rule].filter(Boolean).join(": "))}</span></td>
                <td>{canRecord(row) ? <button type="button" class="text" id={`record ${rowKey(row)}`} aria-expanded={open === rowKey(row)} aria-label={words.backlog.actionsFor(row.site.name, namedUnit(row))} onClick={() => setOpen(open === rowKey(row) ? null : rowKey(row))}>{words.backlog.act}</button> : row.waits_for === "purveyor" && row.stage !== "due" && <a href={address("filing")}>{words.nav.filing}</a>}</td>
              </tr>
              {open === rowKey(row) && <tr><td colSpan={7}><BacklogActions row={row} office={props.office} record={(request) => { props.record(request); document.getElementById(`record ${rowKey(row)}`)?.focus(); }} /></td></tr>}
            </Fragment>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** The kits at hand; those still awaited are said by what the row waits for. */
export const setAside = (row: BacklogRow) => (row.part_states ?? []).filter((p) => p.step === "reserved").map((p) => p.words);

/** By when the retest is owed; a job that owes none says by when it is due. */
export function deadlineLine(row: BacklogRow): string {
  if (row.retest_by) return row.retest_by.known && row.retest_by.on ? dayName(row.retest_by.on) : words.backlog.unknown;
  return row.due && row.stage !== "passed" && row.stage !== "reported" && row.stage !== "returned" ? words.backlog.due(dayName(row.due)) : "";
}

function plannedLine(row: BacklogRow): string {
  if (!row.planned) return words.backlog.open;
  const { date, crew, sent_out, before_deadline } = row.planned;
  return words.backlog.planned(dayName(date), crew, sent_out, before_deadline);
}

function HistorySection(props: { assembly: string; today: string }) {
  const loaded = useLoaded(`history ${props.assembly}`, ["assembly", "feed", "site"], () => api.history(props.assembly));
  return <Shown loaded={loaded}>{(data) => <History data={data} today={props.today} mended={loaded.again} />}</Shown>;
}

/** What happened to one assembly, as a plain dated list, oldest first. */
export function History(props: { data: HistoryData; today: string; mended?: () => void }) {
  const { job, site, entries } = props.data;
  const head = useRef<HTMLHeadingElement>(null);
  useEffect(() => head.current?.focus(), [job.assembly]);
  return (
    <section class="said">
      <h2 ref={head} tabIndex={-1}>{words.backlog.history(`${job.type} ${job.size ?? ""}`.trim(), site.name)}</h2>
      <SerialProposals assembly={job.assembly} seen={props.data.serials_seen ?? []} settled={props.mended ?? (() => undefined)} />
      <Entries entries={entries ?? []} zone={site.zone} today={props.today} mended={props.mended} />
      <p><a href={address("backlog")}>{words.backlog.closeHistory}</a></p>
    </section>
  );
}
