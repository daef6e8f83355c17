// A form as it is typed, and the facts that it says. A draft holds only what
// was changed: everything else is always as it stands on record, also when
// somebody else mends it meanwhile. Pure but for the functions that keep it.

import type { Details, Facts, RecordKind } from "../types";
import { words } from "../words";
import { positionOf, positionText } from "./coordinates";
import { fields, type Field } from "./kinds";

export type Row = Record<string, string>;
export type Value = string | boolean | string[] | Row[] | Row;
export type Draft = Record<string, Value>;
/** A sentence for each field that needs a look; "" is for the form as a whole. */
export type Faults = Record<string, string>;

/** Someone new among the contacts of a site: a person is entered before the site is saved. */
export const newPerson = "+";

const detail = "details.";

function at(from: Facts, path: string): unknown {
  return path.split(".").reduce<unknown>((value, step) => (value as Facts | undefined | null)?.[step], from);
}

/** Sets a value at a path, or takes it away, leaving no empty groups behind. */
function put(into: Facts, path: string, value: unknown): void {
  const [step, ...rest] = path.split(".") as [string, ...string[]];
  if (rest.length === 0) {
    if (value === undefined) delete into[step];
    else into[step] = value;
    return;
  }
  const group = { ...((into[step] as Facts | undefined) ?? {}) };
  put(group, rest.join("."), value);
  if (Object.keys(group).length === 0) delete into[step];
  else into[step] = group;
}

const rowOf = (value: unknown): Row => Object.fromEntries(Object.entries((value as Facts | undefined) ?? {}).map(([key, v]) => [key, String(v ?? "")]));

/** What a form shows for facts on record. */
export function draftOf(kind: RecordKind, facts: Facts, details: Details = {}): Draft {
  return Object.fromEntries(fields[kind].map((field) => [field.name, shown(field, field.name.startsWith(detail) ? (details as Facts)[field.name.slice(detail.length)] : at(facts, field.name))]));
}

function shown(field: Field, value: unknown): Value {
  switch (field.kind) {
    case "yes": return value === true;
    case "known": return value === undefined || value === null ? "" : value ? "yes" : "no";
    case "position": return positionText(value as Parameters<typeof positionText>[0]);
    case "some": return [...((value as string[] | null | undefined) ?? [])];
    case "rows": return ((value as Facts[] | null | undefined) ?? []).map(rowOf);
    case "rule": return rowOf(value);
    default: return value === undefined || value === null ? "" : String(value);
  }
}

/** The facts of a record with what was typed put in, and what is plainly missing or unreadable. */
export function factsOf(kind: RecordKind, onRecord: Facts, detailsOnRecord: Details | undefined, edits: Draft): { facts: Facts; details?: Details; faults: Faults } {
  const facts: Facts = structuredClone(onRecord);
  let details: Details | undefined;
  const faults: Faults = {};
  const all = { ...draftOf(kind, onRecord, detailsOnRecord), ...edits };
  for (const field of fields[kind]) {
    const value = all[field.name]!;
    if (field.needed && typeof value === "string" && value.trim() === "") faults[field.name] = words.records.empty;
    const touched = field.name in edits;
    if (field.name.startsWith(detail)) {
      if (touched) details = { ...(details ?? detailsOnRecord), [field.name.slice(detail.length)]: String(value).trim() };
      continue;
    }
    if (!touched && at(onRecord, field.name) !== undefined) continue;
    const { said, fault } = read(field, value);
    if (fault) faults[field.name] = fault;
    put(facts, field.name, said);
  }
  return { facts, details, faults };
}

function read(field: Field, value: Value): { said?: unknown; fault?: string } {
  const w = words.records;
  switch (field.kind) {
    case "yes": return { said: value || field.always ? value : undefined };
    case "known": return { said: value === "" ? undefined : value === "yes" };
    case "some": return { said: (value as string[]).length > 0 || field.always ? value : undefined };
    case "number": {
      const text = String(value).trim();
      if (text === "") return {};
      return /^\d{1,9}$/.test(text) ? { said: Number(text) } : { fault: w.wholeNumber };
    }
    case "position": {
      const text = String(value).trim();
      if (text === "") return { said: field.always ? null : undefined };
      const said = positionOf(text);
      return said ? { said } : { fault: w.positionUnread };
    }
    case "rows": {
      const rows = (value as Row[]).filter((row) => Object.values(row).some((v) => v.trim() !== ""));
      if (rows.some((row) => field.columns!.some((c) => c.always && !row[c.name]?.trim()))) return { fault: w.rowUnfilled };
      return { said: rows.length === 0 ? undefined : rows.map((row) => Object.fromEntries(field.columns!.map((c) => [c.name, (row[c.name] ?? "").trim()]).filter(([name, v]) => v !== "" || field.columns!.find((c) => c.name === name)!.always))) };
    }
    case "rule": {
      const { count = "", unit = "", counts_from = "", roll = "", source = "" } = value as Row;
      if (unit === "" && count.trim() === "") return {};
      if (unit === "" || !/^\d{1,4}$/.test(count.trim())) return { fault: w.ruleUnfilled };
      return { said: { count: Number(count), unit, ...(counts_from && { counts_from }), ...(roll && { roll }), ...(source.trim() && { source: source.trim() }) } };
    }
    default: {
      const text = String(value).trim();
      return { said: text === "" && !field.always ? undefined : text };
    }
  }
}

/** Puts the server's faults at the fields they are about. */
export function faultsAt(kind: RecordKind, found: { message: string; location: string }[]): Faults {
  const faults: Faults = {};
  for (const { message, location } of found) {
    const path = location.replace(/^body\.(facts\.)?/, "").replace(/\[\d+\]/g, "");
    const field = fields[kind].filter((f) => path === f.name || path.startsWith(`${f.name}.`) || f.name.startsWith(`${path}.`)).sort((a, b) => b.name.length - a.name.length)[0];
    const name = field?.name ?? "";
    faults[name] = [faults[name], message].filter(Boolean).join("; ");
  }
  return faults;
}

// What was typed and not saved stays in this browser tab, also through a reload.

export const draftKey = (kind: RecordKind, id: string) => `form ${kind} ${id}`;

export function keepDraft(key: string, edits: Draft): void {
  if (Object.keys(edits).length === 0) sessionStorage.removeItem(key);
  else sessionStorage.setItem(key, JSON.stringify(edits));
}

export function keptDraft(key: string): Draft {
  try {
    return JSON.parse(sessionStorage.getItem(key) ?? "{}") as Draft;
  } catch {
    return {};
  }
}
