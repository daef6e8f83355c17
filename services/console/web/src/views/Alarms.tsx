import { useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { useLoaded } from "../loaded";
import { address } from "../route";
import { dayAndClock } from "../time";
import type { Alarm, DeskRequest, TakenItem } from "../types";
import { Empty, Refused, Shown } from "../ui/States";
import { words } from "../words";
import { TakeOutbox } from "./TakeOutbox";

/** What came from the field and does not fit what else is known, until somebody says what came of it. */
export function Alarms(props: { zone: string }) {
  const loaded = useLoaded("alarms", ["assembly", "site", "feed", "field"], api.alarms);
  const [refused, setRefused] = useState<string[] | null>(null);
  const settle = (alarm: Alarm, said: string) => {
    setRefused(null);
    api.desk(settling(alarm, said)).then(loaded.again, (error: unknown) => setRefused(error instanceof Refusal ? error.sentences : [String(error)]));
  };
  return <Shown loaded={loaded}>{(list) => <AlarmsPage alarms={list ?? []} zone={props.zone} refused={refused} settle={settle} took={loaded.again} />}</Shown>;
}

/** Which thing an alarm is filed under, as the server is told. */
export function settling(alarm: Alarm, said: string): DeskRequest {
  const under = { assembly: "assembly", site: "site", feed: "feed", field: "kept" } as const;
  return { kind: "settle-alarm", about: alarm.event, words: said, [under[alarm.kind]]: alarm.id };
}

export function AlarmsPage(props: { alarms: Alarm[]; zone: string; refused: string[] | null; settle: (alarm: Alarm, said: string) => void; took: () => void; taken?: TakenItem[] }) {
  const w = words.alarms;
  const open = props.alarms.filter((a) => !a.settled);
  const settled = props.alarms.filter((a) => a.settled);
  return (
    <>
      <h1>{w.head(open.length)}</h1>
      <p class="small soft">{w.lead}</p>
      {props.refused && <Refused title={words.states.refused} sentences={props.refused} />}
      {open.length === 0 ? <Empty><p>{w.none}</p></Empty> : <ul class="plain">{open.map((a) => <Open key={a.event} alarm={a} zone={a.site.zone || props.zone} settle={props.settle} />)}</ul>}
      <TakeOutbox took={props.took} taken={props.taken} />
      {settled.length > 0 && (
        <section>
          <h2>{w.settledTitle}</h2>
          <ul class="plain">{settled.map((a) => <Settled key={a.event} alarm={a} zone={a.site.zone || props.zone} />)}</ul>
        </section>
      )}
    </>
  );
}

const nameOf = (a: Alarm) => [a.site.name || words.alarms.unfiled, a.what].filter(Boolean).join(": ");
const sentence = (text: string) => text.charAt(0).toUpperCase() + text.slice(1) + (/[.?!]$/.test(text) ? "" : ".");

function Open(props: { alarm: Alarm; zone: string; settle: (alarm: Alarm, said: string) => void }) {
  const { alarm, zone } = props;
  const w = words.alarms;
  const [said, setSaid] = useState("");
  const history = alarm.kind === "assembly" ? address("assembly", alarm.id) : alarm.site.id ? address("site", alarm.site.id) : null;
  return (
    <li>
      <h2 class="tight">{nameOf(alarm)}</h2>
      <p><strong>{sentence(alarm.words)}</strong></p>
      <dl class="pairs">
        <dt>{w.whatToDo}</dt><dd>{alarm.do}</dd>
        <dt>{w.said}</dt><dd>{dayAndClock(alarm.said, zone)}</dd>
        <dt>{w.received}</dt><dd>{dayAndClock(alarm.received, zone)}</dd>
        <dt>{w.who}</dt><dd>{alarm.who}</dd>
      </dl>
      {alarm.request && <details><summary>{w.asSent}</summary><pre class="small" tabIndex={0} style="white-space: pre-wrap; overflow-wrap: anywhere">{pretty(alarm.request)}</pre></details>}
      <form class="actions" onSubmit={(event) => { event.preventDefault(); props.settle(alarm, said); }}>
        <label class="field">{w.words}<input value={said} required onInput={(event) => setSaid(event.currentTarget.value)} /></label>
        <button type="submit" aria-label={w.settleOf(nameOf(alarm))}>{w.settle}</button>
        {history && <a href={history}>{w.open}</a>}
      </form>
    </li>
  );
}

function pretty(json: string): string {
  try {
    return JSON.stringify(JSON.parse(json), null, 2);
  } catch {
    return json;
  }
}

function Settled(props: { alarm: Alarm; zone: string }) {
  const { alarm, zone } = props;
  const settled = alarm.settled!;
  return (
    <li>
      <p>{nameOf(alarm)}: {sentence(alarm.words)}<br />
        <span class="soft">{words.alarms.settled(settled.by, dayAndClock(settled.on, zone))}</span> {sentence(settled.words)}</p>
    </li>
  );
}
