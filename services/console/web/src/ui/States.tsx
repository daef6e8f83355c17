import type { ComponentChildren } from "preact";
import { connected } from "../live";
import type { Loaded } from "../loaded";
import { bareClock } from "../time";
import { words } from "../words";

/** Draws what `loaded` has, and says in words when it has nothing, is late, or failed. */
export function Shown<T>(props: { loaded: Loaded<T>; children: (data: T) => ComponentChildren }) {
  const { data, failed, loading, readAt, again } = props.loaded;
  if (data === null) {
    return failed
      ? <Refused sentences={failed} title={words.states.failed}><button type="button" onClick={again}>{words.states.tryAgain}</button></Refused>
      : <p class="blank soft" role="status">{loading ? words.states.loading : words.states.nothing}</p>;
  }
  const late = failed !== null || connected.value === false;
  return (
    <>
      {late && <StaleNote readAt={readAt ?? 0} again={again} />}
      {props.children(data)}
    </>
  );
}

export function StaleNote(props: { readAt: number; again: () => void }) {
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
  return (
    <p class="stale" role="status">
      {words.states.stale(bareClock(props.readAt, zone))} <button type="button" class="text" onClick={props.again}>{words.states.readAgain}</button>
    </p>
  );
}

/** What the server refused, in its own sentences, with the next thing to do. */
export function Refused(props: { title: string; sentences: string[]; children?: ComponentChildren }) {
  return (
    <div class="said refused" role="alert">
      <p><strong>{props.title}</strong></p>
      {props.sentences.length === 1 ? <p>{props.sentences[0]}</p> : <ul>{props.sentences.map((s) => <li key={s}>{s}</li>)}</ul>}
      {props.children}
    </div>
  );
}

export function Empty(props: { children: ComponentChildren }) {
  return <div class="blank">{props.children}</div>;
}
