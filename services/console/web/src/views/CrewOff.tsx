import { useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { newCommandId } from "../outbox";
import { useDesk } from "../records/desk";
import { withDay } from "../records/week";
import { dayName } from "../time";
import type { Facts, Office } from "../types";
import { Refused } from "../ui/States";
import { words } from "../words";

/** A crew that does not work on a day, and one that does after all. */
export function CrewOff(props: { crew: string; facts: Facts; office: Office }) {
  const { crew, office } = props;
  const w = words.records;
  const desk = useDesk();
  const [date, setDate] = useState(office.tomorrow);
  const [back, setBack] = useState(office.tomorrow);
  const [why, setWhy] = useState("");
  return (
    <section>
      <h2>{w.off}</h2>
      {desk.refused && <Refused title={words.states.refused} sentences={desk.refused} />}
      {desk.done && <p class="said" role="status">{desk.done}</p>}
      <form class="actions" onSubmit={(event) => { event.preventDefault(); desk.record({ kind: "crew-off", crew, date, words: why.trim() }, w.offDone(dayName(date, office.today)), () => setWhy("")); }}>
        <label class="field">{w.offOn}<input type="date" value={date} min={office.today} required onInput={(event) => setDate(event.currentTarget.value)} /></label>
        <label class="field">{w.offWhy}<input value={why} required onInput={(event) => setWhy(event.currentTarget.value)} /></label>
        <button type="submit">{w.recordOff}</button>
      </form>
      <form class="actions" onSubmit={(event) => { event.preventDefault(); desk.record({ kind: "crew-back", crew, date: back }, w.backDone(dayName(back, office.today))); }}>
        <label class="field">{w.backOn}<input type="date" value={back} min={office.today} required onInput={(event) => setBack(event.currentTarget.value)} /></label>
        <button type="submit">{w.recordBack}</button>
      </form>
      <OtherHours {...props} />
      <p class="small soft">{w.offCaution}</p>
    </section>
  );
}

/** A half day or a Saturday is a rule for one day in the crew's hours. */
function OtherHours(props: { crew: string; facts: Facts; office: Office }) {
  const { crew, facts, office } = props;
  const w = words.records;
  const [date, setDate] = useState(office.tomorrow);
  const [from, setFrom] = useState("");
  const [to, setTo] = useState("");
  const [done, setDone] = useState<string | null>(null);
  const [refused, setRefused] = useState<string[] | null>(null);
  const record = (event: Event) => {
    event.preventDefault();
    setDone(null);
    if (from >= to) return setRefused([w.toBefore]);
    setRefused(null);
    const said = w.hoursDone(dayName(date, office.today), from, to);
    api.mend("crews", crew, newCommandId(), { ...facts, hours: withDay(String(facts.hours ?? ""), date, from, to) }, undefined, said).then(
      () => setDone(said),
      (error: unknown) => setRefused(error instanceof Refusal ? error.sentences : [String(error)]),
    );
  };
  return (
    <>
      <h3>{w.dayHours}</h3>
      {refused && <Refused title={words.states.refused} sentences={refused} />}
      {done && <p class="said" role="status">{done}</p>}
      <form class="actions" onSubmit={record}>
        <label class="field">{w.day}<input type="date" value={date} min={office.today} required onInput={(event) => setDate(event.currentTarget.value)} /></label>
        <label class="field">{w.from}<input type="time" value={from} required onInput={(event) => setFrom(event.currentTarget.value)} /></label>
        <label class="field">{w.to}<input type="time" value={to} required onInput={(event) => setTo(event.currentTarget.value)} /></label>
        <button type="submit">{w.recordHours}</button>
      </form>
    </>
  );
}
