import type { ComponentChildren } from "preact";
import { useId } from "preact/hooks";
import { newPerson, type Draft, type Row, type Value } from "../records/draft";
import { namesOf, type Entries } from "../records/entries";
import { countsFrom, rolls, titleOf, units, type Field } from "../records/kinds";
import { weekOf, weekWords } from "../records/week";
import type { Entry, Position, RecordKind } from "../types";
import { WeekPicture } from "../ui/WeekPicture";
import { words } from "../words";
import { PlaceMap } from "./PlaceMap";

export const labelOf = (kind: RecordKind, name: string) => words.records.labels[`${kind}.${name}`] ?? name;
export const fieldId = (kind: RecordKind, name: string) => `${kind}-${name}`;

interface Props {
  kind: RecordKind;
  field: Field;
  value: Value;
  fault?: string;
  draft: Draft;
  entries: Entries;
  /** The record itself, which cannot hang on itself. */
  self: string | null;
  change: (value: Value) => void;
  clicked: (text: string) => void;
}

/** One field with its label, a hint, and what is wrong with it. */
export function FieldEntry(props: Props) {
  const { kind, field, fault } = props;
  const id = fieldId(kind, field.name);
  const hint = words.records.hints[`${kind}.${field.name}`];
  const described = [hint && `${id}-hint`, field.kind === "hours" && `${id}-week`, fault && `${id}-fault`].filter(Boolean).join(" ") || undefined;
  const marks = { id, "aria-invalid": fault ? true as const : undefined, "aria-describedby": described, "aria-required": field.needed || undefined };
  return (
    <div class={`entry ${["rows", "rule", "position", "hours", "some", "long"].includes(field.kind) ? "wide" : ""}`}>
      {control(props, marks)}
      {hint && <p class="hint" id={`${id}-hint`}>{hint}</p>}
      {fault && <p class="fault" id={`${id}-fault`}>{fault}</p>}
    </div>
  );
}

type Marks = { id: string; "aria-invalid"?: true; "aria-describedby"?: string; "aria-required"?: boolean };

function control(props: Props, marks: Marks) {
  const { kind, field, value, change } = props;
  const label = labelOf(kind, field.name);
  const text = String(value);
  const typed = { ...marks, value: text, onInput: (event: { currentTarget: { value: string } }) => change(event.currentTarget.value) };
  switch (field.kind) {
    case "long": return <label class="field">{label}<textarea rows={2} {...typed} /></label>;
    case "date": return <label class="field">{label}<input type="date" {...typed} /></label>;
    case "number": return <label class="field">{label}<input inputMode="numeric" class="short" {...typed} /></label>;
    case "hours": return <Hours label={label} text={text} id={marks.id}><input {...typed} placeholder="" /></Hours>;
    case "zone": return <Zone label={label} typed={typed} />;
    case "yes": return <label class="check"><input type="checkbox" {...marks} checked={value === true} onChange={(event) => change(event.currentTarget.checked)} />{label}</label>;
    case "known": return <Choice label={label} marks={marks} value={text} options={[["", words.records.unknown], ["yes", words.records.yes], ["no", words.records.no]]} change={change} />;
    case "choice": return <Choice label={label} marks={marks} value={text} options={choices(field, text)} change={change} />;
    case "one": return <Choice label={label} marks={marks} value={text} options={others(props, field, text)} change={change} />;
    case "some": return <Some {...props} label={label} marks={marks} />;
    case "position": return (
      <>
        <label class="field">{label}<input {...typed} aria-describedby={[marks["aria-describedby"], `${marks.id}-how`].filter(Boolean).join(" ")} /></label>
        <p class="hint" id={`${marks.id}-how`}>{words.records.positionHint}</p>
        <PlaceMap text={text} sites={props.entries.sites ?? []} self={props.self} near={nearOf(props)} click={props.clicked} />
      </>
    );
    case "rows": return <Rows {...props} label={label} marks={marks} />;
    case "rule": return <Rule label={label} marks={marks} row={value as Row} change={change} />;
    default: return <label class="field">{label}<input class={field.kind === "size" ? "short" : undefined} {...typed} /></label>;
  }
}

/** Where to look for a position that is not set yet: at the site that the record belongs to. */
const nearOf = ({ kind, draft, entries }: Props) => ((kind === "assemblies" && entries.sites?.find((s) => s.id === draft.site)?.facts.position) || null) as Position | null;

/** The values of a choice with their words; one that is on record and not among them stays as it is. */
function choices(field: Field, value: string): [string, string][] {
  const said = words.records.values[field.name] ?? {};
  const values = field.values!.includes(value) || value === "" ? field.values! : [...field.values!, value];
  return [...(value === "" && !values.includes("") ? [["", words.records.choose] as [string, string]] : []), ...values.map((v): [string, string] => [v, said[v] ?? v])];
}

function Choice(props: { label: string; marks: Marks; value: string; options: [string, string][]; change: (value: string) => void }) {
  return (
    <label class="field">{props.label}
      <select {...props.marks} value={props.value} onChange={(event) => props.change(event.currentTarget.value)}>
        {props.options.map(([value, text]) => <option key={value} value={value}>{text}</option>)}
      </select>
    </label>
  );
}

/** The records that a field may name, by name; an id that is not among them stays as it is. */
function others(props: Pick<Props, "kind" | "draft" | "entries" | "self">, field: Field, value: string): [string, string][] {
  const of = field.of!;
  const here = (entry: Entry) => of !== "feeds" || entry.facts.site === props.draft.site;
  const list = (props.entries[of] ?? []).filter((e) => here(e) && !(of === props.kind && e.id === props.self))
    .map((e): [string, string] => [e.id, [titleOf(of, e.id, e.facts, e.details), of === "sites" ? e.facts.address : ""].filter(Boolean).join(", ")])
    .sort((a, b) => a[1].localeCompare(b[1]));
  const known = value === "" || list.some(([id]) => id === value);
  return [["", field.always ? words.records.choose : words.records.nobody], ...list, ...(known || value === newPerson ? [] : [[value, words.records.personUnknown(value)] as [string, string]])];
}

function Hours(props: { label: string; text: string; id: string; children: ComponentChildren }) {
  const read = weekWords(props.text);
  const week = weekOf(props.text);
  const w = words.records;
  return (
    <>
      <label class="field">{props.label}{props.children}</label>
      <p class="hint" id={`${props.id}-week`}>{props.text.trim() === "" ? w.hoursHint : read ? `${w.hoursRead} ${read}.` : `${w.hoursUnread} ${w.hoursHint}`}</p>
      {week && <WeekPicture week={week} />}
    </>
  );
}

function Zone(props: { label: string; typed: object }) {
  const id = useId();
  return (
    <label class="field">{props.label}
      <input list={id} {...props.typed} />
      <datalist id={id}>{Intl.supportedValuesOf("timeZone").filter((z) => z.startsWith("America/") || z.startsWith("Pacific/")).map((z) => <option key={z} value={z} />)}</datalist>
    </label>
  );
}

/** Several records of a kind, as a list of boxes to tick. */
function Some(props: Props & { label: string; marks: Marks }) {
  const chosen = props.value as string[];
  const of = props.field.of!;
  const nameOf = namesOf(props.entries);
  const ids = [...new Set([...(props.entries[of] ?? []).map((e) => e.id), ...chosen])].sort((a, b) => nameOf(of, a).localeCompare(nameOf(of, b)));
  const { "aria-required": _, "aria-invalid": invalid, ...marks } = props.marks;
  return (
    <fieldset class="several" {...marks} tabIndex={-1} data-invalid={invalid}>
      <legend>{props.label}</legend>
      {ids.map((id, i) => (
        <label key={id} class="check">
          <input type="checkbox" aria-invalid={i === 0 ? invalid : undefined} checked={chosen.includes(id)} onChange={(event) => props.change(event.currentTarget.checked ? [...chosen, id] : chosen.filter((c) => c !== id))} />
          {nameOf(of, id)}
        </label>
      ))}
    </fieldset>
  );
}

/** A list of rows, such as contacts or certificates. */
function Rows(props: Props & { label: string; marks: Marks }) {
  const { kind, field, change } = props;
  const rows = props.value as Row[];
  const w = words.records;
  const set = (i: number, name: string, value: string) => change(rows.map((row, n) => (n === i ? { ...row, [name]: value } : row)));
  const { "aria-required": _, "aria-invalid": invalid, ...marks } = props.marks;
  return (
    <fieldset class="several" {...marks} tabIndex={-1}>
      <legend>{props.label}</legend>
      {rows.map((row, i) => (
        <div key={i} class="row" role="group" aria-label={`${props.label} ${i + 1}`}>
          {field.columns!.map((column, n) => {
            const value = row[column.name] ?? "";
            const label = labelOf(kind, `${field.name}.${column.name}`);
            const columnMarks: Marks = { id: `${props.marks.id}-${i}-${column.name}`, "aria-invalid": invalid && (n === 0 || !value) ? true : undefined };
            if (column.kind === "one") {
              const options = others(props, column, value);
              if (column.of === "people") options.push([newPerson, w.newPerson]);
              return <Choice key={column.name} label={label} marks={columnMarks} value={value} options={options} change={(v) => set(i, column.name, v)} />;
            }
            if (column.kind === "choice") return <Choice key={column.name} label={label} marks={columnMarks} value={value} options={choices(column, value)} change={(v) => set(i, column.name, v)} />;
            const typed = { ...columnMarks, value, onInput: (event: { currentTarget: { value: string } }) => set(i, column.name, event.currentTarget.value) };
            return <label key={column.name} class="field">{label}{column.kind === "date" ? <input type="date" {...typed} /> : <input {...typed} />}</label>;
          })}
          {row.person === newPerson && (
            <>
              <label class="field">{w.newName}<input value={row.name ?? ""} onInput={(event) => set(i, "name", event.currentTarget.value)} /></label>
              <label class="field">{w.newPhone}<input type="tel" value={row.phone ?? ""} onInput={(event) => set(i, "phone", event.currentTarget.value)} /></label>
            </>
          )}
          <button type="button" class="text" aria-label={w.takeRow(props.label.toLowerCase(), i + 1)} onClick={() => change(rows.filter((_, n) => n !== i))}>{w.takeAway}</button>
        </div>
      ))}
      <button type="button" onClick={() => change([...rows, {}])}>{w.addRow(props.label.toLowerCase())}</button>
    </fieldset>
  );
}

/** One clock of a purveyor. */
function Rule(props: { label: string; marks: Marks; row: Row; change: (row: Row) => void }) {
  const { row, change } = props;
  const w = words.records.rule;
  const v = words.records.values;
  const { "aria-required": _, "aria-invalid": invalid, ...marks } = props.marks;
  const pick = (name: "unit" | "counts_from" | "roll", values: string[]) => (
    <Choice label={w[name]} marks={{ id: `${marks.id}-${name}` }} value={row[name] ?? ""} options={values.map((x): [string, string] => [x, v[name]![x] ?? x]).filter(([x], i, all) => i === 0 || x !== "test" || all[0]![0] !== "")} change={(value) => change({ ...row, [name]: value })} />
  );
  return (
    <fieldset class="several" {...marks} tabIndex={-1}>
      <legend>{props.label}</legend>
      <div class="row">
        <label class="field">{w.count}<input class="short" inputMode="numeric" aria-invalid={invalid} value={row.count ?? ""} onInput={(event) => change({ ...row, count: event.currentTarget.value })} /></label>
        {pick("unit", units)}
        {pick("counts_from", row.counts_from === "test" ? countsFrom.slice(1) : countsFrom)}
        {pick("roll", rolls)}
        <label class="field">{w.source}<input value={row.source ?? ""} onInput={(event) => change({ ...row, source: event.currentTarget.value })} /></label>
      </div>
    </fieldset>
  );
}
