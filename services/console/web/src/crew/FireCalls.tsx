import { useState } from "preact/hooks";
import { stopWords } from "../stopwords";
import { clock, duration, minutesBetween } from "../time";
import type { Feed, Stop } from "../types";
import { useKept } from "./kept";
import { tap } from "./phone";
import { instantAt, zoneNote } from "./typed";

const w = stopWords.fire;

/** The caller's list of a fire line: before it is shut, and again once it is restored. */
export function FireCalls(props: { feed: Feed; stop: Stop; zone: string; now: number; when: "before" | "after" }) {
  const { feed, stop, zone, when } = props;
  const calls = feed.calls ?? [];
  if (calls.length === 0) return null;
  return (
    <fieldset>
      <legend>{when === "before" ? w.before(feed.name) : w.after(feed.name)}</legend>
      {when === "before" && <p class="caution small">{w.caution} {w.patrol}</p>}
      <OnTest feed={feed} zone={zone} now={props.now} />
      <ul class="plain">
        {calls.map((call) => {
          const at = when === "before" ? call.told_at : call.back_at;
          return (
            <li key={call.role} class="call">
              <strong>{call.role}</strong>{" "}
              <span class="small">{at ? (when === "before" ? w.toldAt : w.backAt)(clock(at, zone)) : w.notYet}</span>
              <p class="small">{when === "before" ? call.before : call.after}</p>
              <p>{(call.contacts ?? []).length === 0 ? <span class="soft">{w.noNumber}</span>
                : call.contacts!.map((c) => <span key={c.name + c.role}>{c.name} {c.phone && <a class="choice" href={`tel:${c.phone}`}>{c.phone}</a>}</span>)}</p>
              <Told call={call} feed={feed} stop={stop} when={when} />
            </li>
          );
        })}
      </ul>
    </fieldset>
  );
}

type Call = NonNullable<Feed["calls"]>[number];

/** A call that was made; whoever puts the monitoring on test says until when. */
function Told(props: { call: Call; feed: Feed; stop: Stop; when: "before" | "after" }) {
  const { call, feed, stop, when } = props;
  const asks = when === "before" && call.on_test;
  const [until, setUntil, forget] = useKept(`test ${feed.id} ${call.role}`, "");
  const [lacks, setLacks] = useState(false);
  const record = () => {
    setLacks(Boolean(asks) && !until);
    if (asks && !until) return;
    void tap(w.label(call.role, feed.name), {
      kind: "tell", feed: feed.id, site: stop.site.id,
      told: { when, role: call.role, ...(asks ? { on_test_until: instantAt(until, stop.site.zone) } : {}) },
    });
    forget();
  };
  return (
    <>
      {asks && <label class="field">{w.until}{zoneNote(stop.site.zone)}<input type="datetime-local" aria-invalid={lacks} value={until} onInput={(event) => setUntil(event.currentTarget.value)} /></label>}
      <button type="button" class="wide" onClick={record}>{when === "before" ? w.tellNow(call.role) : w.backNow(call.role)}</button>
    </>
  );
}

/** The countdown of the test, and what to do when it is over. */
export function OnTest(props: { feed: Feed; zone: string; now: number }) {
  const until = props.feed.on_test_until;
  if (!until) return null;
  const left = minutesBetween(props.now, until);
  return <p class={left > 15 ? "" : "warn"} role="status">{left > 0 ? w.onTest(clock(until, props.zone), duration(left)) : w.testOver(clock(until, props.zone))}</p>;
}
