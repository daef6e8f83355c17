import { useEffect, useRef, useState } from "preact/hooks";
import { instantIn } from "../records/zoned";
import { dayName } from "../time";
import type { Call, CallOutcome, CallRequest } from "../types";
import { words } from "../words";

const outcomes = Object.keys(words.calls.outcomes) as CallOutcome[];
/** One tap and it is recorded; the others need a day, or stop work and so are said twice. */
const atOnce: CallOutcome[] = ["left-word", "wrong-number"];

/** Open days after today that could be agreed, with the first window of each, the nearest first. */
export function openTimes(call: Call, today: string, most = 6): { date: string; from: string; to: string }[] {
  const found = new Map<string, { date: string; from: string; to: string }>();
  for (const day of (call.sites ?? []).flatMap((s) => (s.feeds ?? []).flatMap((f) => f.open ?? []))) {
    const hours = /(\d\d:\d\d)–(\d\d:\d\d)/.exec(day.hours);
    if (hours && day.date > today && !found.has(`${day.date} ${hours[0]}`)) found.set(`${day.date} ${hours[0]}`, { date: day.date, from: hours[1]!, to: hours[2]! });
  }
  return [...found.values()].sort((a, b) => (a.date + a.from).localeCompare(b.date + b.from)).slice(0, most);
}

/** The buttons that say how a call ended, and what an outcome still needs to be said. */
export function CallOutcomes(props: { call: Call; today: string; zone: string; record: (request: CallRequest) => Promise<boolean> }) {
  const { call, today } = props;
  const w = words.calls;
  const sites = call.sites ?? [];
  const zone = sites[0]?.site.zone ?? props.zone;
  const [open, setOpen] = useState<CallOutcome | null>(null);
  const [busy, setBusy] = useState(false);
  const [who, setWho] = useState((call.whom ?? []).find((p) => !p.wrong_number)?.person ?? "");
  const [about, setAbout] = useState<string[]>(sites.map((s) => s.site.id));
  const times = openTimes(call, today);
  const [day, setDay] = useState(times[0]?.date ?? "");
  const [from, setFrom] = useState(times[0]?.from ?? "");
  const [to, setTo] = useState(times[0]?.to ?? "");
  const [note, setNote] = useState("");
  const [fault, setFault] = useState("");
  const form = useRef<HTMLFormElement>(null);
  useEffect(() => { if (open) form.current?.querySelector<HTMLElement>("select, input")?.focus(); }, [open]);

  const send = (outcome: CallOutcome) => {
    if (busy) return;
    if (about.length === 0) return setFault(w.chooseSite);
    if (outcome === "agreed" && from >= to) return setFault(words.records.toBefore);
    setFault("");
    setBusy(true);
    const request: CallRequest = {
      customer: call.id, outcome, ...(about.length < sites.length && { sites: about }), ...(who && { who }), ...(note.trim() && { words: note.trim() }),
      ...(outcome === "agreed" && { from: instantIn(day, from, zone), to: instantIn(day, to, zone) }),
      ...(outcome === "posted" && posted && { from: instantIn(posted, "12:00", zone) }),
    };
    void props.record(request).then((done) => { if (done) { setOpen(null); setNote(""); } }).finally(() => setBusy(false));
  };
  const [posted, setPosted] = useState("");
  const name = `call-${call.id}`;
  return (
    <div class="outcomes">
      <div class="actions" role="group" aria-label={w.for(w.outcome + ":", call.name)}>
        {outcomes.map((o) => (
          <button key={o} type="button" aria-expanded={atOnce.includes(o) ? undefined : open === o} aria-label={`${w.outcomes[o]} ${call.name}`} onClick={() => (atOnce.includes(o) ? send(o) : setOpen(open === o ? null : o))}>{w.outcomes[o]}</button>
        ))}
      </div>
      {fault && !open && <p class="fault" role="alert">{fault}</p>}
      {open && (
        <form ref={form} class="desk" onSubmit={(event) => { event.preventDefault(); send(open); }}>
          {open === "refused" && <p>{w.refusedNote}</p>}
          {open === "uses-another-firm" && <p>{w.otherNote}</p>}
          {open === "agreed" && times.length > 0 && (
            <label class="field">{w.quick}
              <select value={times.some((t) => t.date === day && t.from === from && t.to === to) ? `${day} ${from} ${to}` : ""} onChange={(event) => {
                const [d = "", f = "", t = ""] = event.currentTarget.value.split(" ");
                if (d) { setDay(d); setFrom(f); setTo(t); }
              }}>
                {times.map((t) => <option key={`${t.date} ${t.from}`} value={`${t.date} ${t.from} ${t.to}`}>{dayName(t.date, today)} {t.from}–{t.to}</option>)}
                <option value="">{w.quickOther}</option>
              </select>
            </label>
          )}
          {open === "agreed" && (
            <div class="actions">
              <label class="field">{w.day}<input type="date" value={day} min={today} required onInput={(event) => setDay(event.currentTarget.value)} /></label>
              <label class="field">{w.from}<input type="time" value={from} required onInput={(event) => setFrom(event.currentTarget.value)} /></label>
              <label class="field">{w.to}<input type="time" value={to} required aria-invalid={fault ? true : undefined} aria-describedby={fault ? `${name}-fault` : undefined} onInput={(event) => setTo(event.currentTarget.value)} /></label>
            </div>
          )}
          {open === "posted" && <div class="actions"><label class="field">{w.postedFor}<input type="date" value={posted} min={today} onInput={(event) => setPosted(event.currentTarget.value)} /></label></div>}
          <div class="actions">
            {(call.whom ?? []).length > 0 && (
              <label class="field">{w.who}
                <select value={who} onChange={(event) => setWho(event.currentTarget.value)}>
                  <option value="">{w.notNoted}</option>
                  {call.whom!.map((p) => <option key={p.person} value={p.person}>{p.name}</option>)}
                </select>
              </label>
            )}
            <label class="field">{w.note}<input value={note} onInput={(event) => setNote(event.currentTarget.value)} /></label>
          </div>
          {sites.length > 1 && (
            <fieldset class="several">
              <legend>{w.about}</legend>
              {sites.map(({ site }) => (
                <label key={site.id} class="check"><input type="checkbox" checked={about.includes(site.id)} onChange={(event) => setAbout(event.currentTarget.checked ? [...about, site.id] : about.filter((id) => id !== site.id))} />{site.name}</label>
              ))}
            </fieldset>
          )}
          {fault && <p class="fault" role="alert" id={`${name}-fault`}>{fault}</p>}
          <div class="actions"><button type="submit" class="main" aria-disabled={busy}>{w.record[open]}</button></div>
        </form>
      )}
    </div>
  );
}
