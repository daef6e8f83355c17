import { useState } from "preact/hooks";
import { cellsOf, matches, namedBy, recordKinds, titleOf } from "../records/kinds";
import { namesOf, useEntries, type Entries } from "../records/entries";
import { address } from "../route";
import type { Office, RecordKind } from "../types";
import { Empty, Shown } from "../ui/States";
import { words } from "../words";
import { BulkEdit, isBulk } from "./BulkEdit";
import { Positions } from "./Positions";
import { RecordPage } from "./RecordPage";

/** The card index: #/records/KIND, #/records/KIND/ID, #/records/KIND/new/SITE. */
export function Records(props: { office: Office; parts: string[] }) {
  const [first = "sites", id, ...rest] = props.parts;
  const kind = (recordKinds as string[]).includes(first) ? (first as RecordKind) : "sites";
  return (
    <>
      <nav class="kinds" aria-label={words.records.title}>
        {recordKinds.map((k) => <a key={k} href={address("records", k)} aria-current={first !== "positions" && k === kind ? (id ? "true" : "page") : undefined}>{words.records.kinds[k]}</a>)}
        <a href={address("records", "positions")} aria-current={first === "positions" ? "page" : undefined}>{words.records.places.link}</a>
      </nav>
      {first === "positions" ? <Positions /> : id === "sheet" && isBulk(kind) ? <BulkEdit key={kind} kind={kind} /> : id
        ? <RecordPage key={`${kind} ${id} ${id === "new" ? rest[0] ?? "" : ""}`} office={props.office} kind={kind} id={id === "new" ? null : id} rest={rest} />
        : <RecordTable key={kind} kind={kind} />}
    </>
  );
}

function RecordTable(props: { kind: RecordKind }) {
  const loaded = useEntries(namedBy(props.kind));
  return <Shown loaded={loaded}>{(entries) => <RecordTablePage kind={props.kind} entries={entries} />}</Shown>;
}

const atOnce = 100;

export function RecordTablePage(props: { kind: RecordKind; entries: Entries }) {
  const { kind, entries } = props;
  const w = words.records;
  const [filter, setFilter] = useState("");
  const [most, setMost] = useState(atOnce);
  const nameOf = namesOf(entries);
  const rows = (entries[kind] ?? []).map((e) => ({ id: e.id, title: titleOf(kind, e.id, e.facts, e.details), cells: cellsOf(kind, e.facts, nameOf) }));
  const found = rows.filter((row) => matches(filter, [row.title, ...row.cells, row.id])).sort((a, b) => a.title.localeCompare(b.title, "en", { numeric: true }));
  return (
    <>
      <h1>{w.kinds[kind]}</h1>
      <div class="actions">
        <label class="field">{w.filter}<input type="search" value={filter} onInput={(event) => { setFilter(event.currentTarget.value); setMost(atOnce); }} /></label>
        <a class="button" href={address("records", kind, "new")}>{w.enterNew(w.one[kind])}</a>
        {isBulk(kind) && <a class="button" href={address("records", kind, "sheet")}>{words.bulk.link}</a>}
        <span class="small soft" role="status">{w.showing(found.length, rows.length)}</span>
      </div>
      {rows.length === 0 ? <Empty><p>{w.nothingYet(w.one[kind])}</p></Empty> : found.length === 0 ? <Empty><p>{w.none}</p></Empty> : (
        <div class="scroll" tabIndex={0} role="region" aria-label={w.table(w.kinds[kind])}>
          <table class="records-table">
            <caption class="hidden-text">{w.table(w.kinds[kind])}</caption>
            <thead><tr>{w.columns[kind].map((c) => <th key={c} scope="col">{c}</th>)}</tr></thead>
            <tbody>
              {found.slice(0, most).map((row) => (
                <tr key={row.id}>
                  <th scope="row"><a href={address("records", kind, row.id)}>{row.title}</a></th>
                  {row.cells.map((cell, i) => <td key={i}>{cell}</td>)}
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      {found.length > most && <div class="actions"><button type="button" onClick={() => setMost(most + atOnce)}>{w.more(Math.min(atOnce, found.length - most))}</button></div>}
    </>
  );
}
