import type { Component } from "../types";
import { judge, opinion, wordsFor, type Place, type Profile, type Unit, type Verdict } from "../verdict";
import { stopWords } from "../stopwords";
import { words } from "../words";
import { emptyReading, placeKey, readingsOf, type TypedReading } from "./draft";

/**
 * One row a component: a large number with its unit, or a word, and beside it
 * the verdict, the criterion and its source as it is typed.
 */
export function Readings(props: {
  legend: string;
  phase: "initial" | "final";
  components: Component[];
  places: Place[];
  profile: Profile | null;
  typed: Record<string, TypedReading>;
  change: (typed: Record<string, TypedReading>) => void;
}) {
  const { components, typed, profile } = props;
  const readings = readingsOf(components, typed, props.phase);
  const verdict = profile ? judge(profile, props.places, readings) : null;
  const set = (c: Component, part: Partial<TypedReading>) =>
    props.change({ ...typed, [placeKey(c)]: { ...(typed[placeKey(c)] ?? emptyReading(c.component)), ...part } });
  const parts = [...new Set(components.map((c) => c.part))];
  return (
    <>
      {parts.map((part) => (
        <fieldset key={part}>
          <legend>{props.legend}{parts.length > 1 ? `, ${words.crew.parts[part]}` : ""}</legend>
          {components.filter((c) => c.part === part).map((c) => (
            <ReadingRow key={placeKey(c)} component={c} phase={props.phase} typed={typed[placeKey(c)] ?? emptyReading(c.component)} set={(p) => set(c, p)}
              asksOpen={profile?.criteria.some((k) => k.relation === "fully-open" && k.component === c.component && props.places.some((p) => p.part === c.part && p.component === c.component && p.family === k.family)) ?? false}
              verdict={readings.some((r) => placeKey(r) === placeKey(c)) ? verdict : null} />
          ))}
        </fieldset>
      ))}
      {verdict && readings.length > 0 && (
        <p role="status"><strong>{words.crew.bySum(opinion(verdict))}</strong>{verdict.buffer && <span class="soft"> {words.crew.buffer(verdict.buffer)}</span>} <span class="soft small">{profile!.name}</span></p>
      )}
    </>
  );
}

function ReadingRow(props: { component: Component; phase: string; typed: TypedReading; set: (part: Partial<TypedReading>) => void; asksOpen: boolean; verdict: Verdict | null }) {
  const { component: c, typed, set } = props;
  const id = `${props.phase}-${c.part}-${c.component}`;
  const units: Unit[] = c.component === "air-gap" ? ["in", "mm"] : ["psid", "kPa"];
  const findings = props.verdict?.findings.filter((f) => f.part === c.part && f.component === c.component) ?? [];
  return (
    <div class="reading">
      <label for={id}>{c.name}</label>
      <span class="number">
        <input id={id} inputMode="decimal" autocomplete="off" value={typed.number} onInput={(event) => set({ number: event.currentTarget.value })} />
        <select aria-label={words.crew.unitOf(c.name)} value={typed.unit} onChange={(event) => set({ unit: event.currentTarget.value as Unit })}>
          {units.map((u) => <option key={u}>{u}</option>)}
        </select>
      </span>
      {wordsFor(c.component).length > 0 && (
        <select class="word" aria-label={words.crew.wordOf(c.name)} value={typed.result} onChange={(event) => set({ result: event.currentTarget.value as TypedReading["result"] })}>
          <option value="">{words.crew.noWord}</option>
          {wordsFor(c.component).map((w) => <option key={w} value={w}>{words.crew.results[w]}</option>)}
        </select>
      )}
      {props.asksOpen && (
        <select class="word" aria-label={words.crew.fullyOpen} value={typed.fullyOpen} onChange={(event) => set({ fullyOpen: event.currentTarget.value as TypedReading["fullyOpen"] })}>
          <option value="">{words.crew.fullyOpen}</option>
          <option value="yes">{words.crew.openedFully}</option>
          <option value="no">{words.crew.notFully}</option>
        </select>
      )}
      {c.component === "air-gap" && (
        <span class="number">
          <label class="field">{words.crew.supply}<input inputMode="decimal" value={typed.supply} onInput={(event) => set({ supply: event.currentTarget.value })} /></label>
          <label class="choice"><input type="checkbox" checked={typed.wall} onChange={(event) => set({ wall: event.currentTarget.checked })} />{words.crew.wall}</label>
        </span>
      )}
      {c.component !== "air-gap" && /^0*([.,]0*)?$/.test(typed.number) && /0/.test(typed.number) && <p class="verdict warn" role="status">{stopWords.readings.zero}</p>}
      {findings.map((f) => (
        <p key={f.criterion} class={`verdict ${f.status === "fail" ? "warn" : ""}`}>
          {words.crew.verdict(f.status, f.message, f.criterion)}{f.source && <span class="soft small"> · {f.source}</span>}
        </p>
      ))}
    </div>
  );
}
