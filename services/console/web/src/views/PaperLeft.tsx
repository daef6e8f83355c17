import type { Left } from "../paperleft";
import type { Feed } from "../types";
import { words } from "../words";

/** How the paper says each shut-off was left: nothing is filled in beforehand. */
export function PaperLeft(props: { feed: Feed; left: Left; change: (left: Left) => void }) {
  const { feed, left, change } = props;
  const w = words.paper;
  return (
    <>
      <p class="small">{w.leftLead(feed.name)}</p>
      <div class="actions">
        {left.valves.map((valve, i) => (
          <label key={valve.name} class="field">{valve.name}
            <select value={valve.state} onChange={(event) => change({ ...left, valves: left.valves.map((v, k) => (k === i ? { ...v, state: event.currentTarget.value as typeof v.state } : v)) })}>
              <option value="">{words.crew.choose}</option>
              {(["open", "partly", "shut"] as const).map((s) => <option key={s} value={s}>{words.crew.valves[s]}</option>)}
            </select>
          </label>
        ))}
        <label class="field">{words.crew.service}
          <select value={left.service} onChange={(event) => change({ ...left, service: event.currentTarget.value as Left["service"] })}>
            <option value="">{words.crew.choose}</option>
            {(["in-service", "impaired", "shut"] as const).map((s) => <option key={s} value={s}>{words.crew.services[s]}</option>)}
          </select>
        </label>
        <label class="field">{w.leftAt}<input type="time" value={left.at} onInput={(event) => change({ ...left, at: event.currentTarget.value })} /></label>
        <label class="field">{words.crew.remarks}<input value={left.words} onInput={(event) => change({ ...left, words: event.currentTarget.value })} /></label>
      </div>
      {left.service && left.service !== "in-service" && feed.fire && <p class="caution small">{words.leftOff.fireCaution}</p>}
    </>
  );
}
