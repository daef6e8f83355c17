import { api } from "../api";
import { useLoaded } from "../loaded";
import { eventKind, namedBy, titleOf } from "../records/kinds";
import { useEntries, type Entries } from "../records/entries";
import { address } from "../route";
import type { Entry, Facts, Office, RecordKind } from "../types";
import { Shown } from "../ui/States";
import { words } from "../words";
import { AssemblyMore } from "./AssemblyMore";
import { CrewOff } from "./CrewOff";
import { GaugeFate } from "./GaugeFate";
import { RecordForm } from "./RecordForm";
import { FeedMore, SiteMore, SitesOf } from "./SiteMore";
import { Story } from "./Story";

/** One record: its form, and what hangs on it. */
export function RecordPage(props: { office: Office; kind: RecordKind; id: string | null; rest: string[] }) {
  const { office, kind, id } = props;
  const around = useEntries([...new Set<RecordKind>([...namedBy(kind), ...besides(kind)])]);
  const one = useLoaded(`record ${kind} ${id ?? ""}`, [eventKind[kind]], () => (id ? api.entry(kind, id) : Promise.resolve<Entry>({ id: "", facts: {} })));
  const w = words.records;
  return (
    <Shown loaded={one}>{(entry) => (
      <Shown loaded={around}>{(entries) => {
        const facts = id ? entry.facts : begin(kind, office, props.rest, entries);
        return (
          <>
            <p class="small"><a href={address("records", kind)}>{w.back(w.kinds[kind])}</a></p>
            <h1>{id ? titleOf(kind, id, facts, entry.details) : w.headNew(w.one[kind])}</h1>
            {id && kind === "sites" && <SiteMore site={id} facts={facts} entries={entries} office={office} />}
            {id && kind === "feeds" && <FeedMore feed={id} facts={facts} entries={entries} office={office} />}
            {id && kind === "customers" && <SitesOf customer={id} entries={entries} />}
            {id && kind === "assemblies" && <AssemblyMore assembly={id} facts={facts} entries={entries} office={office} fits={props.rest[0] === "fits" ? props.rest[1] ?? null : null} />}
            {id && kind === "crews" && <CrewOff crew={id} facts={facts} office={office} />}
            {id && kind === "gauges" && <GaugeFate gauge={id} office={office} />}
            {id && kind !== "assemblies" && <Story kind={kind} id={id} today={office.today} />}
            {id && <h2>{w.of(w.one[kind][0]!.toUpperCase() + w.one[kind].slice(1), titleOf(kind, id, facts, entry.details))}</h2>}
            <RecordForm kind={kind} id={id} name={id ?? ["new", ...props.rest].join(" ")} facts={facts} details={entry.details} entries={entries} saved={one.again} />
          </>
        );
      }}</Shown>
    )}</Shown>
  );
}

/** What a record's page lists besides the names in its form. */
function besides(kind: RecordKind): RecordKind[] {
  switch (kind) {
    case "sites": return ["feeds", "assemblies"];
    case "feeds": return ["assemblies"];
    case "customers": return ["sites"];
    case "crews": return ["sites"]; // for the map
    default: return [];
  }
}

/** What a new record starts from; `rest` may name the site or customer it belongs to. */
function begin(kind: RecordKind, office: Office, rest: string[], entries: Entries): Facts {
  const of = rest[0] ?? "";
  switch (kind) {
    case "sites": return { zone: office.zone, ...(of && { customer: of }) };
    case "feeds": return of ? { site: of } : {};
    case "assemblies": {
      const feeds = (entries.feeds ?? []).filter((f) => f.facts.site === of);
      return { type: "RP", ...(of && { site: of }), ...(feeds.length === 1 && { feed: feeds[0]!.id }) };
    }
    case "gauges": return { potable: true };
    case "crews":
    case "purveyors": return { zone: office.zone };
    default: return {};
  }
}
