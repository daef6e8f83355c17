import { useState } from "preact/hooks";
import { useDesk } from "../records/desk";
import type { Office } from "../types";
import { Refused } from "../ui/States";
import { words } from "../words";
import { labelOf } from "./FieldEntry";

/** A gauge that was dropped, and one with a new certificate. */
export function GaugeFate(props: { gauge: string; office: Office }) {
  const { gauge, office } = props;
  const w = words.records;
  const desk = useDesk();
  const [why, setWhy] = useState("");
  const [until, setUntil] = useState("");
  const [on, setOn] = useState("");
  const [by, setBy] = useState("");
  return (
    <section>
      <h2>{w.gaugeFate}</h2>
      {desk.refused && <Refused title={words.states.refused} sentences={desk.refused} />}
      {desk.done && <p class="said" role="status">{desk.done}</p>}
      <form class="actions" onSubmit={(event) => { event.preventDefault(); desk.record({ kind: "drop-gauge", gauge, words: why.trim() }, w.dropped, () => setWhy("")); }}>
        <label class="field">{w.dropWhy}<input value={why} required onInput={(event) => setWhy(event.currentTarget.value)} /></label>
        <button type="submit">{w.recordDrop}</button>
      </form>
      <form class="actions" onSubmit={(event) => { event.preventDefault(); desk.record({ kind: "verify-gauge", gauge, date: until, calibrated_on: on || undefined, words: by.trim() }, w.verified, () => { setUntil(""); setOn(""); setBy(""); }); }}>
        <label class="field">{labelOf("gauges", "calibrated_on")}<input type="date" value={on} max={office.today} onInput={(event) => setOn(event.currentTarget.value)} /></label>
        <label class="field">{labelOf("gauges", "calibrated_by")}<input value={by} onInput={(event) => setBy(event.currentTarget.value)} /></label>
        <label class="field">{w.verifiedUntil}<input type="date" value={until} min={office.today} required onInput={(event) => setUntil(event.currentTarget.value)} /></label>
        <button type="submit">{w.recordVerify}</button>
      </form>
    </section>
  );
}
