import { useState } from "preact/hooks";
import { api } from "../api";
import { useLoaded } from "../loaded";
import { useDesk } from "../records/desk";
import { address } from "../route";
import type { DeskRequest, Disuse, DisuseSaid } from "../types";
import { Refused, Shown } from "../ui/States";
import { words } from "../words";

type Record = (request: DeskRequest, done: string) => void;

/** What of a site is not used, since when and until when, and what is tested before it is used again. */
export function NotInUse(props: { site: string; today: string; feeds: [string, string][] }) {
  const w = words.records;
  const loaded = useLoaded(`disuse ${props.site}`, ["site", "feed", "assembly"], () => api.disuse(props.site));
  const desk = useDesk();
  const record: Record = (request, done) => desk.record(request, done, loaded.again);
  return (
    <section>
      <h2>{w.disuse}</h2>
      <p class="facts">{w.disuseLead}</p>
      {desk.refused && <Refused title={words.states.refused} sentences={desk.refused} />}
      {desk.done && <p class="said" role="status">{desk.done}</p>}
      <Shown loaded={loaded}>{(data) => <DisuseList data={data} site={props.site} record={record} />}</Shown>
      <SayDisuse {...props} record={record} />
    </section>
  );
}

export function DisuseList(props: { data: Disuse; site: string; record: Record }) {
  const w = words.records;
  const said = props.data.said ?? [];
  const owed = props.data.owed ?? [];
  return (
    <>
      {said.length === 0 ? <p>{w.noDisuse}</p> : (
        <ul class="plain">{said.map((d) => <Said key={d.feed ?? ""} said={d} site={props.site} record={props.record} />)}</ul>
      )}
      {owed.length > 0 && (
        <>
          <h3>{w.owedBefore}</h3>
          <ul class="plain">
            {owed.map((o) => <li key={o.job} class={o.known ? undefined : "warn"}><a href={address("records", "assemblies", o.assembly)}>{w.owedLine(o.unit, o.words)}</a></li>)}
          </ul>
        </>
      )}
    </>
  );
}

/** The request that says of a site, or of one of its feeds, how it is not used. */
const about = (site: string, feed: string | undefined): Pick<DeskRequest, "kind" | "site" | "feed"> => (feed ? { kind: "say-out-of-use", feed } : { kind: "say-vacant", site });

function Said(props: { said: DisuseSaid; site: string; record: Record }) {
  const w = words.records;
  const { said, site } = props;
  const [open, setOpen] = useState<"" | "again" | "mistake">("");
  const [day, setDay] = useState(said.back ?? "");
  const [why, setWhy] = useState("");
  const send = (event: Event, more: Partial<DeskRequest>, done: string) => {
    event.preventDefault();
    setOpen("");
    props.record({ ...about(site, said.feed), role: said.by, ...more }, done);
  };
  return (
    <li>
      <span>{said.words}</span>
      {open === "" && (
        <span class="actions">
          <button type="button" aria-label={w.usedAgainOf(said.words)} onClick={() => setOpen("again")}>{w.usedAgain}</button>
          <button type="button" aria-label={w.disuseMistakeOf(said.words)} onClick={() => setOpen("mistake")}>{w.disuseMistake}</button>
        </span>
      )}
      {open === "again" && (
        <form class="actions" onSubmit={(event) => send(event, { since: said.since, date: day }, w.recordedUsedAgain)}>
          <label class="field">{w.usedAgainDay}<input type="date" value={day} required onInput={(event) => setDay(event.currentTarget.value)} /></label>
          <button type="submit">{w.recordUsedAgain}</button>
        </form>
      )}
      {open === "mistake" && (
        <form class="actions" onSubmit={(event) => send(event, { words: why }, w.recordedDisuseMistake)}>
          <label class="field">{w.disuseWhy}<input value={why} required onInput={(event) => setWhy(event.currentTarget.value)} /></label>
          <button type="submit">{w.recordDisuseMistake}</button>
        </form>
      )}
    </li>
  );
}

function SayDisuse(props: { site: string; today: string; feeds: [string, string][]; record: Record }) {
  const w = words.records;
  const [feed, setFeed] = useState("");
  const [since, setSince] = useState(props.today);
  const [back, setBack] = useState("");
  const [role, setRole] = useState(w.disuseRoles[0]!);
  const say = (event: Event) => {
    event.preventDefault();
    props.record({ ...about(props.site, feed), role, since, ...(back && { date: back }) }, w.recordedDisuse);
  };
  return (
    <form class="actions" onSubmit={say}>
      <label class="field">{w.disuseOf}<select value={feed} onChange={(event) => setFeed(event.currentTarget.value)}><option value="">{w.wholeSite}</option>{props.feeds.map(([id, name]) => <option key={id} value={id}>{name}</option>)}</select></label>
      <label class="field">{w.disuseSince}<input type="date" value={since} required onInput={(event) => setSince(event.currentTarget.value)} /></label>
      <label class="field">{w.disuseBack}<input type="date" value={back} onInput={(event) => setBack(event.currentTarget.value)} /></label>
      <label class="field">{w.disuseRole}<select value={role} onChange={(event) => setRole(event.currentTarget.value)}>{w.disuseRoles.map((x) => <option key={x}>{x}</option>)}</select></label>
      <button type="submit">{w.sayDisuse}</button>
    </form>
  );
}
