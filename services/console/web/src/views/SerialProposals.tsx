import { useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { stopWords } from "../stopwords";
import type { History } from "../types";

const w = stopWords.proposal;
type Seen = NonNullable<History["serials_seen"]>[number];

/** Serials that crews read off the unit, and whether the record is to follow. */
export function SerialProposals(props: { assembly: string; seen: Seen[]; settled: () => void }) {
  return <>{props.seen.map((s) => <Proposal key={s.part + s.seen} {...props} one={s} />)}</>;
}

function Proposal(props: { assembly: string; one: Seen; settled: () => void }) {
  const { one } = props;
  const [why, setWhy] = useState("");
  const [said, setSaid] = useState<string[]>([]);
  const settle = async (kind: "take-serial" | "keep-serial") => {
    try {
      await api.desk({ kind, assembly: props.assembly, serial: one.seen, part: one.part as "main" | "bypass", ...(why ? { words: why } : {}) });
      props.settled();
    } catch (error) {
      setSaid(error instanceof Refusal ? error.sentences : [String(error)]);
    }
  };
  return (
    <section class="desk" aria-label={w.title}>
      <p>{w.says(one.seen, one.record ?? "", one.part === "bypass")}</p>
      <label class="field">{w.why}<input value={why} onInput={(event) => setWhy(event.currentTarget.value)} /></label>
      <div class="actions">
        <button type="button" class="main" onClick={() => void settle("take-serial")}>{w.take(one.seen)}</button>
        <button type="button" onClick={() => void settle("keep-serial")}>{w.keep}</button>
      </div>
      {said.map((sentence) => <p key={sentence} class="warn" role="alert">{sentence}</p>)}
    </section>
  );
}
