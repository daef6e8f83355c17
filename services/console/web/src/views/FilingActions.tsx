import { useState } from "preact/hooks";
import { peopleOnRecord } from "../contacts";
import type { DeskRequest, FilingRow } from "../types";
import { words } from "../words";
import { PersonChoice } from "./PersonChoice";

/** What the office can record about one report or call: filed, accepted, come back, told. */
export function FilingActions(props: { row: FilingRow; today: string; record: (request: DeskRequest) => void }) {
  const { row } = props;
  if (row.about === "phone-in") return <div class="desk"><Phone {...props} /></div>;
  return (
    <div class="desk">
      {row.state === "filed" ? <Answer {...props} /> : <File {...props} />}
      {row.state === "send-again" && row.job.stage === "reported" && row.job.job && <Answer {...props} />}
    </div>
  );
}

type Props = { row: FilingRow; today: string; record: (request: DeskRequest) => void };

const of = (row: FilingRow) => ({ assembly: row.job.assembly, job: row.job.job });

function File({ row, today, record }: Props) {
  const w = words.filing;
  const [how, setHow] = useState("");
  const [date, setDate] = useState(today);
  const [by, setBy] = useState("");
  const [confirmation, setConfirmation] = useState("");
  const submit = (event: Event) => {
    event.preventDefault();
    record({ kind: "file-report", ...of(row), date, how: how.trim(), ...(by && { by }), ...(confirmation.trim() && { confirmation: confirmation.trim() }) });
  };
  return (
    <form class="actions" onSubmit={submit}>
      <label class="field">{w.how}<input value={how} required list="filing-hows" onInput={(event) => setHow(event.currentTarget.value)} /></label>
      <datalist id="filing-hows">{w.hows.map((h) => <option key={h} value={h} />)}</datalist>
      <label class="field">{w.date}<input type="date" value={date} max={today} required onInput={(event) => setDate(event.currentTarget.value)} /></label>
      <PersonChoice label={w.by} list="on record" read={peopleOnRecord} value={by} change={setBy} />
      <label class="field">{w.confirmation}<input value={confirmation} onInput={(event) => setConfirmation(event.currentTarget.value)} /></label>
      <button type="submit" class="main">{row.state === "owed" ? w.file : w.fileAgain}</button>
    </form>
  );
}

/** What the purveyor did with it. An accepted report of a failure ends nothing: the repair is owed as before. */
function Answer({ row, today, record }: Props) {
  const w = words.filing;
  const [date, setDate] = useState(today);
  const [back, setBack] = useState(today);
  const [why, setWhy] = useState("");
  return (
    <>
      <form class="actions" onSubmit={(event) => { event.preventDefault(); record({ kind: "accept-report", ...of(row), date }); }}>
        <label class="field">{w.date}<input type="date" value={date} max={today} required onInput={(event) => setDate(event.currentTarget.value)} /></label>
        <button type="submit" class="main">{w.accept}</button>
      </form>
      <form class="actions" onSubmit={(event) => { event.preventDefault(); record({ kind: "return-report", ...of(row), date: back, words: why.trim() }); }}>
        <label class="field">{w.date}<input type="date" value={back} max={today} required onInput={(event) => setBack(event.currentTarget.value)} /></label>
        <label class="field">{w.returnWhy}<input value={why} required onInput={(event) => setWhy(event.currentTarget.value)} /></label>
        <button type="submit">{w.sendBack}</button>
      </form>
    </>
  );
}

function Phone({ row, record }: Props) {
  const w = words.filing;
  const [told, setTold] = useState("");
  const [what, setWhat] = useState("");
  const [by, setBy] = useState("");
  return (
    <form class="actions" onSubmit={(event) => { event.preventDefault(); record({ kind: "phone-failure", ...of(row), how: told.trim(), words: what.trim(), ...(by && { by }) }); }}>
      <label class="field">{w.toldWhom}<input value={told} required onInput={(event) => setTold(event.currentTarget.value)} /></label>
      <label class="field">{w.toldWhat}<input value={what} onInput={(event) => setWhat(event.currentTarget.value)} /></label>
      <PersonChoice label={w.by} list="on record" read={peopleOnRecord} value={by} change={setBy} />
      <button type="submit" class="main">{w.phone}</button>
    </form>
  );
}
