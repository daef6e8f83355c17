import { useState } from "preact/hooks";
import { api } from "../api";
import { useLoaded } from "../loaded";
import { useDesk } from "../records/desk";
import { brought } from "../records/kinds";
import { instantIn } from "../records/zoned";
import type { Booking, DeskRequest } from "../types";
import { Refused, Shown } from "../ui/States";
import { words } from "../words";

/** What others bring to a site: who is booked when, who is wanted and is not, and a form to book. */
export function Bookings(props: { site: string; zone: string; tomorrow: string; feeds: [string, string][] }) {
  const w = words.records;
  const loaded = useLoaded(`bookings ${props.site}`, ["site", "feed"], () => api.bookings(props.site));
  const desk = useDesk();
  return (
    <section>
      <h2>{w.bookings}</h2>
      <p class="facts">{w.bookingsLead}</p>
      {desk.refused && <Refused title={words.states.refused} sentences={desk.refused} />}
      {desk.done && <p class="said" role="status">{desk.done}</p>}
      <Shown loaded={loaded}>{(data) => (
        <>
          {(data.unbooked ?? []).map((what) => <p key={what} class="warn">{w.unbooked(what)}</p>)}
          {(data.booked ?? []).length === 0 ? <p>{w.noBookings}</p> : (
            <ul class="plain">
              {data.booked!.map((b) => <Standing key={`${b.what} ${b.feed ?? ""} ${b.from} ${b.to}`} booking={b} site={props.site} record={(request) => desk.record(request, w.recordedBookingOff, loaded.again)} />)}
            </ul>
          )}
        </>
      )}</Shown>
      <BookForm {...props} record={(request) => desk.record(request, w.recordedBooking, loaded.again)} />
    </section>
  );
}

function Standing(props: { booking: Booking; site: string; record: (request: DeskRequest) => void }) {
  const { what, feed, from, to, words: said } = props.booking;
  const w = words.records;
  const [open, setOpen] = useState(false);
  const [why, setWhy] = useState("");
  return (
    <li>
      <span>{said}</span>
      {!open && <button type="button" aria-label={w.bookingOffOf(said)} onClick={() => setOpen(true)}>{w.bookingOff}</button>}
      {open && (
        <form class="actions" onSubmit={(event) => { event.preventDefault(); props.record({ kind: "withdraw-booking", site: props.site, what, ...(feed && { feed }), from, to, words: why }); }}>
          <label class="field">{w.bookingWhy}<input value={why} required onInput={(event) => setWhy(event.currentTarget.value)} /></label>
          <button type="submit">{w.recordBookingOff}</button>
        </form>
      )}
    </li>
  );
}

function BookForm(props: { site: string; zone: string; tomorrow: string; feeds: [string, string][]; record: (request: DeskRequest) => void }) {
  const { site, zone, feeds } = props;
  const w = words.records;
  const [what, setWhat] = useState(brought[0]!);
  const [feed, setFeed] = useState("");
  const [day, setDay] = useState(props.tomorrow);
  const [from, setFrom] = useState("");
  const [to, setTo] = useState("");
  const [whom, setWhom] = useState("");
  const [reference, setReference] = useState("");
  const [fault, setFault] = useState(false);
  const book = (event: Event) => {
    event.preventDefault();
    setFault(from >= to);
    if (from < to) props.record({
      kind: "make-booking", site, what: what as Booking["what"], ...(feed && { feed }), from: instantIn(day, from, zone), to: instantIn(day, to, zone), ...(whom && { whom }), ...(reference && { confirmation: reference }),
    });
  };
  return (
    <form class="actions" onSubmit={book}>
      <label class="field">{w.bookWhat}<select value={what} onChange={(event) => setWhat(event.currentTarget.value)}>{brought.map((x) => <option key={x} value={x}>{w.values["needs.what"]![x]}</option>)}</select></label>
      <label class="field">{w.agreeFeed}<select value={feed} onChange={(event) => setFeed(event.currentTarget.value)}><option value="">{w.everyFeed}</option>{feeds.map(([id, name]) => <option key={id} value={id}>{name}</option>)}</select></label>
      <label class="field">{w.day}<input type="date" value={day} required onInput={(event) => setDay(event.currentTarget.value)} /></label>
      <label class="field">{w.from}<input type="time" value={from} required onInput={(event) => setFrom(event.currentTarget.value)} /></label>
      <label class="field">{w.to}<input type="time" value={to} required aria-invalid={fault || undefined} aria-describedby={fault ? "book-fault" : undefined} onInput={(event) => setTo(event.currentTarget.value)} /></label>
      <label class="field">{w.bookWhom}<input value={whom} onInput={(event) => setWhom(event.currentTarget.value)} /></label>
      <label class="field">{w.bookReference}<input value={reference} onInput={(event) => setReference(event.currentTarget.value)} /></label>
      <button type="submit">{w.book}</button>
      {fault && <p class="fault" id="book-fault" role="alert">{w.toBefore}</p>}
    </form>
  );
}
