import { useState } from "preact/hooks";
import { clock } from "../time";
import type { Condition, Feed, Stop } from "../types";
import { words } from "../words";
import { tap } from "./phone";

type Valve = Condition["valves"][number];
const standard = ["No. 1 shut-off", "No. 2 shut-off"];
const valvesOf = (feed: Feed) => (feed.valves && feed.valves.length > 0 ? feed.valves : standard);

/** How each shut-off of a feed was left: a fact of its own, whatever the verdict. */
export function AsLeft(props: { feed: Feed; stop: Stop; zone: string }) {
  const { feed } = props;
  const [open, setOpen] = useState(false);
  const allOpen = () => {
    const condition: Condition = { service: "in-service", valves: valvesOf(feed).map((name) => ({ name, state: "open" })) };
    void tap(words.crew.leftLabel(feed.name, words.crew.services["in-service"]), { kind: "leave-feed", feed: feed.id, site: props.stop.site.id, condition });
  };
  return (
    <fieldset>
      <legend>{words.crew.asLeft(feed.name)}</legend>
      {feed.as_left && <p>{words.crew.leftAs(words.crew.services[feed.as_left as Condition["service"]] ?? feed.as_left)}</p>}
      <div class="actions">
        <button type="button" onClick={allOpen}>{words.crew.allOpen}</button>
        <button type="button" aria-expanded={open} onClick={() => setOpen(!open)}>{words.crew.otherwise}</button>
      </div>
      {open && <AsLeftForm {...props} done={() => setOpen(false)} />}
    </fieldset>
  );
}

function AsLeftForm(props: { feed: Feed; stop: Stop; zone: string; done: () => void }) {
  const { feed, stop } = props;
  const [valves, setValves] = useState<Record<string, Valve["state"] | "">>({});
  const [service, setService] = useState<Condition["service"] | "">("");
  const [told, setTold] = useState<string[]>([]);
  const [until, setUntil] = useState("");
  const [decides, setDecides] = useState("");
  const [restores, setRestores] = useState("");
  const [asked, setAsked] = useState(false);
  const names = valvesOf(feed);
  const complete = service !== "" && names.every((name) => valves[name]);
  const roles = [...new Set((stop.contacts ?? []).map((c) => c.role))];

  const record = (event: Event) => {
    event.preventDefault();
    setAsked(true);
    if (!complete) return;
    const condition: Condition = {
      service: service as Condition["service"],
      valves: names.map((name) => ({ name, state: valves[name] as Valve["state"] })),
      ...(told.length > 0 ? { told } : {}),
      ...(until ? { on_test_until: new Date(until).toISOString() } : {}),
      ...(decides ? { decides } : {}),
      ...(restores ? { restores } : {}),
    };
    void tap(words.crew.leftLabel(feed.name, words.crew.services[condition.service]), { kind: "leave-feed", feed: feed.id, site: stop.site.id, condition });
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
            {[...roles, ...words.crew.moreRoles].map((role) => (
              <label key={role} class="choice">
                <input type="checkbox" checked={told.includes(role)} onChange={(event) => setTold(event.currentTarget.checked ? [...told, role] : told.filter((r) => r !== role))} />{role}
              </label>
            ))}
          </fieldset>
          {feed.fire && <label class="field">{words.crew.onTestUntil}<input type="datetime-local" value={until} onInput={(event) => setUntil(event.currentTarget.value)} /></label>}
          {until && <p class="small">{words.crew.onTestLine(clock(new Date(until), props.zone))}</p>}
          <label class="field">{words.crew.decides}<input value={decides} onInput={(event) => setDecides(event.currentTarget.value)} /></label>
          <label class="field">{words.crew.restores}<input value={restores} onInput={(event) => setRestores(event.currentTarget.value)} /></label>
        </>
      )}
      {asked && !complete && <p class="warn" role="alert">{words.crew.sayEach}</p>}
      <div class="actions"><button type="submit" class="main">{words.crew.recordLeft}</button></div>
    </form>
  );
}
