import { useState } from "preact/hooks";
import { stopWords } from "../stopwords";
import { clock } from "../time";
import { instantAt, zoneNote } from "./typed";
import type { Condition, Feed, Stop } from "../types";
import { words } from "../words";
import { useKept } from "./kept";
import { tap } from "./phone";

type Valve = Condition["valves"][number];
const standard = ["No. 1 shut-off", "No. 2 shut-off"];
const valvesOf = (feed: Feed) => (feed.valves && feed.valves.length > 0 ? feed.valves : standard);

/** How each shut-off of a feed was left: a fact of its own, whatever the verdict. */
export function AsLeft(props: { feed: Feed; stop: Stop; zone: string }) {
  const { feed } = props;
  const [open, setOpen] = useState(false);
  const [confirmed, setConfirmed, forget] = useKept<string[]>(`confirmed ${feed.id}`, []);
  const allOpen = () => {
    const condition: Condition = { service: "in-service", valves: valvesOf(feed).map((name) => ({ name, state: "open" })), ...(confirmed.length > 0 ? { confirmed } : {}) };
    forget();
    void tap(words.crew.leftLabel(feed.name, words.crew.services["in-service"]), { kind: "leave-feed", feed: feed.id, site: props.stop.site.id, condition });
  };
  return (
    <fieldset>
      <legend>{words.crew.asLeft(feed.name)}</legend>
      {feed.as_left && <p>{words.crew.leftAs(words.crew.services[feed.as_left as Condition["service"]] ?? feed.as_left)}</p>}
      {!feed.dry_since && (feed.checks ?? []).length > 0 && (
        <fieldset>
          <legend>{stopWords.fire.checks}</legend>
          {feed.checks!.map((check) => (
            <label key={check} class="choice">
              <input type="checkbox" checked={confirmed.includes(check)} onChange={(event) => setConfirmed(event.currentTarget.checked ? [...confirmed, check] : confirmed.filter((c) => c !== check))} />{check}
            </label>
          ))}
        </fieldset>
      )}
      <div class="actions">
        {!feed.dry_since && <button type="button" onClick={allOpen}>{words.crew.allOpen}</button>}
        <button type="button" aria-expanded={open} onClick={() => setOpen(!open)}>{feed.dry_since ? stopWords.leaveShut : words.crew.otherwise}</button>
      </div>
      {open && <AsLeftForm {...props} done={() => setOpen(false)} />}
    </fieldset>
  );
}

interface Typed { valves: Record<string, Valve["state"] | "">; service: Condition["service"] | ""; told: string[]; until: string; decides: string; restores: string }

function AsLeftForm(props: { feed: Feed; stop: Stop; zone: string; done: () => void }) {
  const { feed, stop } = props;
  const [typed, setTyped, forget] = useKept<Typed>(`left ${feed.id}`, { valves: {}, service: "", told: [], until: "", decides: "", restores: "" });
  const { valves, service, told, until, decides, restores } = typed;
  const setValves = (valves: Typed["valves"]) => setTyped({ ...typed, valves });
  const setService = (service: Typed["service"]) => setTyped({ ...typed, service });
  const setTold = (told: string[]) => setTyped({ ...typed, told });
  const setUntil = (until: string) => setTyped({ ...typed, until });
  const setDecides = (decides: string) => setTyped({ ...typed, decides });
  const setRestores = (restores: string) => setTyped({ ...typed, restores });
  const [asked, setAsked] = useState(false);
  const names = valvesOf(feed);
  const complete = service !== "" && names.every((name) => valves[name]);
  const roles = [...new Set([...(feed.calls ?? []).map((c) => c.role), ...(stop.contacts ?? []).map((c) => c.role), ...words.crew.moreRoles])];

  const record = (event: Event) => {
    event.preventDefault();
    setAsked(true);
    if (!complete) return;
    const condition: Condition = {
      service: service as Condition["service"],
      valves: names.map((name) => ({ name, state: valves[name] as Valve["state"] })),
      ...(told.length > 0 ? { told } : {}),
      ...(until ? { on_test_until: instantAt(until, stop.site.zone) } : {}),
      ...(decides ? { decides } : {}),
      ...(restores ? { restores } : {}),
    };
    void tap(words.crew.leftLabel(feed.name, words.crew.services[condition.service]), { kind: "leave-feed", feed: feed.id, site: stop.site.id, condition });
    forget();
    props.done();
  };

  return (
    <form onSubmit={record}>
      {names.map((name) => (
        <div key={name} role="radiogroup" aria-label={name} class="valve">
          <span>{name}</span>
          {(["open", "partly", "shut"] as const).map((state) => (
            <label key={state} class="choice">
              <input type="radio" name={`${feed.id} ${name}`} checked={valves[name] === state} onChange={() => setValves({ ...valves, [name]: state })} />
              {words.crew.valves[state]}
            </label>
          ))}
        </div>
      ))}
      <label class="field">{words.crew.service}
        <select value={service} onChange={(event) => setService(event.currentTarget.value as Condition["service"])}>
          <option value="">{words.crew.choose}</option>
          {(["in-service", "impaired", "shut"] as const).map((s) => <option key={s} value={s}>{words.crew.services[s]}</option>)}
        </select>
      </label>
      {service && service !== "in-service" && (
        <>
          <fieldset>
            <legend>{words.crew.told}</legend>
            {roles.map((role) => (
              <label key={role} class="choice">
                <input type="checkbox" checked={told.includes(role)} onChange={(event) => setTold(event.currentTarget.checked ? [...told, role] : told.filter((r) => r !== role))} />{role}
              </label>
            ))}
          </fieldset>
          {feed.fire && <label class="field">{words.crew.onTestUntil}{zoneNote(stop.site.zone)}<input type="datetime-local" value={until} onInput={(event) => setUntil(event.currentTarget.value)} /></label>}
          {until && <p class="small">{words.crew.onTestLine(clock(instantAt(until, stop.site.zone), props.zone))}</p>}
          <label class="field">{words.crew.decides}<input value={decides} onInput={(event) => setDecides(event.currentTarget.value)} /></label>
          <label class="field">{words.crew.restores}<input value={restores} onInput={(event) => setRestores(event.currentTarget.value)} /></label>
        </>
      )}
      {asked && !complete && <p class="warn" role="alert">{words.crew.sayEach}</p>}
      <div class="actions"><button type="submit" class="main">{words.crew.recordLeft}</button></div>
    </form>
  );
}
