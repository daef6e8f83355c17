import { useState } from "preact/hooks";
import { bareClock } from "../time";
import { tally, type Item } from "../outbox";
import { words } from "../words";

/** Always there: whether everything that was tapped has reached the office. */
export function Foot(props: { items: Item[]; offline: boolean; zone: string; again: (item: Item) => void; aside: (item: Item) => void; sendNow: () => void }) {
  const [open, setOpen] = useState(false);
  const counts = tally(props.items);
  const alarms = props.items.filter((item) => item.state === "sent" && (item.answer ?? []).length > 0);
  return (
    <footer class="foot">
      <div class="foot-bar">
        <strong role="status">{words.outbox.sum(counts.waiting, counts.refused)}</strong>
        {props.offline && <span class="small">{words.outbox.offline}</span>}
        <button type="button" aria-expanded={open} onClick={() => setOpen(!open)}>{open ? words.outbox.hide : words.outbox.see}</button>
      </div>
      {open && (
        <div class="foot-list" tabIndex={0} role="region" aria-label={words.outbox.title}>
          {counts.waiting > 0 && <button type="button" onClick={props.sendNow}>{words.outbox.sendNow}</button>}
          {alarms.length > 0 && <p class="warn">{words.outbox.alarms}</p>}
          {props.items.length === 0 && <p>{words.outbox.empty}</p>}
          <ul class="plain">
            {[...props.items].reverse().map((item) => (
              <li key={item.seq}>
                {bareClock(item.request.happened, props.zone)} {item.label}: <strong>{words.outbox.states[item.state]}</strong>
                {(item.answer ?? []).map((sentence) => <span key={sentence} class="facts warn">{sentence}</span>)}
                {item.state === "refused" && (
                  <span class="actions">
                    <button type="button" onClick={() => props.again(item)}>{words.outbox.again}</button>
                    <button type="button" onClick={() => props.aside(item)}>{words.outbox.aside}</button>
                  </span>
                )}
              </li>
            ))}
          </ul>
        </div>
      )}
    </footer>
  );
}
