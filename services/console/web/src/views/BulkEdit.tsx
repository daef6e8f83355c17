import { useRef, useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { newCommandId } from "../outbox";
import { address } from "../route";
import type { BulkDifferences, RecordKind } from "../types";
import { Refused } from "../ui/States";
import { words } from "../words";

/** Kinds of record that a spreadsheet can edit; people's names live apart from the log. */
export const bulkKinds = ["customers", "sites", "feeds", "assemblies", "crews", "gauges", "kits", "purveyors"] as const;
export type BulkKind = (typeof bulkKinds)[number];
export const isBulk = (kind: RecordKind): kind is BulkKind => (bulkKinds as readonly string[]).includes(kind);

/** Records of one kind out as a file, in again edited, with what differs shown before it is taken. */
export function BulkEdit(props: { kind: BulkKind }) {
  const { kind } = props;
  const [file, setFile] = useState<File | null>(null);
  const [seen, setSeen] = useState<BulkDifferences | null>(null);
  const [said, setSaid] = useState("");
  const [refused, setRefused] = useState<string[] | null>(null);
  const command = useRef(newCommandId());
  const fail = (error: unknown) => setRefused(error instanceof Refusal ? error.sentences : [String(error)]);
  const read = (chosen: File | undefined) => {
    setFile(chosen ?? null);
    setSeen(null);
    setSaid("");
    setRefused(null);
    if (chosen) api.bulkRead(kind, chosen).then(setSeen, fail);
  };
  const take = () => {
    if (!file || !seen) return;
    setRefused(null);
    api.bulkTake(kind, file, command.current, seen.digest).then(
      (receipt) => {
        command.current = newCommandId();
        setSeen(null);
        setFile(null);
        setSaid(words.bulk.done(receipt.changed));
        if ((receipt.refused ?? []).length > 0) setRefused(receipt.refused!);
        document.getElementById("page")?.focus();
      },
      (error: unknown) => { fail(error); if (error instanceof Refusal && error.status === 409) read(file); },
    );
  };
  return <BulkEditPage kind={kind} seen={seen} said={said} refused={refused} read={read} take={take} />;
}

export function BulkEditPage(props: { kind: BulkKind; seen: BulkDifferences | null; said: string; refused: string[] | null; read: (file: File | undefined) => void; take: () => void }) {
  const { kind, seen } = props;
  const w = words.bulk;
  const name = words.records.kinds[kind];
  const rows = seen?.rows ?? [];
  const taken = rows.filter((r) => r.new || (r.cells ?? []).some((c) => !c.not));
  return (
    <>
      <p class="small"><a href={address("records", kind)}>{words.records.back(name)}</a></p>
      <h1>{w.title(name)}</h1>
      <p>{w.lead}</p>
      <p class="actions"><a class="button" href={api.bulkAddress(kind)} download="">{w.save(name)}</a></p>
      <label class="field">{w.file}<input type="file" accept=".csv,.xlsx,text/csv" onChange={(event) => props.read(event.currentTarget.files?.[0])} /></label>
      <p role="status" class={props.said ? "said" : undefined}>{props.said}</p>
      {props.refused && <Refused title={words.states.refused} sentences={props.refused} />}
      {seen && (
        <section>
          <h2>{rows.length === 0 ? ((seen.faults ?? []).length > 0 ? w.onlyFaults : w.nothing) : w.head(taken.length, seen.new)}</h2>
          <p class="small soft">{w.rest(seen.same, seen.absent)}</p>
          {(seen.faults ?? []).length > 0 && (
            <Refused title={w.faults(seen.faults!.length)} sentences={seen.faults!.map((f) => w.fault(f.row, f.column ?? "", f.value ?? "", f.problem, f.what_to_do ?? ""))} />
          )}
          {rows.length > 0 && <Cells {...props} rows={rows} />}
          {taken.length > 0 && <div class="actions"><button type="button" class="main" onClick={props.take}>{w.take(taken.length)}</button></div>}
        </section>
      )}
    </>
  );
}

const atOnce = 200;

function Cells(props: { rows: NonNullable<BulkDifferences["rows"]> }) {
  const w = words.bulk;
  return (
    <>
      <div class="scroll tall" tabIndex={0} role="region" aria-label={w.caption}>
        <table>
          <caption class="hidden-text">{w.caption}</caption>
          <thead><tr><th scope="col">{w.columns.record}</th><th scope="col">{w.columns.column}</th><th scope="col">{w.columns.was}</th><th scope="col">{w.columns.is}</th></tr></thead>
          <tbody>
            {props.rows.slice(0, atOnce).flatMap((row) => (row.cells ?? []).map((cell, i) => (
              <tr key={`${row.id} ${cell.column}`}>
                <th scope="row">{i === 0 ? <>{row.name || row.id}{row.new && <span class="facts">{w.isNew}</span>}</> : <span class="hidden-text">{row.name || row.id}</span>}</th>
                <td>{cell.column.replaceAll("_", " ")}</td>
                <td>{cell.was || w.blank}</td>
                <td>{cell.not ? <><s>{cell.is || w.blank}</s><span class="facts">{w.not}</span></> : <strong>{cell.is || w.blank}</strong>}</td>
              </tr>
            )))}
          </tbody>
        </table>
      </div>
      {props.rows.length > atOnce && <p class="small">{w.more(props.rows.length - atOnce)}</p>}
    </>
  );
}
