import { useState } from "preact/hooks";
import { stopWords } from "../stopwords";
import type { Stop, Work } from "../types";
import { words } from "../words";
import { workKey } from "./draft";
import { useKept } from "./kept";
import { tap } from "./phone";

const w = stopWords.serial;

/** The serial on record beside the one on the plate; the office decides about the record. */
export function SerialSeen(props: { work: Work; stop: Stop }) {
  const { work, stop } = props;
  const [open, setOpen] = useState(false);
  const [typed, setTyped, forget] = useKept(`serial ${workKey(work)}`, { serial: "", part: "main" });
  const detector = (work.components ?? []).some((c) => c.part === "bypass");
  const record = (event: Event) => {
    event.preventDefault();
    const seen = typed.serial.trim();
    if (!seen) return;
    void tap(w.label(seen), { kind: "serial-seen", site: stop.site.id, assembly: work.assembly, job: work.job, serial: { part: typed.part, seen } });
    forget();
    setOpen(false);
  };
  return (
    <div>
      <p>{work.serial ? w.plate(work.serial) : w.none}{detector && work.bypass_serial ? ` ${w.bypass(work.bypass_serial)}` : ""}</p>
      {(work.serials_seen ?? []).map((s) => <p key={s.part} class="warn">{w.seen(s.seen)}</p>)}
      <button type="button" class="wide" aria-expanded={open} onClick={() => setOpen(!open)}>{w.differs}</button>
      {open && (
        <div>
          {detector && (
            <label class="field">{w.of}
              <select value={typed.part} onChange={(event) => setTyped({ ...typed, part: event.currentTarget.value })}>
                <option value="main">{w.main}</option>
                <option value="bypass">{w.bypassPart}</option>
              </select>
            </label>
          )}
          <label class="field">{w.asRead}<input value={typed.serial} autocapitalize="characters" autocomplete="off" onInput={(event) => setTyped({ ...typed, serial: event.currentTarget.value })} /></label>
          <div class="actions">
            <button type="button" class="main" onClick={record}>{w.record}</button>
            <button type="button" onClick={() => setOpen(false)}>{words.crew.keepForLater}</button>
          </div>
        </div>
      )}
    </div>
  );
}
