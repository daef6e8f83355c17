import { useState } from "preact/hooks";
import { phoneWords } from "../phonewords";
import { bareClock, dateIn, dayAndClock } from "../time";
import { tally, type Item } from "../outbox";
import { words } from "../words";
import { serverNow, tappedAt } from "./clock";

interface Props {
  items: Item[];
  offline: boolean;
  signedOut?: boolean;
  /** What lies in memory only, because the phone's storage is full. */
  lossy?: { entries: number; photos: number };
  /** Whether this browser stores anything at all. */
  stores?: boolean;
  zone: string;
  again: (item: Item) => void;
  aside: (item: Item) => void;
  sendNow: () => void;
  save: (name: string) => void;
  /** Whether the list is open at first. */
  begin?: boolean;
}

/** Always there: whether everything that was tapped has reached the office. */
export function Foot(props: Props) {
  const [open, setOpen] = useState(props.begin ?? false);
  const counts = tally(props.items);
  return (
    <footer class="foot">
      <Warnings {...props} />
      <div class="foot-bar">
        <strong role="status">{words.outbox.sum(counts.waiting, counts.refused)}</strong>
        {props.offline && <span class="small">{counts.waiting > 0 ? words.outbox.offline : phoneWords.noSignal}</span>}
        <button type="button" aria-expanded={open} onClick={() => setOpen(!open)}>{open ? words.outbox.hide : words.outbox.see}</button>
      </div>
      {open && <List {...props} />}
    </footer>
  );
}

/** What must not be overlooked: the phone cannot send, or cannot keep. */
function Warnings(props: Props) {
  const { lossy = { entries: 0, photos: 0 }, stores = true } = props;
  const lines = [
    ...(!stores ? [phoneWords.noStore] : lossy.entries > 0 ? [phoneWords.full(lossy.entries)] : []),
    ...(stores && lossy.photos > 0 ? [phoneWords.fullPhotos(lossy.photos)] : []),
  ];
  return (
    <>
      {props.signedOut && <p class="foot-note warn" role="alert">{phoneWords.signIn} <a class="choice" href="./sign-in.html#/phone">{phoneWords.signInLink}</a></p>}
      {lines.map((line) => <p key={line} class="foot-note warn" role="alert">{line}</p>)}
      {lines.length > 0 && tally(props.items).waiting > 0 && <p class="foot-note"><SaveButton {...props} /></p>}
    </>
  );
}

function SaveButton(props: Props) {
  const save = () => {
    const now = serverNow();
    props.save(phoneWords.fileName(dateIn(now, props.zone), bareClock(now, props.zone).replace(":", "")));
  };
  return <button type="button" onClick={save}>{phoneWords.save}</button>;
}

function List(props: Props) {
  const counts = tally(props.items);
  const alarms = props.items.filter((item) => item.state === "sent" && (item.answer ?? []).length > 0);
  const today = dateIn(serverNow(), props.zone);
  const when = (item: Item) => {
    const at = tappedAt(item.request);
    return dateIn(at, props.zone) === today ? bareClock(at, props.zone) : dayAndClock(at, props.zone);
  };
  return (
    <div class="foot-list" tabIndex={0} role="region" aria-label={words.outbox.title}>
      {props.items.length === 0 ? <p>{words.outbox.empty}</p> : <p>{phoneWords.total(counts.sent, counts.waiting, counts.refused)}</p>}
      {counts.waiting > 0 && <button type="button" class="wide" onClick={props.sendNow}>{words.outbox.sendNow}</button>}
      {counts.refused > 1 && <button type="button" class="wide" onClick={() => props.items.filter((item) => item.state === "refused").forEach(props.again)}>{phoneWords.allAgain(counts.refused)}</button>}
      {alarms.length > 0 && <p class="warn">{words.outbox.alarms}</p>}
      <ul class="plain">
        {[...props.items].reverse().map((item) => (
          <li key={item.request.command_id}>
            {when(item)} {item.label}: <strong>{words.outbox.states[item.state]}</strong>
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
      {counts.waiting + counts.refused > 0 && <><p class="small">{phoneWords.saveHow}</p><SaveButton {...props} /></>}
    </div>
  );
}
