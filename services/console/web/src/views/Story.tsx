import { useState } from "preact/hooks";
import { api } from "../api";
import { useLoaded } from "../loaded";
import { eventKind } from "../records/kinds";
import type { RecordKind } from "../types";
import { Shown } from "../ui/States";
import { words } from "../words";
import { LongStory } from "./Entries";

const kinds: Partial<Record<RecordKind, string[]>> = { sites: ["site", "feed", "assembly"], customers: ["customer", "site", "feed", "assembly"] };
const step = 200;

/** The history of a record's thing and of what hangs on it. */
export function Story(props: { kind: RecordKind; id: string; today: string }) {
  const { kind, id } = props;
  const w = words.story;
  const [most, setMost] = useState(step);
  const loaded = useLoaded(`story ${kind} ${id} ${most}`, kinds[kind] ?? [eventKind[kind]], () => api.story(eventKind[kind] as "site", id, most));
  return (
    <section>
      <h2>{w.title}</h2>
      <Shown loaded={loaded}>{(data) => (
        <LongStory entries={data.entries ?? []} earlier={data.earlier} zone={data.zone} today={props.today} lead={kind === "sites" || kind === "customers" ? w.lead[kind] : w.lead.other}
          mended={loaded.again} more={() => setMost(most + step)} />
      )}</Shown>
    </section>
  );
}
