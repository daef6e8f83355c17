import { useState } from "preact/hooks";
import { count, daysLeft, distance, duration, span } from "../time";
import type { Day, Route, Visit } from "../types";
import { words } from "../words";

export interface VisitActions {
  hold: (visit: Visit, held: boolean) => void;
  move: (visit: Visit, crew: string, place: number) => void;
  leaveOut: (visit: Visit, reason: string) => void;
}

/** The routes as ordered lists: what the pictures show, and every change by menu. */
export function Routes(props: { day: Day; chosen: string | null; choose: (visit: string | null) => void; actions: VisitActions }) {
  return (
    <div class="routes">
      {props.day.crews.map((crew) => (
        <section key={crew.id} aria-labelledby={`crew-${crew.id}`}>
          <h3 id={`crew-${crew.id}`}>
            <span class="letter">{crew.letter}</span> {crew.name}
            <span class="soft">{routeLine(crew, props.day.zone)}</span>
            <a class="small" href={`crew.html#/${encodeURIComponent(crew.id)}/${props.day.date}`}>{words.tomorrow.daySheet}</a>
          </h3>
          {crew.visits.length === 0
            ? <p class="soft">{words.tomorrow.noVisits}</p>
            : <ol class="stops">{crew.visits.map((visit) => (
                <Stop key={visit.id} visit={visit} crew={crew} day={props.day} chosen={visit.id === props.chosen} choose={props.choose} actions={props.actions} />
              ))}</ol>}
        </section>
      ))}
    </div>
  );
}

const routeLine = (crew: Route, zone: string) =>
  crew.visits.length === 0 ? "" : `${count(crew.visits.length, "visit")}, ${span(crew.start, crew.end, zone)}, ${duration(crew.drive_min)} driving, ${distance(crew.drive_km)}`;

function Stop(props: { visit: Visit; crew: Route; day: Day; chosen: boolean; choose: (v: string | null) => void; actions: VisitActions }) {
  const { visit, crew, day, actions } = props;
  const [open, setOpen] = useState(false);
  const sent = day.state === "sent-out";
  return (
    <li id={`visit-${visit.id}`} aria-current={props.chosen || undefined} onClick={() => props.choose(visit.id)}>
      <span class="n">{visit.n}</span>
      <span>{span(visit.start, visit.leave, day.zone)}</span>
      <span>
        {visit.site}
        <span class="facts">{visit.jobs.map((job) => `${words.task[job.task]} ${job.label}`).join("; ")}</span>
        <span class="facts">{waterLine(visit, day.zone)}{visit.little_slack && <> · <span class="warn">{words.tomorrow.littleSlack}</span></>}</span>
        {deadlineLine(visit) && <span class="facts">{deadlineLine(visit)}</span>}
        {(visit.held || visit.sent_out || visit.note) && (
          <span class="facts ink">{[visit.held && words.tomorrow.held, visit.sent_out && words.tomorrow.isSent, visit.note].filter(Boolean).join(" · ")}</span>
        )}
      </span>
      {!sent && (
        <button type="button" class="text" aria-expanded={open} aria-label={words.tomorrow.changeVisit(visit.n, visit.site)} onClick={(event) => { event.stopPropagation(); setOpen(!open); }}>
          {words.tomorrow.change}
        </button>
      )}
      {open && !sent && <ChangePanel visit={visit} crew={crew} day={day} actions={actions} close={() => setOpen(false)} />}
    </li>
  );
}

function waterLine(visit: Visit, zone: string): string {
  if (visit.water_off.length === 0) return words.tomorrow.noWaterOff;
  const off = visit.water_off.map((w) => `${w.feed} ${span(w.from, w.to, zone)}`).join(", ");
  const windows = visit.windows.map((w) => span(w.from, w.to, zone)).join(", ");
  return words.tomorrow.waterOff(off, windows, visit.slack_min === null ? "" : duration(visit.slack_min));
}

function deadlineLine(visit: Visit): string {
  const days = visit.jobs.map((job) => job.days_left).filter((d): d is number => d !== null);
  if (days.length === 0) return "";
  return words.tomorrow.deadline(daysLeft(Math.min(...days)));
}

/** The menu for one visit: hold it, move it, leave it out. */
function ChangePanel(props: { visit: Visit; crew: Route; day: Day; actions: VisitActions; close: () => void }) {
  const { visit, day, actions, close } = props;
  const [crew, setCrew] = useState(props.crew.id);
  const [place, setPlace] = useState(visit.n);
  const [reason, setReason] = useState("");
  const target = day.crews.find((c) => c.id === crew)!;
  const places = crew === props.crew.id ? target.visits.length : target.visits.length + 1;
  return (
    <div class="panel" onClick={(event) => event.stopPropagation()} onKeyDown={(event) => event.key === "Escape" && close()}>
      <fieldset>
        <legend class="hidden-text">{words.tomorrow.hold}</legend>
        <button type="button" onClick={() => { actions.hold(visit, !visit.held); close(); }}>
          {visit.held ? words.tomorrow.release : words.tomorrow.hold}
        </button>
      </fieldset>
      <fieldset class="actions">
        <legend class="hidden-text">{words.tomorrow.move}</legend>
        <label class="field">{words.tomorrow.toCrew}
          <select value={crew} onChange={(event) => { setCrew(event.currentTarget.value); setPlace(1); }}>
            {day.crews.map((c) => <option key={c.id} value={c.id}>{`${c.letter} ${c.name}`}</option>)}
          </select>
        </label>
        <label class="field">{words.tomorrow.place}
          <select value={place} onChange={(event) => setPlace(Number(event.currentTarget.value))}>
            {Array.from({ length: places }, (_, i) => <option key={i} value={i + 1}>{i + 1}</option>)}
          </select>
        </label>
        <button type="button" onClick={() => { actions.move(visit, crew, place); close(); }}>{words.tomorrow.moveTo(target.letter, place)}</button>
      </fieldset>
      <fieldset class="actions">
        <legend class="hidden-text">{words.tomorrow.leaveOut}</legend>
        <label class="field">{words.tomorrow.reason}
          <input value={reason} onInput={(event) => setReason(event.currentTarget.value)} />
        </label>
        <button type="button" disabled={reason.trim() === ""} onClick={() => { actions.leaveOut(visit, reason.trim()); close(); }}>{words.tomorrow.leaveOut}</button>
      </fieldset>
    </div>
  );
}
