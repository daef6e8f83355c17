import { useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { useLoaded } from "../loaded";
import { useServerNow } from "../serverclock";
import { clock, dateIn, dayAndClock, duration, minutesBetween, sentence } from "../time";
import type { DeskRequest, LeftOff as LeftOffData, LeftOffRow } from "../types";
import { Empty, Refused, Shown } from "../ui/States";
import { words } from "../words";
import { FillFeeds } from "./FillFeeds";
import { WhoToCall } from "./WhoToCall";

/** What is shut, partly open or impaired tonight: a short list that is never hidden. */
export function LeftOff() {
  const loaded = useLoaded("left-off", ["feed", "site"], api.leftOff);
  const [refused, setRefused] = useState<string[] | null>(null);
  const record = (request: DeskRequest) => {
    setRefused(null);
    api.desk(request).then(loaded.again, (error: unknown) => setRefused(error instanceof Refusal ? error.sentences : [String(error)]));
  };
  return (
    <>
      <Shown loaded={loaded}>{(data) => <LeftOffPage data={data} refused={refused} record={record} />}</Shown>
      <FillFeeds lead />
    </>
  );
}

export function LeftOffPage(props: { data: LeftOffData; refused: string[] | null; record: (request: DeskRequest) => void }) {
  const now = useServerNow(props.data.now);
  const rows = props.data.rows ?? [];
  return (
    <>
      <h1>{words.leftOff.head(rows.length)}</h1>
      {props.refused && <Refused title={words.states.refused} sentences={props.refused} />}
      {rows.length === 0
        ? <Empty><p>{words.leftOff.none}</p></Empty>
        : <ul class="plain">{rows.map((row) => <Row key={row.feed} row={row} now={now} record={props.record} />)}</ul>}
    </>
  );
}

function Row(props: { row: LeftOffRow; now: number; record: (request: DeskRequest) => void }) {
  const { row, now } = props;
  const zone = row.site.zone;
  const [open, setOpen] = useState(false);
  const [said, setSaid] = useState("");
  const valves = (row.valves ?? []).filter((v) => v.state !== "open");
  return (
    <li>
      <h2 class="tight">{row.site.name}: {row.name}{row.fire && !/fire/i.test(row.name) && `, ${words.leftOff.fire}`}</h2>
      <p>
        <strong>{row.dry_now ? words.leftOff.dryNow : words.leftOff.services[row.service] ?? row.service}</strong>{" "}
        {words.leftOff.since(dayAndClock(row.since, zone), duration(minutesBetween(row.since, now)), row.by ?? "")}
        {valves.length > 0 && ` ${valves.map((v) => `${v.name} ${words.leftOff.valves[v.state as "open"] ?? v.state}`).join(", ")}.`}
        {row.words && ` ${sentence(row.words)}`}
      </p>
      <dl class="pairs">
        <dt>{words.leftOff.told}</dt><dd>{(row.told ?? []).join(", ") || words.leftOff.nobody}</dd>
        {row.on_test_until ? <OnTest until={row.on_test_until} now={now} zone={zone} /> : row.fire && <><dt>{words.crew.onTestUntil}</dt><dd class="warn">{words.leftOff.noTestTime}</dd></>}
        <dt>{words.leftOff.decides}</dt><dd>{row.decides || words.leftOff.notNoted}</dd>
        <dt>{words.leftOff.restores}</dt><dd>{row.restores || words.leftOff.notNoted}</dd>
        {row.fire && <><dt>{words.leftOff.call}</dt><dd><WhoToCall contacts={row.call ?? []} /></dd></>}
      </dl>
      {row.fire && <p class="small">{words.leftOff.fireCaution}</p>}
      <div class="actions">
        <button type="button" aria-expanded={open} aria-label={words.leftOff.restoredOf(row.name, row.site.name)} onClick={() => setOpen(!open)}>{words.leftOff.restored}</button>
      </div>
      {open && (
        <form class="actions" onSubmit={(event) => { event.preventDefault(); props.record({ kind: "restore-feed", feed: row.feed, words: said }); }}>
          <label class="field">{words.leftOff.whoSays}<input value={said} required onInput={(event) => setSaid(event.currentTarget.value)} /></label>
          <button type="submit" class="main">{words.leftOff.recordRestored}</button>
        </form>
      )}
    </li>
  );
}

/** The alarm company keeps the account on test until a time; after it, an alarm is an alarm. */
function OnTest(props: { until: string; now: number; zone: string }) {
  const { until, now, zone } = props;
  const { text, urgent } = onTest(until, now, zone);
  return <><dt>{words.crew.onTestUntil}</dt><dd class={urgent ? "warn" : undefined}>{text}</dd></>;
}

/** Minutes before the end in which the time left is told as pressing. */
const pressingMinutes = 30;

/** "16:00, 1 h 20 left", the day named when it is not today's; from half an hour before on it is urgent. */
export function onTest(until: string, now: number, zone: string): { text: string; urgent: boolean } {
  const left = minutesBetween(now, until);
  const at = dateIn(until, zone) === dateIn(now, zone) ? clock(until, zone) : dayAndClock(until, zone);
  return { text: left > 0 ? words.leftOff.onTest(at, duration(left)) : words.leftOff.onTestOver(at), urgent: left <= pressingMinutes };
}
