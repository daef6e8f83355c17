import { useState } from "preact/hooks";
import type { Call, DeskRequest } from "../types";
import { words } from "../words";

const failed = ["failed-retest", "parts-pending", "parts-ready"];

/** The jobs of a call that wait for the owner's yes. */
export const failedJobs = (call: Call) => (call.sites ?? []).flatMap((s) => (s.feeds ?? []).flatMap((f) => (f.jobs ?? []).filter((j) => failed.includes(j.stage)).map((job) => ({ job, site: s.site.name }))));

/** A yes to the repair of what has failed, as it is said in the call: a job at a time, or all that are ticked. */
export function CallRepairYes(props: { call: Call; record: (requests: DeskRequest[]) => Promise<boolean> }) {
  const { call } = props;
  const w = words.calls;
  const jobs = failedJobs(call);
  const [open, setOpen] = useState(false);
  const [chosen, setChosen] = useState<string[]>(jobs.map(({ job }) => job.job));
  const [basis, setBasis] = useState("quote");
  const [limit, setLimit] = useState("");
  const [who, setWho] = useState((call.whom ?? []).find((p) => p.roles?.includes("may authorise repair"))?.person ?? "");
  if (jobs.length === 0 || !(call.asks ?? []).some((a) => a.rule === "repair-yes")) return null;
  const submit = (event: Event) => {
    event.preventDefault();
    const said = jobs.filter(({ job }) => chosen.includes(job.job)).map(({ job }): DeskRequest =>
      ({ kind: "yes-to-repair", assembly: job.assembly, job: job.job, basis, ...(who && { who }), ...(basis !== "standing" && limit && { limit_usd: Number(limit) }) }));
    void props.record(said).then((done) => { if (done) setOpen(false); });
  };
  return (
    <div class="outcomes">
      <button type="button" aria-expanded={open} aria-label={`${w.repairYes} ${call.name}`} onClick={() => setOpen(!open)}>{w.repairYes}</button>
      {open && (
        <form class="desk" onSubmit={submit}>
          <fieldset class="several">
            <legend>{w.repairOf}</legend>
            {jobs.map(({ job, site }) => (
              <label key={job.job} class="check">
                <input type="checkbox" checked={chosen.includes(job.job)} onChange={(event) => setChosen(event.currentTarget.checked ? [...chosen, job.job] : chosen.filter((j) => j !== job.job))} />
                {[job.type, job.size, job.place, site].filter(Boolean).join(", ")}
              </label>
            ))}
          </fieldset>
          <div class="actions">
            <label class="field">{words.backlog.yesBasis}
              <select value={basis} onChange={(event) => setBasis(event.currentTarget.value)}>
                {Object.entries(words.backlog.bases).map(([value, text]) => <option key={value} value={value}>{text}</option>)}
              </select>
            </label>
            {basis !== "standing" && <label class="field">{words.backlog.limit}<input type="number" min="0" class="short" value={limit} required={basis === "up to a sum"} onInput={(event) => setLimit(event.currentTarget.value)} /></label>}
            {(call.whom ?? []).length > 0 && (
              <label class="field">{w.who}
                <select value={who} onChange={(event) => setWho(event.currentTarget.value)}>
                  <option value="">{w.notNoted}</option>
                  {call.whom!.map((p) => <option key={p.person} value={p.person}>{p.name}</option>)}
                </select>
              </label>
            )}
            <button type="submit" class="main" disabled={chosen.length === 0}>{w.recordYes(chosen.length)}</button>
          </div>
        </form>
      )}
    </div>
  );
}
