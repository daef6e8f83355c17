import { useState } from "preact/hooks";
import { customersPeople } from "../contacts";
import { address } from "../route";
import type { BacklogRow, DeskRequest, Office } from "../types";
import { words } from "../words";
import { PartsList } from "./PartsList";
import { PersonChoice } from "./PersonChoice";

export type Recording = { row: BacklogRow; office: Office; record: (request: DeskRequest) => void };

/** What the office can record about an assembly that waits: the owner's yes, the parts, the way cleared. */
export function BacklogActions(props: Recording) {
  const { row } = props;
  const failed = Boolean(row.failed_on);
  return (
    <div class="desk">
      {failed && <Yes {...props} />}
      {failed && <PartsList {...props} />}
      <p class="actions"><a href={address("paper", row.assembly, row.job)}>{words.paper.link}</a></p>
      {row.waits_for === "way" && row.stage === "stopped" && <WayCleared {...props} />}
    </div>
  );
}

/** Whether this row has anything to record here. */
export const canRecord = (row: BacklogRow) => Boolean(row.failed_on) || (row.waits_for === "way" && row.stage === "stopped");

/** The owner's yes: standing, to a quote or up to a sum; on which day it was given. */
function Yes({ row, office, record }: Recording) {
  const w = words.backlog;
  const [basis, setBasis] = useState("standing");
  const [limit, setLimit] = useState("");
  const [date, setDate] = useState(office.today);
  const [who, setWho] = useState("");
  const submit = (event: Event) => {
    event.preventDefault();
    record({ kind: "yes-to-repair", assembly: row.assembly, job: row.job, basis, date, ...(who && { who }), ...(basis !== "standing" && limit ? { limit_usd: Number(limit) } : {}) });
  };
  return (
    <form class="actions" onSubmit={submit}>
      <label class="field">{w.yesBasis}
        <select value={basis} onChange={(event) => setBasis(event.currentTarget.value)}>
          {Object.entries(w.bases).map(([value, text]) => <option key={value} value={value}>{text}</option>)}
        </select>
      </label>
      {basis !== "standing" && <label class="field">{basis === "quote" ? w.quote : w.limit}<input type="number" min="1" step="1" value={limit} required={basis === "up to a sum"} onInput={(event) => setLimit(event.currentTarget.value)} /></label>}
      <PersonChoice label={w.yesWho} list={row.site.id} read={() => customersPeople(row.site.id)} value={who} change={setWho} />
      <label class="field">{w.yesOn}<input type="date" value={date} max={office.today} required onInput={(event) => setDate(event.currentTarget.value)} /></label>
      <button type="submit">{w.recordYes}</button>
      {row.yes_to_repair && <span class="small">{words.crew.repairYes(row.yes_to_repair)}</span>}
    </form>
  );
}

function WayCleared({ row, record }: Recording) {
  const w = words.backlog;
  const [cleared, setCleared] = useState("");
  return (
    <form class="actions" onSubmit={(event) => { event.preventDefault(); record({ kind: "clear-way", assembly: row.assembly, job: row.job, words: cleared.trim() }); }}>
      <label class="field">{w.clearedWhat}<input value={cleared} required onInput={(event) => setCleared(event.currentTarget.value)} /></label>
      <button type="submit">{w.recordCleared}</button>
    </form>
  );
}
