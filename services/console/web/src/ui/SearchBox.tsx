import { useEffect, useId, useRef, useState } from "preact/hooks";
import { api, Refusal } from "../api";
import type { Hit } from "../types";
import { words } from "../words";

const pause = 200;

/** One box for everything: what was found is a list to be walked by keys (the combobox pattern of the ARIA Authoring Practices Guide). */
export function SearchBox() {
  const w = words.search;
  const [text, setText] = useState("");
  const [hits, setHits] = useState<Hit[] | null>(null);
  const [failed, setFailed] = useState("");
  const [chosen, setChosen] = useState(-1);
  const [open, setOpen] = useState(false);
  const turn = useRef(0);
  const id = useId();

  useEffect(() => {
    const mine = ++turn.current;
    if (text.trim().length < 2) { setHits(null); setFailed(""); return; }
    const timer = setTimeout(() => {
      api.search(text.trim()).then(
        (found) => { if (mine === turn.current) { setHits(found.hits ?? []); setFailed(""); setChosen(-1); } },
        (error: unknown) => { if (mine === turn.current) { setHits(null); setFailed(error instanceof Refusal ? error.sentences.join(" ") : String(error)); } },
      );
    }, pause);
    return () => clearTimeout(timer);
  }, [text]);

  const go = (hit: Hit | undefined) => {
    if (!hit) return;
    setOpen(false);
    setText("");
    location.hash = hit.page;
    document.getElementById("page")?.focus();
  };
  const showing = open && hits !== null;
  const move = (by: number) => {
    if (!hits || hits.length === 0) return;
    setOpen(true);
    setChosen((old) => (old < 0 ? (by > 0 ? 0 : hits.length - 1) : (old + by + hits.length) % hits.length));
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.key === "ArrowDown" || event.key === "ArrowUp") { event.preventDefault(); move(event.key === "ArrowDown" ? 1 : -1); }
    else if (event.key === "Enter") { event.preventDefault(); if (showing) go(hits[Math.max(chosen, 0)]); }
    else if (event.key === "Escape") { if (showing) setOpen(false); else setText(""); }
  };
  useEffect(() => { if (chosen >= 0) document.getElementById(`${id}-${chosen}`)?.scrollIntoView({ block: "nearest" }); }, [chosen, id]);

  return (
    <search class="search">
      <label class="field">{w.label}
        <input type="text" role="combobox" autocomplete="off" spellcheck={false} placeholder={w.hint} value={text} aria-expanded={showing} aria-controls={`${id}-list`} aria-autocomplete="list"
          aria-activedescendant={showing && chosen >= 0 ? `${id}-${chosen}` : undefined}
          onInput={(event) => { setText(event.currentTarget.value); setOpen(true); }} onFocus={() => setOpen(true)} onBlur={() => setOpen(false)} onKeyDown={onKeyDown} />
      </label>
      <ul id={`${id}-list`} role="listbox" aria-label={w.results} hidden={!showing || hits.length === 0}>
        {(showing ? hits : []).map((hit, n) => (
          <li key={`${hit.kind} ${hit.id}`} id={`${id}-${n}`} role="option" aria-selected={n === chosen} onMouseDown={(event) => event.preventDefault()} onClick={() => go(hit)}>
            <strong>{hit.title}</strong> <span class="soft">{[w.kinds[hit.kind] ?? hit.kind, hit.over && w.over].filter(Boolean).join(", ")}</span>
            <span class="facts">{[hit.detail, hit.why].filter(Boolean).join(" · ")}</span>
          </li>
        ))}
      </ul>
      <p class={showing && hits.length === 0 ? "nothing small" : "hidden-text"} role="status">{showing ? w.found(hits.length) : failed}</p>
    </search>
  );
}
