// What the office keeps records of: which fields each kind has, in the order in
// which they are asked, and what its table shows. Words are in the catalogue.

import type { Facts, RecordKind } from "../types";
import { dayName } from "../time";
import { words } from "../words";

export type FieldKind =
  | "text" | "long" | "hours" | "zone" | "size" | "date" | "number" | "yes" | "known"
  | "choice" | "position" | "one" | "some" | "rows" | "rule";

export interface Field {
  /** Place in the facts, with dots; `details.` for what is kept apart from the log. */
  name: string;
  kind: FieldKind;
  /** Sent even when empty: the server's description asks for it. */
  always?: boolean;
  /** Must be filled in; said here, where the server would only say that it is missing. */
  needed?: boolean;
  /** For "one" and "some": of which kind. */
  of?: RecordKind;
  /** For "choice": the values, in order; their words are in the catalogue. */
  values?: string[];
  /** For "rows": the columns of each. */
  columns?: Field[];
  /** Shown only when this holds. */
  when?: (facts: Facts) => boolean;
}

export const types = ["RP", "DC", "RPDA", "RPDA-II", "DCDA", "DCDA-II", "PVB", "SVB", "AVB", "AG"];
export const units = ["", "calendar", "business", "hours"];
export const countsFrom = ["", "test", "report", "notice-sent", "notice-received", "inspection"];
export const rolls = ["", "before", "none", "after"];
/** Whose public holidays are known, by ISO 3166 code, as the server lists them. */
export const regions = ["", "AU-ACT", "AU-NSW", "AU-NT", "AU-QLD", "AU-SA", "AU-TAS", "AU-VIC", "AU-WA", "CA", "GB", "IE", "US", "ZA"];
export const roles = ["lets in", "may order shut-off", "may authorise repair", "alarm company", "fire pump hand"];
/** What others must bring to a place, as the server lists it. */
export const brought = ["street-valve", "alarm-company", "escort", "pump-out"];
const needs: Field = { name: "needs", kind: "rows", columns: [{ name: "what", kind: "choice", values: brought, always: true }, { name: "whom", kind: "text" }, { name: "phone", kind: "text" }] };
export const components = ["", "check-1", "check-2", "relief", "air-inlet", "check", "bypass-check"];

export const recordKinds: RecordKind[] = ["customers", "sites", "feeds", "assemblies", "crews", "people", "gauges", "kits", "purveyors"];

/** What the live stream calls each kind. */
export const eventKind: Record<RecordKind, string> = {
  customers: "customer", sites: "site", feeds: "feed", assemblies: "assembly", crews: "crew", people: "person", gauges: "gauge", kits: "kit", purveyors: "purveyor",
};

const relief = (facts: Facts) => /^RP/.test(String(facts.type ?? ""));
const fireLine = (facts: Facts) => facts.service === "fire";
const detector = (facts: Facts) => /DA/.test(String(facts.type ?? ""));

export const fields: Record<RecordKind, Field[]> = {
  customers: [
    { name: "name", kind: "text", always: true, needed: true },
    { name: "repair", kind: "choice", values: ["", "yes", "no", "ask"] },
    { name: "repair_limit_usd", kind: "number" },
    { name: "on_hold", kind: "text" },
    { name: "mailing_address", kind: "long" },
    { name: "purchase_order", kind: "text" },
  ],
  sites: [
    { name: "name", kind: "text", always: true, needed: true },
    { name: "customer", kind: "one", of: "customers" },
    { name: "use", kind: "text" },
    { name: "address", kind: "text" },
    { name: "account", kind: "text" },
    { name: "parcel", kind: "text" },
    { name: "position", kind: "position", always: true },
    { name: "position_source", kind: "choice", values: ["", "surveyed", "address-point", "phone", "street", "approximate", "missing"] },
    { name: "zone", kind: "zone", always: true, needed: true },
    { name: "region", kind: "choice", values: regions },
    { name: "access_hours", kind: "hours", always: true, needed: true },
    { name: "notice_days", kind: "number" },
    { name: "legs_one_a_day", kind: "yes" },
    needs,
    { name: "access", kind: "long" },
    { name: "details.code", kind: "text" },
    { name: "caution", kind: "long" },
    { name: "contacts", kind: "rows", columns: [{ name: "person", kind: "one", of: "people", always: true }, { name: "role", kind: "choice", values: roles, always: true }] },
  ],
  feeds: [
    { name: "site", kind: "one", of: "sites", always: true, needed: true },
    { name: "name", kind: "text", always: true, needed: true },
    { name: "shutdown_window", kind: "hours", always: true, needed: true },
    { name: "fire", kind: "yes" },
    { name: "fed_from", kind: "one", of: "feeds" },
    { name: "manifold", kind: "text" },
    needs,
    { name: "season", kind: "text" },
    { name: "pressurised", kind: "known" },
  ],
  assemblies: [
    { name: "site", kind: "one", of: "sites", always: true, needed: true },
    { name: "feed", kind: "one", of: "feeds", always: true, needed: true },
    { name: "purveyor", kind: "one", of: "purveyors", always: true, needed: true },
    { name: "purveyor_number", kind: "text" },
    { name: "type", kind: "choice", values: types, always: true },
    { name: "size", kind: "size" },
    { name: "service", kind: "choice", values: ["", "domestic", "irrigation", "fire", "process"] },
    { name: "hazard", kind: "choice", values: ["", "health", "non-health", "imminent"] },
    { name: "maker", kind: "text" },
    { name: "model", kind: "text" },
    { name: "serial", kind: "text" },
    { name: "serial_doubt", kind: "text" },
    { name: "place", kind: "text" },
    { name: "isolates", kind: "text" },
    { name: "position", kind: "position" },
    { name: "vault", kind: "choice", values: ["", "open", "permit"] },
    { name: "last_passed", kind: "date" },
    { name: "bypass.maker", kind: "text", when: detector },
    { name: "bypass.model", kind: "text", when: detector },
    { name: "bypass.size", kind: "size", when: detector },
    { name: "bypass.serial", kind: "text", when: detector },
    { name: "installation.water_meter", kind: "text" },
    { name: "installation.detector_meter", kind: "text", when: detector },
    { name: "installation.permit", kind: "text" },
    { name: "installation.approved", kind: "choice", values: ["", "yes", "no"] },
    { name: "installation.orientation", kind: "text" },
    { name: "installation.height_in", kind: "number" },
    { name: "installation.frost_flood", kind: "text" },
    { name: "installation.outlets_before", kind: "text" },
    { name: "installation.relief_gap", kind: "choice", values: ["", "yes", "no"], when: relief },
    { name: "installation.design_flow_gpm", kind: "number", when: fireLine },
  ],
  crews: [
    { name: "name", kind: "text", always: true, needed: true },
    { name: "letter", kind: "text", always: true, needed: true },
    { name: "people", kind: "some", of: "people", always: true },
    { name: "gauges", kind: "some", of: "gauges" },
    { name: "hours", kind: "hours", always: true, needed: true },
    { name: "overtime_minutes", kind: "number" },
    { name: "break_minutes", kind: "number" },
    { name: "break_from", kind: "text" },
    { name: "break_to", kind: "text" },
    { name: "home", kind: "position", always: true },
    { name: "zone", kind: "zone", always: true, needed: true },
    { name: "region", kind: "choice", values: regions },
  ],
  people: [
    { name: "details.name", kind: "text", needed: true },
    { name: "details.phone", kind: "text" },
    { name: "credentials", kind: "rows", columns: [
      { name: "kind", kind: "choice", values: ["tester", "repairer", "fire", "confined-space"], always: true },
      { name: "number", kind: "text" },
      { name: "until", kind: "date", always: true },
    ] },
    { name: "registrations", kind: "rows", columns: [{ name: "purveyor", kind: "one", of: "purveyors", always: true }, { name: "until", kind: "date", always: true }] },
  ],
  gauges: [
    { name: "serial", kind: "text", needed: true },
    { name: "maker", kind: "text" },
    { name: "model", kind: "text" },
    { name: "calibrated_on", kind: "date" },
    { name: "calibrated_by", kind: "text" },
    { name: "certified_until", kind: "date", always: true, needed: true },
    { name: "potable", kind: "yes", always: true },
    { name: "registered_with", kind: "some", of: "purveyors" },
  ],
  kits: [
    { name: "code", kind: "text", always: true, needed: true },
    { name: "maker", kind: "text" },
    { name: "model", kind: "text" },
    { name: "size", kind: "size" },
    { name: "component", kind: "choice", values: components },
    { name: "where", kind: "text" },
    { name: "promised", kind: "date" },
  ],
  purveyors: [
    { name: "name", kind: "text", always: true, needed: true },
    { name: "system_number", kind: "text" },
    { name: "zone", kind: "zone", always: true, needed: true },
    { name: "closed.region", kind: "choice", values: regions },
    { name: "criteria_profile", kind: "choice", values: ["", "strictest", "epa-2003", "usc-9", "usc-10", "iowa-city-form", "toronto-form"], always: true },
    { name: "interval_months", kind: "number" },
    { name: "earliest_days_before", kind: "number" },
    { name: "vacancy.months", kind: "number" },
    { name: "vacancy.none", kind: "yes" },
    { name: "idle.months", kind: "number" },
    { name: "idle.none", kind: "yes" },
    { name: "registration_required", kind: "yes" },
    { name: "gauge_registration_required", kind: "yes" },
    { name: "gauge_anniversary_counts", kind: "yes" },
    { name: "repair.imminent", kind: "rule" },
    { name: "repair.health", kind: "rule" },
    { name: "repair.non-health", kind: "rule" },
    { name: "report_pass", kind: "rule" },
    { name: "report_fail", kind: "rule" },
    { name: "phone_fail", kind: "rule" },
  ],
};

/** The kinds whose names a table or form of this kind shows. */
export const namedBy = (kind: RecordKind): RecordKind[] => {
  const of = fields[kind].flatMap((f) => [f.of, ...(f.columns ?? []).map((c) => c.of)]).filter((k) => k !== undefined);
  return [...new Set<RecordKind>([kind, ...of])];
};

/** How other records are called, by kind and id. */
export type NameOf = (kind: RecordKind, id: string) => string;

/** A date with its year, whatever year it is. */
const date = (value: unknown): string => (value ? dayName(String(value), "0000-01-01") : "");

const text = (value: unknown): string => (value === undefined || value === null ? "" : String(value));

/** How a record is called in lists and links. */
export function titleOf(kind: RecordKind, id: string, facts: Facts, details?: { name?: string }): string {
  switch (kind) {
    case "assemblies": return [text(facts.type), text(facts.size), text(facts.place)].filter(Boolean).join(", ") || id;
    case "crews": return [text(facts.name).includes(text(facts.letter)) ? "" : text(facts.letter), text(facts.name)].filter(Boolean).join(" ") || id;
    case "people": return details?.name || id;
    case "gauges": return text(facts.serial) || id;
    case "kits": return text(facts.code) || id;
    default: return text(facts.name) || id;
  }
}

/** The cells of a table's row after the title, as the catalogue heads them. */
export function cellsOf(kind: RecordKind, facts: Facts, nameOf: NameOf): string[] {
  const w = words.records;
  const list = (value: unknown) => (Array.isArray(value) ? value : []);
  const choice = (field: string) => w.values[field]?.[text(facts[field])] ?? text(facts[field]);
  switch (kind) {
    case "customers": return [choice("repair"), text(facts.on_hold)];
    case "sites": return [text(facts.address), nameOf("customers", text(facts.customer)), text(facts.access_hours), facts.notice_days ? w.daysNotice(Number(facts.notice_days)) : "",
      !facts.position || facts.position_source === "missing" ? w.noPosition : choice("position_source")];
    case "feeds": return [nameOf("sites", text(facts.site)), text(facts.shutdown_window), facts.fire ? w.fireLine : "", text(facts.season)];
    case "assemblies": return [nameOf("sites", text(facts.site)), nameOf("feeds", text(facts.feed)), nameOf("purveyors", text(facts.purveyor)), text(facts.purveyor_number), text(facts.serial)];
    case "crews": return [list(facts.people).map((p) => nameOf("people", p)).join(", "), list(facts.gauges).map((g) => nameOf("gauges", g)).join(", "), text(facts.hours)];
    case "people": return [list(facts.credentials).map((c) => w.until(w.values["credentials.kind"]?.[c.kind] ?? c.kind, date(c.until))).join("; "),
      list(facts.registrations).map((r) => w.until(nameOf("purveyors", r.purveyor), date(r.until))).join("; ")];
    case "gauges": return [date(facts.certified_until), facts.potable ? w.potable : w.notPotable, list(facts.registered_with).map((p) => nameOf("purveyors", p)).join(", ")];
    case "kits": return [[text(facts.maker), text(facts.model), text(facts.size)].filter(Boolean).join(", "), choice("component"), text(facts.where), date(facts.promised)];
    case "purveyors": return [choice("criteria_profile"), facts.interval_months ? w.everyMonths(Number(facts.interval_months)) : "", facts.registration_required ? w.registered : ""];
  }
}

/** Whether a row holds every word of the filter, in any order and case. */
export function matches(filter: string, cells: string[]): boolean {
  const plain = (t: string) => t.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
  const row = plain(cells.join(" "));
  return plain(filter).split(/\s+/).filter(Boolean).every((word) => row.includes(word));
}
