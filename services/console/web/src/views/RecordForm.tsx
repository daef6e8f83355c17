import { signal } from "@preact/signals";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { newCommandId } from "../outbox";
import { draftKey, draftOf, factsOf, faultsAt, keepDraft, keptDraft, newPerson, type Draft, type Faults, type Row, type Value } from "../records/draft";
import type { Entries } from "../records/entries";
import { fields } from "../records/kinds";
import { positionOf } from "../records/coordinates";
import { address } from "../route";
import type { Details, Facts, RecordKind } from "../types";
import { words } from "../words";
import { FieldEntry, fieldId, labelOf } from "./FieldEntry";

/** What was last saved, to be said on the page that follows. */
const justSaved = signal<{ key: string; text: string } | null>(null);

/** A form to enter a record or to mend it. What is typed stays until it is saved or thrown away. */
export function RecordForm(props: { kind: RecordKind; id: string | null; /** of the draft */ name: string; facts: Facts; details?: Details; entries: Entries; saved: () => void }) {
  const { kind, id, facts, details, entries } = props;
  const w = words.records;
  const key = draftKey(kind, props.name);
  const [edits, setEdits] = useState<Draft>(() => keptDraft(key));
  const [faults, setFaults] = useState<Faults>({});
  const [refused, setRefused] = useState<string[] | null>(null);
  const [why, setWhy] = useState("");
  const [busy, setBusy] = useState(false);
  const form = useRef<HTMLFormElement>(null);
  const sent = useRef({ said: "", id: "" });
  const shown = useMemo(() => ({ ...draftOf(kind, facts, details), ...edits }), [kind, facts, details, edits]);
  const changed = Object.keys(edits).length > 0;
  const notice = justSaved.value?.key === `${kind} ${id}` && !changed ? justSaved.value.text : null;

  useEffect(() => keepDraft(key, edits), [key, edits]);
  useEffect(() => {
    if (Object.keys(faults).length > 0) form.current?.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus();
  }, [faults]);

  const change = (name: string, value: Value) => setEdits((old) => {
    const next: Draft = { ...old, [name]: value };
    if (kind === "assemblies" && name === "site") next.feed = "";
    if (name === "position" && kind === "sites" && !("position_source" in old) && positionOf(String(value))) next.position_source = "surveyed";
    return next;
  });
  const clicked = (name: string, text: string) => setEdits((old) => ({ ...old, [name]: text, ...(kind === "sites" && { position_source: "approximate" }) }));

  const save = async () => {
    const typed = await withNewPeople(edits, change);
    const said = factsOf(kind, facts, details, typed);
    if (Object.keys(said.faults).length > 0) return setFaults(said.faults);
    // The same words sent again are the same command: what may have arrived is not entered twice.
    const text = JSON.stringify([id, said.facts, said.details, why]);
    if (sent.current.said !== text) sent.current = { said: text, id: newCommandId() };
    const receipt = id ? await api.mend(kind, id, sent.current.id, said.facts, said.details, why.trim()) : await api.enter(kind, sent.current.id, said.facts, said.details);
    keepDraft(key, {});
    setEdits({});
    setWhy("");
    justSaved.value = { key: `${kind} ${receipt.id}`, text: id ? w.saved : w.entered(w.one[kind]) };
    if (id) props.saved();
    else location.hash = address("records", kind, receipt.id);
  };

  const submit = (event: Event) => {
    event.preventDefault();
    if (busy) return;
    setBusy(true);
    setFaults({});
    setRefused(null);
    save().catch((error: unknown) => {
      if (!(error instanceof Refusal)) return setRefused([String(error)]);
      const found = faultsAt(kind, error.faults);
      setFaults(found);
      if (Object.keys(found).length === 0 || found[""]) setRefused(error.sentences);
    }).finally(() => setBusy(false));
  };

  const named = Object.keys(faults).filter(Boolean);
  return (
    <form ref={form} class="record" onSubmit={submit} noValidate autocomplete="off">
      {notice && <p class="said" role="status">{notice}</p>}
      {(named.length > 0 || refused) && (
        <div class="said refused" role="alert">
          <p><strong>{named.length > 0 ? w.look : w.notSaved}</strong></p>
          <ul>
            {named.map((name) => <li key={name}><button type="button" class="text" onClick={() => document.getElementById(fieldId(kind, name))?.focus()}>{labelOf(kind, name)}</button>: {faults[name]}</li>)}
            {(refused ?? []).map((s) => <li key={s}>{s}</li>)}
          </ul>
        </div>
      )}
      <div class="fields">
        {fields[kind].filter((f) => !f.when || f.when({ ...facts, type: shown.type ?? facts.type })).map((field) => (
          <FieldEntry key={field.name} kind={kind} field={field} value={shown[field.name]!} fault={faults[field.name]} draft={shown} entries={entries} self={id}
            change={(value) => change(field.name, value)} clicked={(text) => clicked(field.name, text)} />
        ))}
      </div>
      {id && <div class="entry wide"><label class="field">{w.why}<input value={why} onInput={(event) => setWhy(event.currentTarget.value)} /></label></div>}
      <div class="actions">
        <button type="submit" class="main" aria-disabled={busy}>{busy ? w.saving : id ? w.save : w.enter(w.one[kind])}</button>
        {changed && <button type="button" onClick={() => { setEdits({}); setFaults({}); setRefused(null); }}>{w.throwAway}</button>}
        <span class="small soft" role="status">{changed ? w.unsaved : id && !notice ? w.nothingChanged : ""}</span>
      </div>
    </form>
  );
}

/** Enters the people that a contact names anew, and puts their ids into the draft, so that a second attempt does not enter them again. */
async function withNewPeople(edits: Draft, change: (name: string, value: Value) => void): Promise<Draft> {
  const contacts = edits.contacts as Row[] | undefined;
  if (!contacts?.some((row) => row.person === newPerson)) return edits;
  const rows = [...contacts];
  for (const [i, row] of rows.entries()) {
    if (row.person !== newPerson) continue;
    if (!row.name?.trim()) throw new Refusal(422, [words.records.newPersonUnnamed], true, [{ message: words.records.newPersonUnnamed, location: "body.facts.contacts" }]);
    const { id } = await api.enter("people", newCommandId(), {}, { name: row.name.trim(), ...(row.phone?.trim() && { phone: row.phone.trim() }) });
    rows[i] = { person: id, role: row.role ?? "" };
    change("contacts", [...rows]);
  }
  return { ...edits, contacts: rows };
}
