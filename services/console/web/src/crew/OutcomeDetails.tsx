import { stopWords } from "../stopwords";
import type { Component, PartWanted, Work } from "../types";
import { dayName } from "../time";
import { words } from "../words";
import { zoneNote } from "./typed";
import type { Sheet } from "./WorkForm";
import { placeKey, type Draft } from "./draft";
import { kitCodes } from "./Repair";

const w = stopWords.outcome;
type Props = { draft: Draft; set: (part: Partial<Draft>) => void; work: Work; day: Sheet; components: Component[]; zone: string };

/** What an outcome needs besides its name, and what follows it. */
export function OutcomeDetails(props: Props) {
  const { draft, day } = props;
  const next = draft.outcome && (day.next_steps[`${draft.outcome}/${draft.why}`] ?? day.next_steps[draft.outcome]);
  return (
    <>
      <Details {...props} />
      {next && <p role="status"><strong>{w.next}</strong> {next}</p>}
    </>
  );
}

function Details(props: Props) {
  const { draft, set, day, work } = props;
  switch (draft.outcome) {
    case "failed": return (
      <>
        {work.retest_by?.known && work.retest_by.on && <p>{w.clock(dayName(work.retest_by.on))}</p>}
        <PartsNeeded {...props} />
      </>
    );
    case "could-not-test": return (
      <>
        <label class="field">{words.crew.whyNot}
          <select value={draft.why} onChange={(event) => set({ why: event.currentTarget.value, which: "" })}>
            <option value="">{words.crew.choose}</option>
            {(day.could_not_reasons ?? []).map((r) => <option key={r} value={r}>{words.crew.reasons[r] ?? r}</option>)}
          </select>
        </label>
        <ClearedBy {...props} />
      </>
    );
    case "owner-refused": case "no-access": case "ran-out-of-window": case "not-found": return <ClearedBy {...props} />;
    case "replaced": return <NewUnit {...props} />;
    case "wrong-type": return (
      <label class="field">{words.crew.seenType}
        <select value={draft.seen} onChange={(event) => set({ seen: event.currentTarget.value })}>
          <option value="">{words.crew.choose}</option>
          {(day.types ?? []).map((t) => <option key={t.type} value={t.type}>{`${t.type} ${t.name}`}</option>)}
        </select>
      </label>
    );
    default: return null;
  }
}

/** Who can take away what stood in the way, and from when it can be tried again. */
function ClearedBy(props: Props) {
  const { draft, set } = props;
  const which = draft.outcome === "could-not-test" ? w.whichChoices[draft.why] ?? [] : [];
  return (
    <div class="actions">
      {which.length > 0 && (
        <label class="field">{w.which}
          <select value={draft.which} onChange={(event) => set({ which: event.currentTarget.value })}>
            <option value="">{words.crew.notNoted}</option>
            {which.map((x) => <option key={x}>{x}</option>)}
          </select>
        </label>
      )}
      <label class="field">{w.who}
        <select value={draft.who} onChange={(event) => set({ who: event.currentTarget.value })}>
          <option value="">{words.crew.notNoted}</option>
          {w.whoChoices.map((x) => <option key={x}>{x}</option>)}
        </select>
      </label>
      <label class="field">{w.from}{zoneNote(props.zone)}<input type="datetime-local" value={draft.from} onInput={(event) => set({ from: event.currentTarget.value })} /></label>
    </div>
  );
}

function NewUnit(props: Props) {
  const { draft, set, day, work } = props;
  return (
    <fieldset>
      <legend>{words.crew.newUnit}</legend>
      {work.serial && <p class="small">{w.oldRetired(work.serial)}</p>}
      <div class="actions">
        <label class="field">{words.crew.newSerial}<input value={draft.newSerial} onInput={(event) => set({ newSerial: event.currentTarget.value })} /></label>
        <label class="field">{words.crew.newMaker}<input value={draft.newMaker} onInput={(event) => set({ newMaker: event.currentTarget.value })} /></label>
        <label class="field">{words.crew.newModel}<input value={draft.newModel} onInput={(event) => set({ newModel: event.currentTarget.value })} /></label>
        <label class="field">{w.newType}
          <select value={draft.newType || work.type} onChange={(event) => set({ newType: event.currentTarget.value })}>
            {(day.types ?? []).map((t) => <option key={t.type} value={t.type}>{`${t.type} ${t.name}`}</option>)}
          </select>
        </label>
      </div>
    </fieldset>
  );
}

/** Which repair kits a failed unit needs, by component. */
function PartsNeeded(props: Props) {
  const { draft, set, work, components } = props;
  const codes = kitCodes(work);
  const code = (c: Component) => draft.parts.find((p) => p.part === c.part && p.component === c.component)?.code ?? "";
  const want = (c: Component, value: string) => {
    const others = draft.parts.filter((p) => placeKey({ part: p.part!, component: p.component! }) !== placeKey(c));
    set({ parts: value ? [...others, { code: value, part: c.part, component: c.component } satisfies PartWanted] : others });
  };
  return (
    <fieldset>
      <legend>{words.crew.partsNeeded}</legend>
      {components.map((c) => (
        <label key={placeKey(c)} class="field">{c.name}
          {codes.length > 0
            ? <select value={code(c)} onChange={(event) => want(c, event.currentTarget.value)}>
                <option value="">{words.crew.noParts}</option>
                {codes.map((k) => <option key={k}>{k}</option>)}
              </select>
            : <input value={code(c)} placeholder={words.crew.kitCode} onInput={(event) => want(c, event.currentTarget.value.trim())} />}
        </label>
      ))}
    </fieldset>
  );
}
