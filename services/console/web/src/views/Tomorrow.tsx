import { useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { useLoaded } from "../loaded";
import { address, replaceAddress } from "../route";
import { addDays, clock, count, dayName, daysLeft } from "../time";
import type { Day, Office, Visit } from "../types";
import { Empty, Refused, Shown } from "../ui/States";
import { words } from "../words";
import { DayMap } from "./DayMap";
import { DayPicture } from "./DayPicture";
import { Planning } from "./Planning";
import { Routes, type VisitActions } from "./Routes";

/** The dispatcher's page for one date. */
export function Tomorrow(props: { office: Office; date: string; chosen: string | null }) {
  const { office, date } = props;
  const loaded = useLoaded(`day ${date}`, [`day:${date}`], () => api.day(date));
  const [refused, setRefused] = useState<string[] | null>(null);

  const act = (action: () => Promise<unknown>) => {
    setRefused(null);
    action().then(loaded.again, (error: unknown) => setRefused(error instanceof Refusal ? error.sentences : [String(error)]));
  };
  const choose = (visit: string | null) => replaceAddress("tomorrow", date, ...(visit ? ["visit", visit] : []));
  const actions: VisitActions = {
    hold: (visit: Visit, held) => act(() => api.hold(date, visit.id, held)),
    move: (visit, crew, place) => act(() => api.move(date, visit.id, crew, place)),
    leaveOut: (visit, reason) => act(() => api.leaveOut(date, visit.id, reason)),
  };

  return (
    <>
      <nav class="actions" aria-label={words.tomorrow.title(dayName(date, office.today))}>
        <a href={address("tomorrow", addDays(date, -1))}>{words.tomorrow.earlier}</a>
        <strong>{dayName(date, office.today)}</strong>
        <a href={address("tomorrow", addDays(date, 1))}>{words.tomorrow.later}</a>
      </nav>
      <Shown loaded={loaded}>
        {(day) => <DayPage day={day} office={office} refused={refused} act={act} actions={actions} chosen={props.chosen} choose={choose} />}
      </Shown>
    </>
  );
}

/** The page itself, fed with a day: pure, so that the storybook can show every state. */
export function DayPage(props: {
  day: Day;
  office: Office;
  refused: string[] | null;
  act: (action: () => Promise<unknown>) => void;
  actions: VisitActions;
  chosen: string | null;
  choose: (visit: string | null) => void;
}) {
  const { day, office, act } = props;
  const planned = day.state !== "none";
  return (
    <>
      <h1>{planned ? words.tomorrow.head(day) : words.tomorrow.noPlan}</h1>
      {day.state === "sent-out" && <p>{words.tomorrow.sentOutAt(clock(day.sent_out_at!, day.zone))}</p>}
      {!planned && !day.planning && <p>{words.tomorrow.noPlanNext}</p>}
      {day.amend.length > 0 && <Refused title={words.tomorrow.amend} sentences={day.amend} />}
      {props.refused && <Refused title={words.states.refused} sentences={props.refused} />}
      {day.planning
        ? <Planning date={day.date} />
        : <Buttons day={day} office={office} act={act} />}
      {planned && (
        <>
          <h2>{words.tomorrow.day}</h2>
          <DayPicture day={day} chosen={props.chosen} choose={props.choose} />
          <div class="two">
            <section><h2>{words.tomorrow.mapTitle}</h2><DayMap day={day} chosen={props.chosen} choose={props.choose} /></section>
            <section><h2>{words.tomorrow.leftOut}</h2><LeftOutList day={day} /></section>
          </div>
          <h2>{words.tomorrow.routes}</h2>
          <Routes day={day} chosen={props.chosen} choose={props.choose} actions={props.actions} />
        </>
      )}
    </>
  );
}

function Buttons(props: { day: Day; office: Office; act: (action: () => Promise<unknown>) => void }) {
  const { day, office, act } = props;
  const [reason, setReason] = useState("");
  const routes = day.crews.filter((crew) => crew.visits.length > 0).length;
  if (day.state === "sent-out") {
    return (
      <form class="actions" onSubmit={(event) => { event.preventDefault(); act(() => api.takeBack(day.date, reason)); }}>
        <label class="field">{words.tomorrow.takeBackReason}
          <input value={reason} onInput={(event) => setReason(event.currentTarget.value)} required />
        </label>
        <button type="submit">{words.tomorrow.takeBack}</button>
      </form>
    );
  }
  const isTomorrow = day.date === office.tomorrow;
  return (
    <div class="actions">
      <button type="button" class={day.state === "none" ? "main" : ""} onClick={() => act(() => api.plan(day.date))}>
        {day.state === "none" ? words.tomorrow.plan(isTomorrow) : words.tomorrow.planAgain}
      </button>
      {day.state === "proposed" && (
        <button type="button" class="main" disabled={routes === 0} onClick={() => act(() => api.sendOut(day.date, day.position))}>
          {words.tomorrow.sendOut(routes)}
        </button>
      )}
    </div>
  );
}

/** What did not fit, in sentences, most pressing first. */
function LeftOutList(props: { day: Day }) {
  const { left_out } = props.day;
  if (left_out.length === 0) return <Empty><p>{words.tomorrow.leftOutNone}</p></Empty>;
  const sorted = [...left_out].sort((a, b) => (a.days_left ?? -1) - (b.days_left ?? -1));
  return (
    <>
      <p class="soft small">{count(left_out.length, "visit")}</p>
      <ul class="plain left-out" tabIndex={0} aria-label={words.tomorrow.leftOut}>
        {sorted.map((item) => (
          <li key={item.id}>
            <strong>{item.site}</strong>: {words.tomorrow.leftOutLine(item.what, item.minutes)} <strong>{daysLeft(item.days_left)}</strong>.
            {" "}{item.reason}
            {item.would_fit && <span class="facts">{words.tomorrow.wouldFit} {item.would_fit} {item.phone && <a href={`tel:${item.phone}`}>{words.tomorrow.call(item.phone)}</a>}</span>}
          </li>
        ))}
      </ul>
    </>
  );
}
