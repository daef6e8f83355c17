import { useEffect, useRef, useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { onProgress } from "../live";
import { useLoaded } from "../loaded";
import { address, replaceAddress } from "../route";
import { addDays, clock, count, dated, dayName, daysLeft, duration, sentence } from "../time";
import type { CallList, ChangeOutRequest, Day, LeftOut, Office, Visit } from "../types";
import { crewTitle } from "../ui/crewtitle";
import { Empty, Refused, Shown } from "../ui/States";
import { words } from "../words";
import { DayMap } from "./DayMap";
import { DayPicture } from "./DayPicture";
import { Planning } from "./Planning";
import { ChosenVisit, jobLine, Routes, type VisitActions } from "./Routes";

/** How far ahead the call list looks when nothing else is said. */
const callWeeks = 2;

/** What the page can ask the server to do; each answer is the day as it then is. */
type Act = (action: () => Promise<Day>) => void;

/** The dispatcher's page for one date. */
export function Tomorrow(props: { office: Office; date: string; chosen: string | null }) {
  const { office, date } = props;
  const loaded = useLoaded(`day ${date}`, ["day", "assembly", "site", "feed", "crew", "gauge", "kit"], () => api.day(date), date);
  const [refused, setRefused] = useState<string[] | null>(null);
  const [calls, setCalls] = useState<CallList | null>(null);
  // Which calls would let more in is found by trying, beside the plan: asked for once there is one.
  const digest = date === office.tomorrow && loaded.data?.status === "proposed" ? loaded.data.digest : undefined;
  useEffect(() => {
    setCalls(null);
    if (!digest) return;
    let wanted = true;
    api.calls(callWeeks).then((list) => { if (wanted) setCalls(list); }, () => undefined); // the call list itself says what is wrong
    return () => { wanted = false; };
  }, [digest]);

  // The end of planning is told by the stream; asking now and then as well
  // covers a stream that is down.
  const planning = loaded.data?.status === "planning";
  useEffect(() => {
    if (!planning) return;
    const timer = setInterval(loaded.again, 4000);
    const stop = onProgress(date, (progress) => progress.step === "done" && loaded.again());
    return () => { clearInterval(timer); stop(); };
  }, [planning, date, loaded.again]);

  const act: Act = (action) => {
    setRefused(null);
    action().then(loaded.show, (error: unknown) => {
      setRefused(error instanceof Refusal ? error.sentences : [String(error)]);
      if (error instanceof Refusal && error.status === 409) loaded.again();
    });
  };
  const choose = (visit: string | null) => replaceAddress("tomorrow", date, ...(visit ? ["visit", visit] : []));
  const of = (visit: Visit) => ({ site: visit.site.id, ...(visit.feed ? { feed: visit.feed } : {}) });
  // A day that is out is amended, one visit at a time; before that the plan is changed.
  const change = (wish: ChangeOutRequest) => (loaded.data?.status === "sent-out" ? api.changeOut(date, wish) : api.wish(date, wish));
  const actions: VisitActions = {
    hold: (visit, held) => act(() => api.wish(date, held ? { ...of(visit), hold: true } : { ...of(visit), drop: true })),
    move: (visit, crew, place) => act(() => change({ ...of(visit), crew, ...(place ? { place } : {}) })),
    leaveOut: (visit, why) => act(() => change({ ...of(visit), out: true, why })),
  };

  return (
    <>
      <nav class="actions" aria-label={words.tomorrow.dates}>
        <a href={address("tomorrow", addDays(date, -1))}>{words.tomorrow.earlier}</a>
        <strong>{dayName(date, office.today)}</strong>
        <a href={address("tomorrow", addDays(date, 1))}>{words.tomorrow.later}</a>
      </nav>
      <Shown loaded={loaded}>
        {(day) => <DayPage day={day} office={office} calls={calls} refused={refused} act={act} actions={actions} chosen={props.chosen} choose={choose} />}
      </Shown>
    </>
  );
}

/** The button that was pressed goes when the day becomes planned or sent out: who works by keyboard goes on from the headline, which says what came of it. */
function useFocusKept(status: Day["status"]): { current: HTMLHeadingElement | null } {
  const head = useRef<HTMLHeadingElement>(null);
  const before = useRef(status);
  useEffect(() => {
    if (before.current !== status && document.activeElement === document.body) head.current?.focus({ preventScroll: true });
    before.current = status;
  }, [status]);
  return head;
}

/** The page itself, fed with a day: pure, so that the storybook can show every state. */
export function DayPage(props: {
  day: Day;
  office: Office;
  /** The call list beside the plan; null where it is not asked for. */
  calls?: CallList | null;
  refused: string[] | null;
  act: Act;
  actions: VisitActions;
  chosen: string | null;
  choose: (visit: string | null) => void;
}) {
  const { day, office, act } = props;
  const planned = day.status === "proposed" || day.status === "sent-out";
  const head = useFocusKept(day.status);
  return (
    <>
      <h1 ref={head} tabIndex={-1}>{planned ? day.headline : day.status === "planning" ? words.tomorrow.planning : words.tomorrow.noPlan}</h1>
      {day.status === "sent-out" && day.sent_at && <p>{words.tomorrow.sentOutAt(clock(day.sent_at, day.zone))} <a href={api.routeSheetsAddress(day.date)} target="_blank" rel="noreferrer">{words.tomorrow.routeSheets}</a></p>}
      {day.status === "empty" && <p>{words.tomorrow.noPlanNext(day.date === office.tomorrow)}</p>}
      {day.stale && <p class="stale">{day.stale}</p>}
      {(day.amend ?? []).length > 0 && <Refused title={words.tomorrow.amend} sentences={day.amend!.map((a) => a.words)} />}
      {(day.refusals ?? []).length > 0 && <Refused title={words.tomorrow.refusals} sentences={day.refusals!.map((r) => r.words)} />}
      {props.refused && <Refused title={words.states.refused} sentences={props.refused} />}
      {day.status === "planning" ? <Planning date={day.date} begun={day.progress} act={act} /> : <Buttons day={day} office={office} act={act} />}
      {planned && (
        <>
          <p><a href={address("tomorrow", day.date, "otherwise")}>{words.otherwise.open(day.status === "sent-out")}</a></p>
          <h2>{words.tomorrow.day}</h2>
          <DayPicture day={day} chosen={props.chosen} choose={props.choose} drop={day.status === "proposed" ? props.actions.move : null} />
          <ChosenVisit day={day} chosen={props.chosen} choose={props.choose} actions={props.actions} />
          {props.calls && <MoreByCalling list={props.calls} today={office.today} />}
          <div class="two">
            <section><h2>{words.tomorrow.mapTitle}</h2><DayMap day={day} chosen={props.chosen} choose={props.choose} /></section>
            <section><h2>{words.tomorrow.leftOut}</h2><LeftOutList day={day} act={act} /></section>
          </div>
          <h2>{words.tomorrow.routes}</h2>
          <Routes day={day} chosen={props.chosen} choose={props.choose} actions={props.actions} />
          <Costs day={day} />
        </>
      )}
    </>
  );
}

/** Who is not booked for the day, and which calls would let more in. */
export function MoreByCalling(props: { list: CallList; today: string }) {
  const { list } = props;
  const w = words.calls.parties;
  const day = dayName(list.tomorrow, props.today);
  const parties = (list.parties ?? []).filter((p) => p.jobs_let_in_tomorrow);
  const customers = (list.customers ?? []).filter((c) => c.needed && c.jobs_let_in_tomorrow);
  if (parties.length + customers.length === 0) return null;
  const jobs = customers.reduce((sum, c) => sum + (c.jobs_let_in_tomorrow ?? 0), 0);
  return (
    <section class="more-by-calling">
      {parties.length > 0 && <h2>{w.missing(parties.length, day)}</h2>}
      {parties.length > 0 && (
        <ul class="plain">
          {parties.map((p) => (
            <li key={p.id}>
              <strong>{w.head(w.what[p.what]!, p.name)}</strong>{p.phone && <> <a href={`tel:${p.phone.replace(/[^\d+]/g, "")}`}>{p.phone}</a></>}
              <span class="facts">{(p.lets_in_tomorrow ?? []).join("; ")}</span>
            </li>
          ))}
        </ul>
      )}
      <p>{customers.length > 0 && w.letMore(customers.length, jobs, day)} <a href={address("calls")}>{w.openList}</a></p>
    </section>
  );
}

function Buttons(props: { day: Day; office: Office; act: Act }) {
  const { day, office, act } = props;
  const [reason, setReason] = useState("");
  if (day.status === "sent-out") {
    return (
      <form class="actions" onSubmit={(event) => { event.preventDefault(); act(() => api.takeBack(day.date, reason)); }}>
        <label class="field">{words.tomorrow.takeBackReason}
          <input value={reason} onInput={(event) => setReason(event.currentTarget.value)} required />
        </label>
        <button type="submit">{words.tomorrow.takeBack}</button>
      </form>
    );
  }
  const routes = (day.routes ?? []).filter((route) => (route.visits ?? []).length > 0).length;
  return (
    <div class="actions">
      <button type="button" class={day.status === "empty" ? "main" : ""} onClick={() => act(() => api.plan(day.date))}>
        {day.status === "empty" ? words.tomorrow.plan(day.date === office.tomorrow) : words.tomorrow.planAgain}
      </button>
      {day.status === "proposed" && (
        <button type="button" class="main" disabled={routes === 0 || !day.digest} onClick={() => act(() => api.sendOut(day.date, day.digest!))}>
          {words.tomorrow.sendOut(routes)}
        </button>
      )}
    </div>
  );
}

/** What is not on the plan, in sentences, most pressing first. */
function LeftOutList(props: { day: Day; act: Act }) {
  const { day, act } = props;
  const items = [...(day.left_out ?? [])].sort((a, b) => (a.days_left ?? -1) - (b.days_left ?? -1));
  if (items.length === 0) return <Empty><p>{words.tomorrow.leftOutNone}</p></Empty>;
  return (
    <>
      <p class="soft small">{count(items.length, "visit")}</p>
      <div class="tall" tabIndex={0} role="region" aria-label={words.tomorrow.leftOut}>
        <ul class="plain">
          {items.map((item) => (
            <li key={`${item.key} ${item.reason}`}>
              <strong>{item.site.name}</strong>: {(item.jobs ?? []).map(jobLine).join("; ")}, {duration(item.minutes)}. <strong>{daysLeft(item.days_left ?? null)}</strong>.
              {" "}{sentence(item.reason)}
              {item.change && <span class="facts">{words.tomorrow.wouldFit} {dated(item.change)}</span>}
              {(day.status === "proposed" || (day.status === "sent-out" && !item.wished)) && <LeftOutActions item={item} day={day} act={act} />}
            </li>
          ))}
        </ul>
      </div>
    </>
  );
}

/** By hand: on a crew's route after all, or back to the planner. The server refuses what breaks a rule. */
function LeftOutActions(props: { item: LeftOut; day: Day; act: Act }) {
  const { item, day, act } = props;
  const [crew, setCrew] = useState("");
  const of = { site: item.site.id, ...(item.feed ? { feed: item.feed } : {}) };
  if (item.wished) return <button type="button" onClick={() => act(() => api.wish(day.date, { ...of, drop: true }))}>{words.tomorrow.putBack}</button>;
  if (!item.plannable) return null;
  return (
    <span class="actions">
      <select aria-label={words.tomorrow.crewFor(item.site.name)} value={crew} onChange={(event) => setCrew(event.currentTarget.value)}>
        <option value="">{words.tomorrow.chooseCrew}</option>
        {(day.crews ?? []).map((c) => <option key={c.id} value={c.id}>{`${c.letter} ${crewTitle(c)}`}</option>)}
      </select>
      <button type="button" disabled={!crew} onClick={() => act(() => (day.status === "sent-out" ? api.changeOut(day.date, { ...of, crew }) : api.wish(day.date, { ...of, crew })))}>{words.tomorrow.putOn}</button>
    </span>
  );
}

/** Where the money goes and what the plan was made with. */
function Costs(props: { day: Day }) {
  const { day } = props;
  return (
    <details>
      <summary>{words.tomorrow.costs(dollars(day.total_usd))}</summary>
      <dl class="pairs">
        {(day.costs ?? []).map((cost) => <><dt>{cost.name}</dt><dd>{dollars(cost.usd)}</dd></>)}
      </dl>
      <ul>{(day.settings ?? []).map((setting) => <li key={setting}>{setting}</li>)}</ul>
    </details>
  );
}

export const dollars = (usd: number) => `$${Math.round(usd).toLocaleString("en-US")}`;
