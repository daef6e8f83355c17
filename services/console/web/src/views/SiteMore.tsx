import { useState } from "preact/hooks";
import { api } from "../api";
import { useDesk } from "../records/desk";
import { namesOf, type Entries } from "../records/entries";
import { titleOf } from "../records/kinds";
import { instantIn } from "../records/zoned";
import { address } from "../route";
import type { Facts, Office } from "../types";
import { Refused } from "../ui/States";
import { words } from "../words";
import { Bookings } from "./Bookings";
import { NotInUse } from "./Disuse";
import { FillFeeds } from "./FillFeeds";

/** What hangs on a site, and what was promised to its people. */
export function SiteMore(props: { site: string; facts: Facts; entries: Entries; office: Office }) {
  const { site, entries } = props;
  const w = words.records;
  const feeds = (entries.feeds ?? []).filter((f) => f.facts.site === site);
  const assemblies = (entries.assemblies ?? []).filter((a) => a.facts.site === site);
  return (
    <>
      <div class="two">
        <section>
          <h2>{w.feedsHere}</h2>
          {feeds.length === 0 ? <p>{w.noFeeds}</p> : (
            <ul class="plain">
              {feeds.map((f) => (
                <li key={f.id}><a href={address("records", "feeds", f.id)}>{titleOf("feeds", f.id, f.facts)}</a>
                  <span class="facts">{[String(f.facts.shutdown_window ?? ""), f.facts.fire ? w.fireLine : ""].filter(Boolean).join(", ")}</span></li>
              ))}
            </ul>
          )}
          <HoursCalendar of="sites" id={site} />
          <p class="actions"><a class="button" href={address("records", "feeds", "new", site)}>{w.enterNew(w.one.feeds)}</a></p>
        </section>
        <section>
          <h2>{w.assembliesHere}</h2>
          {assemblies.length === 0 ? <p>{w.noAssemblies}</p> : (
            <ul class="plain">
              {assemblies.map((a) => (
                <li key={a.id}><a href={address("records", "assemblies", a.id)}>{titleOf("assemblies", a.id, a.facts)}</a>
                  <span class="facts">{[feeds.find((f) => f.id === a.facts.feed)?.facts.name, a.facts.purveyor_number, a.facts.serial && words.crew.serial(String(a.facts.serial))].filter(Boolean).join(", ")}</span></li>
              ))}
            </ul>
          )}
          <p class="actions"><a class="button" href={address("records", "assemblies", "new", site)}>{w.enterNew(w.one.assemblies)}</a></p>
        </section>
      </div>
      <Bookings site={site} zone={String(props.facts.zone ?? props.office.zone)} tomorrow={props.office.tomorrow} feeds={feeds.map((f) => [f.id, String(f.facts.name)])} />
      <NotInUse site={site} today={props.office.today} feeds={feeds.map((f) => [f.id, String(f.facts.name)])} />
      <FillFeeds site={site} />
      <Promises {...props} feeds={feeds.map((f) => [f.id, String(f.facts.name)])} />
    </>
  );
}

function Promises(props: { site: string; facts: Facts; office: Office; feeds: [string, string][] }) {
  const { site, facts, office, feeds } = props;
  const w = words.records;
  const zone = String(facts.zone ?? office.zone);
  const desk = useDesk();
  const [noticeFor, setNoticeFor] = useState("");
  const [how, setHow] = useState(w.noticeWays[0]!);
  const [feed, setFeed] = useState("");
  const [day, setDay] = useState(office.tomorrow);
  const [from, setFrom] = useState("");
  const [to, setTo] = useState("");
  const [fault, setFault] = useState(false);
  const agree = (event: Event) => {
    event.preventDefault();
    setFault(from >= to);
    if (from < to) desk.record({ kind: "agree-time", site, ...(feed && { feed }), from: instantIn(day, from, zone), to: instantIn(day, to, zone) }, w.recordedTime);
  };
  return (
    <section>
      <h2>{w.promises}</h2>
      {desk.refused && <Refused title={words.states.refused} sentences={desk.refused} />}
      {desk.done && <p class="said" role="status">{desk.done}</p>}
      <form class="actions" onSubmit={(event) => { event.preventDefault(); desk.record({ kind: "give-notice", site, how, ...(noticeFor && { date: noticeFor }) }, w.recordedNotice); }}>
        <label class="field">{w.noticeHow}<select value={how} onChange={(event) => setHow(event.currentTarget.value)}>{w.noticeWays.map((x) => <option key={x}>{x}</option>)}</select></label>
        <label class="field">{w.noticeFor}<input type="date" value={noticeFor} onInput={(event) => setNoticeFor(event.currentTarget.value)} /></label>
        <button type="submit">{w.notice}</button>
      </form>
      <form class="actions" onSubmit={agree}>
        <label class="field">{w.agreeFeed}<select value={feed} onChange={(event) => setFeed(event.currentTarget.value)}><option value="">{w.everyFeed}</option>{feeds.map(([id, name]) => <option key={id} value={id}>{name}</option>)}</select></label>
        <label class="field">{w.day}<input type="date" value={day} required onInput={(event) => setDay(event.currentTarget.value)} /></label>
        <label class="field">{w.from}<input type="time" value={from} required onInput={(event) => setFrom(event.currentTarget.value)} /></label>
        <label class="field">{w.to}<input type="time" value={to} required aria-invalid={fault || undefined} aria-describedby={fault ? "agree-fault" : undefined} onInput={(event) => setTo(event.currentTarget.value)} /></label>
        <button type="submit">{w.agree}</button>
        {fault && <p class="fault" id="agree-fault" role="alert">{w.toBefore}</p>}
      </form>
    </section>
  );
}

/** The sites of a customer. */
export function SitesOf(props: { customer: string; entries: Entries }) {
  const w = words.records;
  const sites = (props.entries.sites ?? []).filter((s) => s.facts.customer === props.customer);
  return (
    <>
    <FillFeeds customer={props.customer} />
    <section>
      <h2>{w.sitesHere}</h2>
      {sites.length === 0 ? <p>{w.noSites}</p> : (
        <ul class="plain">{sites.map((s) => <li key={s.id}><a href={address("records", "sites", s.id)}>{titleOf("sites", s.id, s.facts)}</a><span class="facts">{String(s.facts.address ?? "")}</span></li>)}</ul>
      )}
      <p class="actions"><a class="button" href={address("records", "sites", "new", props.customer)}>{w.enterNew(w.one.sites)}</a></p>
    </section>
    </>
  );
}

/** Where a feed is, and what hangs on it. */
export function FeedMore(props: { feed: string; facts: Facts; entries: Entries; office: Office }) {
  const w = words.records;
  const { facts, entries } = props;
  const site = String(facts.site ?? "");
  const assemblies = (entries.assemblies ?? []).filter((a) => a.facts.feed === props.feed);
  return (
    <section>
      <p>{w.siteOf}<a href={address("records", "sites", site)}>{namesOf(entries)("sites", site)}</a></p>
      <HoursCalendar of="feeds" id={props.feed} />
      <h2>{w.assembliesHere}</h2>
      {assemblies.length === 0 ? <p>{w.noAssemblies}</p> : (
        <ul class="plain">{assemblies.map((a) => <li key={a.id}><a href={address("records", "assemblies", a.id)}>{titleOf("assemblies", a.id, a.facts)}</a></li>)}</ul>
      )}
      {facts.fire === true && <Measures feed={props.feed} office={props.office} />}
    </section>
  );
}

/** The hours as a file that other calendars read. */
function HoursCalendar(props: { of: "sites" | "feeds"; id: string }) {
  const w = words.records;
  return <p><a href={api.hoursCalendarAddress(props.of, props.id)} download="">{w.hoursCalendar}</a> <span class="hint">{props.of === "sites" ? w.siteHoursHint : w.feedHoursHint}</span></p>;
}

/** What stands in for a fire line that will be out of service longer than the firm's limit. */
function Measures(props: { feed: string; office: Office }) {
  const w = words.records;
  const desk = useDesk();
  const [day, setDay] = useState(props.office.tomorrow);
  const [minutes, setMinutes] = useState("");
  const [role, setRole] = useState(w.measuresRoles[0]!);
  const [which, setWhich] = useState("");
  const note = (event: Event) => {
    event.preventDefault();
    desk.record({ kind: "note-measures", feed: props.feed, date: day, minutes: Number(minutes), role, words: which }, w.recordedMeasures);
  };
  return (
    <>
      <h2>{w.measures}</h2>
      <p class="small">{w.measuresCaution}</p>
      {desk.refused && <Refused title={words.states.refused} sentences={desk.refused} />}
      {desk.done && <p class="said" role="status">{desk.done}</p>}
      <form class="actions" onSubmit={note}>
        <label class="field">{w.day}<input type="date" value={day} required onInput={(event) => setDay(event.currentTarget.value)} /></label>
        <label class="field">{w.measuresMinutes}<input type="number" min={0} max={1440} value={minutes} required onInput={(event) => setMinutes(event.currentTarget.value)} /></label>
        <label class="field">{w.measuresRole}<select value={role} onChange={(event) => setRole(event.currentTarget.value)}>{w.measuresRoles.map((x) => <option key={x}>{x}</option>)}</select></label>
        <label class="field">{w.measuresWords}<input type="text" value={which} required onInput={(event) => setWhich(event.currentTarget.value)} /></label>
        <button type="submit">{w.noteMeasures}</button>
      </form>
    </>
  );
}
