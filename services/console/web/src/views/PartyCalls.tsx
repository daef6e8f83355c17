import { useEffect, useRef, useState } from "preact/hooks";
import { instantIn } from "../records/zoned";
import { address } from "../route";
import { dayName, daysLeft, duration } from "../time";
import type { BookingAnswer, BookingRequest, Office, Party, PartyPlace } from "../types";
import { Refused } from "../ui/States";
import { words } from "../words";

const answers = Object.keys(words.calls.parties.answers) as BookingAnswer[];
/** One tap and it is recorded; the others are said twice. */
const atOnce: BookingAnswer[] = ["left-word", "wrong-number"];

const keyOf = (place: PartyPlace) => `${place.site.id} ${place.feed ?? ""}`;
const placeName = (place: PartyPlace) => [place.site.name, place.feed_name].filter(Boolean).join(", ");

interface Props {
  office: Office;
  tomorrow: string;
  refused: { id: string; sentences: string[] } | null;
  book: (party: Party, request: BookingRequest) => Promise<boolean>;
}

/** Desks and firms that bring what work waits for: whom to ask, what to say, and what they said. */
export function PartyCalls(props: Props & { parties: Party[] }) {
  const w = words.calls.parties;
  if (props.parties.length === 0) return null;
  return (
    <section aria-labelledby="parties">
      <h2 id="parties">{w.title}</h2>
      <p class="facts">{w.lead}</p>
      <ul class="plain calls parties">{props.parties.map((party) => <PartyItem key={party.id} {...props} party={party} />)}</ul>
    </section>
  );
}

function PartyItem(props: Props & { party: Party }) {
  const { party, office, tomorrow, refused } = props;
  const w = words.calls;
  const head = useRef<HTMLHeadingElement>(null);
  const places = party.places ?? [];
  // A call that was recorded may leave the list; who works by keyboard goes on where it stood.
  const book = async (request: BookingRequest) => {
    const item = head.current?.closest("li");
    const next = (item?.nextElementSibling ?? item?.previousElementSibling)?.querySelector<HTMLElement>("h3");
    const done = await props.book(party, request);
    if (done) (next ?? document.getElementById("page"))?.focus({ preventScroll: false });
    return done;
  };
  return (
    <li class="call">
      <h3 ref={head} tabIndex={-1}>
        {w.parties.head(w.parties.what[party.what]!, party.name)}
        {party.jobs_let_in_tomorrow ? <strong class="mark">{w.letsIn(party.jobs_let_in_tomorrow, tomorrow)}</strong> : null}
      </h3>
      <p class="facts">{[party.ask_by && w.deadline(dayName(party.ask_by, office.today), daysLeft(party.days_left ?? null)), w.parties.wanted(party.jobs, places.length)].filter(Boolean).join("; ")}</p>
      {(party.lets_in_tomorrow ?? []).length > 0 && <ul class="lets-in">{party.lets_in_tomorrow!.map((s) => <li key={s}>{s}</li>)}</ul>}
      <div class="call-body">
        <div>
          <h4>{w.say}</h4>
          <p class="say">{party.say}</p>
        </div>
        <div>
          <h4>{w.whom}</h4>
          <ul class="whom">
            {(party.phone || (party.whom ?? []).length === 0) && <li><strong>{party.name}</strong> {party.phone ? <a href={`tel:${party.phone.replace(/[^\d+]/g, "")}`}>{party.phone}</a> : <span class="soft">{w.noPhone}</span>}</li>}
            {(party.whom ?? []).map((person) => (
              <li key={person.person}>
                <strong>{person.name}</strong>{" "}
                {person.phone ? <a href={`tel:${person.phone.replace(/[^\d+]/g, "")}`}>{person.phone}</a> : <span class="soft">{w.noPhone}</span>}
                <span class="facts">{(person.roles ?? []).join(", ")}</span>
              </li>
            ))}
          </ul>
        </div>
      </div>
      {refused?.id === party.id && <Refused title={words.states.refused} sentences={refused.sentences} />}
      <Answers party={party} today={office.today} zone={office.zone} record={book} />
      <details><summary>{w.parties.details(places.length)}</summary>{places.map((place) => <PlaceOfParty key={keyOf(place)} place={place} today={office.today} />)}</details>
    </li>
  );
}

const shownDays = 6;

function PlaceOfParty(props: { place: PartyPlace; today: string }) {
  const { place, today } = props;
  const w = words.calls;
  return (
    <section class="call-site">
      <h4><a href={address("records", "sites", place.site.id)}>{placeName(place)}</a></h4>
      <p class="facts">{[place.site.address, place.deadline && w.deadline(dayName(place.deadline, today), daysLeft(place.days_left)), w.parties.minutes(duration(place.minutes))].filter(Boolean).join(" · ")}</p>
      <p>{(place.jobs ?? []).map((j) => [j.work ?? j.kind, j.type, j.size, j.place].filter(Boolean).join(", ")).join("; ")}</p>
      {place.late && <p class="warn">{w.parties.late}</p>}
      {place.together && <p>{place.together.map((s) => `${s}.`).join(" ")}</p>}
      {place.last && <p>{w.last}: {place.last.join(" ")}</p>}
      <p class="facts">{w.open}: {(place.open ?? []).length === 0 ? w.noOpen : place.open!.slice(0, shownDays).map((d) => `${d.name} ${d.hours}`).join("; ")}</p>
    </section>
  );
}

/** The first open day and window of a place; a day on which others come already goes first where it is open. */
function firstTime(place: PartyPlace | undefined): { day: string; from: string; to: string } {
  const day = (place?.open ?? [])[0];
  const hours = /(\d\d:\d\d)–(\d\d:\d\d)/.exec(day?.hours ?? "");
  return { day: day?.date ?? "", from: hours?.[1] ?? "", to: hours?.[2] ?? "" };
}

/** The buttons that say what they answered, and what an answer still needs to be said. */
function Answers(props: { party: Party; today: string; zone: string; record: (request: BookingRequest) => Promise<boolean> }) {
  const { party, today } = props;
  const w = words.calls;
  const places = party.places ?? [];
  const first = firstTime(places[0]);
  const [open, setOpen] = useState<BookingAnswer | null>(null);
  const [busy, setBusy] = useState(false);
  const [about, setAbout] = useState<string[]>(places.map(keyOf));
  const [day, setDay] = useState(first.day);
  const [from, setFrom] = useState(first.from);
  const [to, setTo] = useState(first.to);
  const [reference, setReference] = useState("");
  const [note, setNote] = useState("");
  const [fault, setFault] = useState("");
  const form = useRef<HTMLFormElement>(null);
  useEffect(() => { if (open) form.current?.querySelector<HTMLElement>("select, input")?.focus(); }, [open]);

  const send = (answer: BookingAnswer) => {
    if (busy) return;
    const chosen = places.filter((place) => about.includes(keyOf(place)));
    if (chosen.length === 0) return setFault(w.chooseSite);
    if (answer === "booked" && from >= to) return setFault(words.records.toBefore);
    setFault("");
    setBusy(true);
    const zone = chosen[0]!.site.zone ?? props.zone;
    void props.record({
      what: party.what, answer, whom: party.name, places: chosen.map((place) => ({ site: place.site.id, ...(place.feed && { feed: place.feed }) })),
      ...(note.trim() && { words: note.trim() }), ...(answer === "booked" && reference.trim() && { reference: reference.trim() }),
      ...(answer === "booked" && { from: instantIn(day, from, zone), to: instantIn(day, to, zone) }),
    }).then((done) => { if (done) { setOpen(null); setNote(""); setReference(""); } }).finally(() => setBusy(false));
  };
  // Of several places they mostly come to one at a time: that which presses most.
  const choose = (answer: BookingAnswer) => {
    setAbout(answer === "booked" ? places.slice(0, 1).map(keyOf) : places.map(keyOf));
    setOpen(open === answer ? null : answer);
  };
  const name = `party-${party.id}`;
  const title = w.parties.head(w.parties.what[party.what]!, party.name);
  return (
    <div class="outcomes">
      <div class="actions" role="group" aria-label={w.for(w.outcome + ":", title)}>
        {answers.map((a) => (
          <button key={a} type="button" aria-expanded={atOnce.includes(a) ? undefined : open === a} aria-label={`${w.parties.answers[a]} ${title}`} onClick={() => (atOnce.includes(a) ? send(a) : choose(a))}>{w.parties.answers[a]}</button>
        ))}
      </div>
      {fault && !open && <p class="fault" role="alert">{fault}</p>}
      {open && (
        <form ref={form} class="desk" onSubmit={(event) => { event.preventDefault(); send(open); }}>
          {open === "booked" && (
            <div class="actions">
              <label class="field">{w.day}<input type="date" value={day} min={today} required onInput={(event) => setDay(event.currentTarget.value)} /></label>
              <label class="field">{w.from}<input type="time" value={from} required onInput={(event) => setFrom(event.currentTarget.value)} /></label>
              <label class="field">{w.to}<input type="time" value={to} required aria-invalid={fault ? true : undefined} aria-describedby={fault ? `${name}-fault` : undefined} onInput={(event) => setTo(event.currentTarget.value)} /></label>
              <label class="field">{words.records.bookReference}<input value={reference} onInput={(event) => setReference(event.currentTarget.value)} /></label>
            </div>
          )}
          {open === "refused" && <p>{w.parties.refusedNote}</p>}
          <div class="actions"><label class="field">{w.note}<input value={note} onInput={(event) => setNote(event.currentTarget.value)} /></label></div>
          {places.length > 1 && (
            <fieldset class="several">
              <legend>{w.about}</legend>
              {places.map((place) => (
                <label key={keyOf(place)} class="check"><input type="checkbox" checked={about.includes(keyOf(place))} onChange={(event) => setAbout(event.currentTarget.checked ? [...about, keyOf(place)] : about.filter((k) => k !== keyOf(place)))} />{placeName(place)}</label>
              ))}
            </fieldset>
          )}
          {fault && <p class="fault" role="alert" id={`${name}-fault`}>{fault}</p>}
          <div class="actions"><button type="submit" class="main" aria-disabled={busy}>{w.parties.record[open]}</button></div>
        </form>
      )}
    </div>
  );
}
