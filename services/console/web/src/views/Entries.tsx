import { useState } from "preact/hooks";
import { api } from "../api";
import { stopWords } from "../stopwords";
import { dateIn, dayAndClock, dayName } from "../time";
import type { HistoryEntry } from "../types";
import { words } from "../words";
import { EntryMends } from "./EntryMends";

const atOnce = 50;

/** What happened, as a plain dated list. An entry that is wrong, or holds no more, is mended from its own line. */
export function Entries(props: { entries: HistoryEntry[]; zone: string; today: string; mended?: () => void; begin?: string }) {
  const { entries, zone, today } = props;
  const [open, setOpen] = useState<string | null>(props.begin ?? null);
  const [done, setDone] = useState<string | null>(null);
  return (
    <>
      <p role="status" class={done ? "said" : "hidden-text"}>{done}</p>
      <ol class="plain history">
        {entries.map((entry) => {
          const mends = entry.mends ?? [];
          const isOpen = open === entry.event;
          const day = dayName(dateIn(entry.happened, zone), today);
          return (
            <li key={entry.position}>
              <span class="soft">{dayAndClock(entry.happened, zone)}</span> {entry.thing && <><strong>{entry.thing}</strong>: </>}{entry.words}
              {entry.photo && <>{" "}<a href={api.attachmentAddress(entry.photo)} target="_blank" rel="noreferrer">{stopWords.picture}</a></>}
              {props.mended && mends.length > 0 && <>{" "}<button type="button" class="text small" id={`mend ${entry.event}`} aria-expanded={isOpen} aria-label={words.mends.openOf(day, entry.words)} onClick={() => setOpen(isOpen ? null : entry.event)}>{words.mends.open}</button></>}
              {factsOf(entry) && <span class="facts">{factsOf(entry)}</span>}
              {entry.mistake && <span class="facts warn">{words.backlog.mistake(entry.mistake)}</span>}
              {isOpen && (
                <EntryMends entry={entry} today={today} close={() => { setOpen(null); document.getElementById(`mend ${entry.event}`)?.focus(); }}
                  done={(said) => { setOpen(null); setDone(said); document.getElementById("page")?.focus(); props.mended?.(); }} />
              )}
            </li>
          );
        })}
      </ol>
    </>
  );
}

const factsOf = (entry: HistoryEntry) => [entry.who, entry.alarm && words.backlog.alarm, entry.void && words.backlog.void].filter(Boolean).join(" · ");

/** A long history in pieces, newest first, with a filter. */
export function LongStory(props: { entries: HistoryEntry[]; earlier: number; zone: string; today: string; lead: string; mended: () => void; more: () => void }) {
  const { entries } = props;
  const w = words.story;
  const [filter, setFilter] = useState("");
  const [most, setMost] = useState(atOnce);
  const wanted = filter.trim().toLowerCase().split(/\s+/).filter(Boolean);
  const found = entries.filter((e) => { const text = `${e.thing ?? ""} ${e.words} ${e.who}`.toLowerCase(); return wanted.every((word) => text.includes(word)); });
  const rest = found.length - most + (filter ? 0 : props.earlier);
  if (entries.length === 0) return <p>{w.none}</p>;
  return (
    <>
      <p class="small soft">{props.lead}</p>
      {entries.length > 8 && (
        <div class="actions">
          <label class="field">{w.find}<input type="search" value={filter} onInput={(event) => { setFilter(event.currentTarget.value); setMost(atOnce); }} /></label>
          <span class="small soft" role="status">{w.shown(found.length, entries.length + props.earlier)}</span>
        </div>
      )}
      <Entries entries={found.slice(0, most)} zone={props.zone} today={props.today} mended={props.mended} />
      {rest > 0 && <div class="actions"><button type="button" onClick={() => { if (most >= found.length) props.more(); setMost(most + atOnce); }}>{w.earlier(Math.min(atOnce, rest))}</button></div>}
    </>
  );
}
