import { useState } from "preact/hooks";
import type { Day, Supposed } from "../types";
import { crewTitle } from "../ui/crewtitle";
import { words } from "../words";

const w = words.otherwise;
type Kind = keyof typeof w.kinds;
const kinds = Object.keys(w.kinds) as Kind[];

/** One thing to suppose, by form: what, and about whom. */
export function Supposing(props: { day: Day; busy: boolean; ask: (list: Supposed[]) => void }) {
  const { day } = props;
  const [what, setWhat] = useState<Kind>("crew-off");
  const [about, setAbout] = useState<Record<string, string>>({});
  const set = (name: string) => (event: { currentTarget: { value: string } }) => setAbout({ ...about, [name]: event.currentTarget.value });
  const visits = (day.routes ?? []).flatMap((route) => route.visits ?? []);
  const feeds = visits.flatMap((visit) => (visit.water_off ?? []).map((off) => [off.feed, `${visit.site.name}: ${off.name}`] as const));
  const sites = visits.map((visit) => [visit.site.id, visit.site.name] as const);
  const repairs = visits.flatMap((visit) => (visit.jobs ?? []).filter((job) => (job.work ?? "").includes("repair")).map((job) => [`${job.assembly} ${job.job}`, `${visit.site.name}: ${job.type} ${job.size ?? ""}`] as const));
  const crews = (day.crews ?? []).map((crew) => [crew.id, `${crew.letter} ${crewTitle(crew)}`] as const);
  const choice = (name: string, label: string, options: (readonly [string, string])[]) => (
    <label class="field">{label}
      <select value={about[name] ?? ""} required onChange={set(name)}>
        <option value="">{w.choose}</option>
        {[...new Map(options)].map(([id, text]) => <option key={id} value={id}>{text}</option>)}
      </select>
    </label>
  );
  const submit = (event: Event) => {
    event.preventDefault();
    const [assembly, job] = (about.repair ?? "").split(" ");
    props.ask([{
      what: what as Supposed["what"],
      ...(what === "crew-off" || what === "crew-longer" ? { crew: about.crew } : {}),
      ...(what === "crew-longer" ? { minutes: Number(about.minutes) } : {}),
      ...(what === "new-job" ? { assembly: about.assembly?.trim() } : {}),
      ...(what === "window" ? { feed: about.feed, hours: about.hours } : {}),
      ...(what === "access" ? { site: about.site, hours: about.hours } : {}),
      ...(what === "parts-late" ? { assembly, job, promised: about.promised } : {}),
    } as Supposed]);
  };
  return (
    <form class="actions" onSubmit={submit}>
      <label class="field">{w.what}
        <select value={what} onChange={(event) => setWhat(event.currentTarget.value as Kind)}>
          {kinds.map((kind) => <option key={kind} value={kind}>{w.kinds[kind]}</option>)}
        </select>
      </label>
      {(what === "crew-off" || what === "crew-longer") && choice("crew", w.crew, crews)}
      {what === "crew-longer" && <label class="field">{w.minutes}<input type="number" min="1" max="720" required value={about.minutes ?? ""} onInput={set("minutes")} /></label>}
      {what === "new-job" && <label class="field">{w.assembly}<input required value={about.assembly ?? ""} onInput={set("assembly")} /></label>}
      {what === "window" && choice("feed", w.feed, feeds)}
      {what === "access" && choice("site", w.site, sites)}
      {(what === "window" || what === "access") && <label class="field">{w.hours}<input required value={about.hours ?? ""} onInput={set("hours")} /></label>}
      {what === "parts-late" && choice("repair", w.repair, repairs)}
      {what === "parts-late" && <label class="field">{w.promised}<input type="date" required value={about.promised ?? ""} onInput={set("promised")} /></label>}
      <button type="submit" disabled={props.busy}>{w.ask}</button>
    </form>
  );
}
