import { stopWords } from "../stopwords";
import type { Component, Work } from "../types";
import { words } from "../words";
import type { Sheet } from "./WorkForm";
import { emptyDone, onlyClosed, placeKey, type Done, type Draft } from "./draft";

const w = stopWords.repair;
type Props = { draft: Draft; set: (part: Partial<Draft>) => void; work: Work; day: Sheet };

/** What was done to it, by component. Without the owner's yes the unit is not opened. */
export function Repair(props: Props) {
  const { draft, set, work } = props;
  return (
    <fieldset>
      <legend>{words.crew.repair}</legend>
      <p class="small">{work.yes_to_repair ? words.crew.repairYes(work.yes_to_repair) : words.crew.repairNo}</p>
      <label class="choice"><input type="checkbox" checked={draft.repaired} onChange={(event) => set({ repaired: event.currentTarget.checked })} />{words.crew.repairedNow}</label>
      {draft.repaired && (
        <>
          <p class="caution small">{w.coverCaution}</p>
          {(work.components ?? []).map((c) => <OneComponent key={placeKey(c)} {...props} component={c} />)}
          {onlyClosed(draft) && <p class="caution">{w.closedCaution}</p>}
          <label class="field">{words.crew.repairWords}<input value={draft.repairWords} onInput={(event) => set({ repairWords: event.currentTarget.value })} /></label>
          <p class="small">{w.retest}</p>
        </>
      )}
      <WrongKits {...props} />
    </fieldset>
  );
}

function OneComponent(props: Props & { component: Component }) {
  const { draft, set, work, day, component: c } = props;
  const key = placeKey(c);
  const done = draft.done[key] ?? emptyDone;
  const change = (part: Partial<Done>) => set({ done: { ...draft.done, [key]: { ...done, ...part } } });
  return (
    <div class="actions">
      <label class="field">{w.by(c.name)}
        <select value={done.did} onChange={(event) => change({ did: event.currentTarget.value as Done["did"] })}>
          <option value="">{w.untouched}</option>
          {(["cleaned", "fitted", "closed"] as const).map((did) => <option key={did} value={did}>{w.did[did]}</option>)}
        </select>
      </label>
      {done.did === "fitted" && (
        <label class="field">{w.kit(c.name)}
          <select value={done.code} onChange={(event) => change({ code: event.currentTarget.value })}>
            <option value="">{w.noKit}</option>
            {kitCodes(work).map((code) => <option key={code}>{code}</option>)}
          </select>
        </label>
      )}
      {done.did && (
        <label class="field">{w.found(c.name)}
          <select value={done.found} onChange={(event) => change({ found: event.currentTarget.value })}>
            <option value="">{w.foundNothing}</option>
            {(day.causes ?? []).map((cause) => <option key={cause}>{cause}</option>)}
          </select>
        </label>
      )}
    </div>
  );
}

/** The kits of this job first, then those on record for such a unit. */
export const kitCodes = (work: Work): string[] => [...new Set([...(work.parts ?? []).map((p) => p.code), ...(work.kit_codes ?? [])])];

/** A kit that came for this job and does not fit: the part is needed again, and the kit goes back. */
function WrongKits(props: Props) {
  const { draft, set, work } = props;
  const kits = (work.parts ?? []).filter((p) => p.item || p.received);
  if (kits.length === 0) return null;
  return (
    <>
      {kits.map((kit, i) => {
        const item = kit.item ?? kit.received ?? "";
        const trouble = draft.wrong.find((t) => t.item === item);
        const others = draft.wrong.filter((t) => t.item !== item);
        const code = kits.filter((k) => k.code === kit.code).length > 1 ? `${kit.code} (${i + 1})` : kit.code;
        return (
          <div key={item}>
            <label class="choice">
              <input type="checkbox" checked={Boolean(trouble)} onChange={(event) => set({ wrong: event.currentTarget.checked ? [...others, { code: kit.code, item, why: w.why[0]! }] : others })} />
              {w.wrongKit(code)}
            </label>
            {trouble && (
              <label class="field">{w.wrongWhy(code)}
                <select value={trouble.why} onChange={(event) => set({ wrong: [...others, { ...trouble, why: event.currentTarget.value }] })}>
                  {w.why.map((why) => <option key={why}>{why}</option>)}
                </select>
              </label>
            )}
          </div>
        );
      })}
    </>
  );
}
