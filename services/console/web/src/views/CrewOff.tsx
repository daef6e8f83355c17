import { useState } from "preact/hooks";
import { useDesk } from "../records/desk";
import { dayName } from "../time";
import type { Office } from "../types";
import { Refused } from "../ui/States";
import { words } from "../words";

/** A crew that does not work on a day, and one that does after all. */
export function CrewOff(props: { crew: string; office: Office }) {
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
      <p class="small soft">{w.offCaution}</p>
    </section>
  );
}
