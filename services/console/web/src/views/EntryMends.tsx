import { useEffect, useRef, useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { mendRequest } from "../mends";
import { address } from "../route";
import type { HistoryEntry, Mend } from "../types";
import { Refused } from "../ui/States";
import { words } from "../words";

/** What can be done about one entry. Escape closes it. */
export function EntryMends(props: { entry: HistoryEntry; today: string; close: () => void; done: (said: string) => void }) {
  const { entry, today } = props;
  const w = words.mends;
  const mends = entry.mends ?? [];
  const [nth, setNth] = useState(0);
  const [why, setWhy] = useState("");
  const [date, setDate] = useState(today);
  const [refused, setRefused] = useState<string[] | null>(null);
  const [busy, setBusy] = useState(false);
  const first = useRef<HTMLSelectElement>(null);
  useEffect(() => first.current?.focus(), []);
  const mend = mends[nth]!;
  const record = (event: Event) => {
    event.preventDefault();
    const request = mendRequest(entry, mend, why.trim(), date);
    if (!request || busy) return;
    setBusy(true);
    setRefused(null);
    ("desk" in request ? api.desk(request.desk) : api.withdrawTime(request.withdraw)).then(
      () => props.done(w.done(w.effect[mend.how]!)),
      (error: unknown) => setRefused(error instanceof Refusal ? error.sentences : [String(error)]),
    ).finally(() => setBusy(false));
  };
  return (
    <form class="desk" onSubmit={record} onKeyDown={(event) => event.key === "Escape" && props.close()}>
      {refused && <Refused title={words.states.refused} sentences={refused} />}
      <p class="small">{w.stays}</p>
      <label class="field">{w.what}
        <select ref={first} value={nth} onChange={(event) => setNth(Number(event.currentTarget.value))}>
          {mends.map((m, i) => <option key={m.how} value={i}>{[w.how[m.how], w.part(m.code ?? "", m.item ?? "")].filter(Boolean).join(": ")}</option>)}
        </select>
      </label>
      {mend.how === "correct-readings" ? <ToReadings entry={entry} mend={mend} /> : (
        <div class="actions">
          <label class="field wide">{w.ask[mend.how]}<input value={why} required onInput={(event) => setWhy(event.currentTarget.value)} /></label>
          {mend.how === "send-back-kit" && <label class="field">{w.onDay}<input type="date" value={date} max={today} required onInput={(event) => setDate(event.currentTarget.value)} /></label>}
          <button type="submit" class="main" disabled={busy}>{w.record[mend.how]}</button>
        </div>
      )}
      {w.effect[mend.how] && <p class="small soft">{w.effect[mend.how]}</p>}
    </form>
  );
}

function ToReadings(props: { entry: HistoryEntry; mend: Mend }) {
  return <p class="actions"><a class="button" href={address("readings", props.mend.assembly ?? props.entry.id, props.mend.job ?? "", props.entry.event)}>{words.mends.toReadings}</a></p>;
}
