import { useState } from "preact/hooks";
import { api, Refusal } from "../api";
import type { OutboxFile, TakenItem } from "../types";
import { Refused } from "../ui/States";
import { words } from "../words";

/** Takes in what a phone saved because it could not send it. The ids in it are those of the taps, so that nothing is there twice. */
export function TakeOutbox(props: { took: () => void; taken?: TakenItem[] }) {
  const w = words.alarms.file;
  const [file, setFile] = useState<File | null>(null);
  const [busy, setBusy] = useState(false);
  const [taken, setTaken] = useState<TakenItem[] | null>(props.taken ?? null);
  const [refused, setRefused] = useState<string[] | null>(null);
  const take = async (event: Event) => {
    event.preventDefault();
    if (!file) return;
    setBusy(true);
    setRefused(null);
    setTaken(null);
    try {
      const outbox = readOutbox(await file.text());
      if (!outbox) throw new Refusal(422, [w.notOurs], true);
      setTaken((await api.takeOutbox(outbox)) ?? []);
      props.took();
    } catch (error) {
      setRefused(error instanceof Refusal ? error.sentences : [String(error)]);
    } finally {
      setBusy(false);
    }
  };
  const many = (outcome: string) => (taken ?? []).filter((one) => one.outcome === outcome).length;
  return (
    <section>
      <h2>{w.title}</h2>
      <p class="small soft">{w.lead}</p>
      <form class="actions" onSubmit={(event) => void take(event)}>
        <label class="field">{w.choose}<input type="file" accept=".json,application/json" required onChange={(event) => setFile(event.currentTarget.files?.[0] ?? null)} /></label>
        <button type="submit" disabled={busy}>{busy ? w.taking : w.take}</button>
      </form>
      {refused && <Refused title={words.states.refused} sentences={refused} />}
      <p role="status" class={taken ? "said" : "hidden-text"}>{taken && w.done(many("recorded"), many("known"), many("refused"))}</p>
      {taken && (
        <ul>
          {taken.map((one) => (
            <li key={one.command_id}>
              {w.of(one.label, w.outcomes[one.outcome] ?? one.outcome)}
              {(one.words ?? []).length > 0 && <span class="facts warn">{one.words!.join(" ")}</span>}
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

/** The file's content, or null when it is none of ours. */
export function readOutbox(text: string): OutboxFile | null {
  try {
    const value = JSON.parse(text) as OutboxFile | null;
    return value && typeof value === "object" && "valveround_outbox" in value && Array.isArray(value.entries) ? value : null;
  } catch {
    return null;
  }
}
