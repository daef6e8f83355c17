import { useState } from "preact/hooks";
import { api } from "../api";
import { address } from "../route";
import { clock, count, dated, daysLeft, distance, minutesBetween, seconds, span } from "../time";
import type { Crew, Day, Job, Route, Visit } from "../types";
import { crewTitle } from "../ui/crewtitle";
import { words } from "../words";
import { windowsAround } from "./windows";

export interface VisitActions {
  hold: (visit: Visit, held: boolean) => void;
  move: (visit: Visit, crew: string, place: number) => void;
  leaveOut: (visit: Visit, reason: string) => void;
}

type Choosing = { chosen: string | null; choose: (visit: string | null) => void };

/** The routes as ordered lists: what the pictures show, and every change by menu. */
export function Routes(props: { day: Day; actions: VisitActions } & Choosing) {
  const { day } = props;
  const routes = day.routes ?? [];
  const sent = day.status === "sent-out";
  const idle = (day.crews ?? []).filter((crew) => !routes.some((r) => r.crew.id === crew.id));
  return (
    <div class="routes">
      {routes.map((route) => (
        <section key={route.crew.id} aria-labelledby={`crew-${route.crew.id}`}>
          <RouteHead crew={route.crew} date={day.date} sent={sent && (route.visits ?? []).length > 0} line={routeLine(route, day.zone)} />
          {(route.visits ?? []).length === 0
            ? <p class="soft">{words.tomorrow.noVisits}</p>
            : <ol class="stops">{(route.visits ?? []).map((visit) => (
                <Stop key={visit.key} visit={visit} route={route} {...props} />
              ))}</ol>}
        </section>
      ))}
      {idle.map((crew) => (
        <section key={crew.id} aria-labelledby={`crew-${crew.id}`}>
          <RouteHead crew={crew} date={day.date} sent={false} line="" />
          <p class="soft">{crew.off ? words.tomorrow.crewOff(crew.off) : words.tomorrow.noVisits}</p>
        </section>
      ))}
    </div>
  );
}

/** The visit chosen in a picture, right under it, with its menu. */
export function ChosenVisit(props: { day: Day; actions: VisitActions } & Choosing) {
  const route = props.day.routes?.find((r) => r.visits?.some((v) => v.key === props.chosen));
  const visit = route?.visits?.find((v) => v.key === props.chosen);
  if (!route || !visit) return null;
  return (
    <section class="chosen-visit" aria-label={words.tomorrow.chosen}>
      <p class="small soft">{words.tomorrow.chosenOf(route.crew.letter, crewTitle(route.crew))} <button type="button" class="text" onClick={() => props.choose(null)}>{words.tomorrow.unchoose}</button></p>
      <ol class="stops"><Stop visit={visit} route={route} {...props} chosen={null} /></ol>
    </section>
  );
}

function RouteHead(props: { crew: Crew; date: string; sent: boolean; line: string }) {
  return (
    <h3 id={`crew-${props.crew.id}`}>
      <span class="letter">{props.crew.letter}</span> {crewTitle(props.crew)}
      <span class="soft">{props.line}</span>
      <a class="small" href={`crew.html#/${encodeURIComponent(props.crew.id)}/${props.date}`}>{words.tomorrow.daySheet(props.crew.letter)}</a>
      {props.sent && <a class="small" href={api.routeSheetsAddress(props.date, props.crew.id)} target="_blank" rel="noreferrer">{words.tomorrow.routeSheet(props.crew.letter)}</a>}
      <a class="small" href={api.calendarAddress(props.crew.id)} download="">{words.tomorrow.calendar(props.crew.letter)}</a>
    </h3>
  );
}

function routeLine(route: Route, zone: string): string {
  const visits = route.visits ?? [];
  if (visits.length === 0) return "";
  return [
    count(visits.length, "visit"), span(route.start, route.end, zone), `${seconds(route.drive_s)} driving`, distance(route.drive_m),
    route.overtime_s > 0 ? `${seconds(route.overtime_s)} overtime` : "",
    route.break ? words.tomorrow.rest(minutesBetween(route.break.from, route.break.to), clock(route.break.from, zone), route.break.at) : "",
  ].filter(Boolean).join(", ");
}

function Stop(props: { visit: Visit; route: Route; day: Day; actions: VisitActions } & Choosing) {
  const { visit, route, day, actions, choose } = props;
  const [open, setOpen] = useState(false);
  const sent = day.status === "sent-out";
  const notes = [visit.hold && words.tomorrow.held, sent && !visit.state && words.tomorrow.isSent, visit.state, ...(visit.notes ?? []).map(dated)].filter(Boolean);
  return (
    <li aria-current={visit.key === props.chosen || undefined} onClick={() => choose(visit.key)}>
      <span class="n">{visit.order}</span>
      <span>{span(visit.arrive, visit.leave, day.zone)}</span>
      <span>
        {visit.site.name}
        {visit.site.address && visit.site.address !== visit.site.name && <span class="facts">{visit.site.address}</span>}
        <span class="facts">{(visit.jobs ?? []).map(jobLine).join("; ")}</span>
        {sent && <FromPaper visit={visit} />}
        <span class="facts">{waterLine(visit, day.zone, sent)}{visit.little_slack && <> · <span class="warn">{words.tomorrow.littleSlack}</span></>}</span>
        {deadlineLine(visit.jobs ?? []) && <span class="facts">{deadlineLine(visit.jobs ?? [])}</span>}
        {notes.length > 0 && <span class="facts ink">{notes.join(" · ")}</span>}
      </span>
      {(!sent || visit.ahead) && (
        <button type="button" class="text" aria-expanded={open} aria-label={words.tomorrow.changeVisit(visit.order, visit.site.name)} onClick={(event) => { event.stopPropagation(); setOpen(!open); }}>
          {words.tomorrow.change}
        </button>
      )}
      {open && (!sent || visit.ahead) && <ChangePanel visit={visit} route={route} day={day} actions={actions} close={() => setOpen(false)} />}
    </li>
  );
}

/** A result that came on paper is keyed in from the very job of the day. */
const FromPaper = (props: { visit: Visit }) => (
  <span class="facts">{(props.visit.jobs ?? []).map((job) => <><a key={job.job} href={address("paper", job.assembly, job.job)} onClick={(event) => event.stopPropagation()} aria-label={words.paper.linkOf(jobLine(job), props.visit.site.name)}>{words.paper.short}</a>{" "}</>)}</span>
);

/** "test RP 2 in, boiler room". */
export const jobLine = (job: Job) => [`${job.work || words.work} ${job.type}${job.size ? ` ${job.size}` : ""}`, job.place].filter(Boolean).join(", ");

function waterLine(visit: Visit, zone: string, sent: boolean): string {
  const offs = visit.water_off ?? [];
  if (offs.length === 0) return words.tomorrow.noWaterOff;
  const windows = new Set(offs.flatMap((w) => windowsAround(w).map((s) => span(s.open, s.close, zone))));
  return words.tomorrow.waterOff(offs.map((w) => `${w.name} ${span(w.from, w.to, zone)}`).join(", "), [...windows].join(", "), sent ? "" : seconds(visit.slack_s));
}

function deadlineLine(jobs: Job[]): string {
  const days = jobs.flatMap((job) => (job.days_left === undefined ? [] : [job.days_left]));
  return days.length === 0 ? "" : words.tomorrow.deadline(daysLeft(Math.min(...days)));
}

/** The menu for one visit: hold it, move it, leave it out. Escape closes it. */
function ChangePanel(props: { visit: Visit; route: Route; day: Day; actions: VisitActions; close: () => void }) {
  const { visit, day, actions, close } = props;
  const crews = day.crews ?? [];
  const [crew, setCrew] = useState(props.route.crew.id);
  const [place, setPlace] = useState(visit.order);
  const [reason, setReason] = useState("");
  const sent = day.status === "sent-out";
  const target = crews.find((c) => c.id === crew);
  const there = day.routes?.find((r) => r.crew.id === crew)?.visits?.length ?? 0;
  const places = crew === props.route.crew.id ? there : there + 1;
  return (
    <div class="panel" onClick={(event) => event.stopPropagation()} onKeyDown={(event) => event.key === "Escape" && close()}>
      {sent ? <p class="small">{words.amend.lead}</p> : <div class="actions">
        <button type="button" onClick={() => { actions.hold(visit, !visit.hold); close(); }}>
          {visit.hold ? words.tomorrow.release : words.tomorrow.hold}
        </button>
      </div>}
      <div class="actions" role="group" aria-label={words.tomorrow.move}>
        <label class="field">{words.tomorrow.toCrew}
          <select value={crew} onChange={(event) => { setCrew(event.currentTarget.value); setPlace(0); }}>
            {crews.map((c) => <option key={c.id} value={c.id}>{`${c.letter} ${crewTitle(c)}`}</option>)}
          </select>
        </label>
        <label class="field">{words.tomorrow.place}
          <select value={place} onChange={(event) => setPlace(Number(event.currentTarget.value))}>
            <option value={0}>{words.tomorrow.anyPlace}</option>
            {Array.from({ length: places }, (_, i) => <option key={i} value={i + 1}>{i + 1}</option>)}
          </select>
        </label>
        <button type="button" onClick={() => { actions.move(visit, crew, place); close(); }}>{words.tomorrow.moveTo(target?.letter ?? "", place)}</button>
      </div>
      <form class="actions" onSubmit={(event) => { event.preventDefault(); actions.leaveOut(visit, reason.trim()); close(); }}>
        <label class="field">{sent ? words.amend.reason : words.tomorrow.reason}
          <input value={reason} required onInput={(event) => setReason(event.currentTarget.value)} />
        </label>
        <button type="submit">{sent ? words.amend.takeOff : words.tomorrow.leaveOut}</button>
      </form>
    </div>
  );
}
