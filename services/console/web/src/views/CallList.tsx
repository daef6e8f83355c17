import { useRef, useState } from "preact/hooks";
import { api, Refusal } from "../api";
import { useLoaded, useStaying } from "../loaded";
import { address } from "../route";
import { clock, dayName, daysLeft, duration } from "../time";
import type { BookingRequest, Call, CallList as CallListData, CallRequest, CallSite, DeskRequest, Office, Party } from "../types";
import { Empty, Refused, Shown } from "../ui/States";
import { words } from "../words";
import { CallOutcomes } from "./CallOutcomes";
import { CallRepairYes } from "./CallRepairYes";
import { PartyCalls } from "./PartyCalls";

/** Whom to call about the work of the coming weeks: #/calls/WEEKS. */
export function CallList(props: { office: Office; weeks: number }) {
  const { office, weeks } = props;
  const loaded = useStaying(useLoaded(`calls ${weeks}`, ["site", "customer", "assembly", "feed", "day", "crew"], () => api.calls(weeks)));
  const [refused, setRefused] = useState<{ id: string; sentences: string[] } | null>(null);
  const [said, setSaid] = useState("");
  const record = (call: Call, request: CallRequest) => {
    setRefused(null);
    return api.noteCall(request).then(
      (receipt) => { setSaid(words.calls.recorded(call.name, words.calls.short[request.outcome], clock(receipt.now, office.zone))); loaded.again(); return true; },
      (error: unknown) => { setRefused({ id: call.id, sentences: error instanceof Refusal ? error.sentences : [String(error)] }); return false; },
    );
  };
  const book = (party: Party, request: BookingRequest) => {
    setRefused(null);
    return api.askBooking(request).then(
      (receipt) => { setSaid(words.calls.recorded(party.name, words.calls.parties.short[request.answer], clock(receipt.now, office.zone))); loaded.again(); return true; },
      (error: unknown) => { setRefused({ id: party.id, sentences: error instanceof Refusal ? error.sentences : [String(error)] }); return false; },
    );
  };
  const yes = async (call: Call, requests: DeskRequest[]) => {
    setRefused(null);
    try {
      for (const request of requests) await api.desk(request);
      setSaid(words.calls.yesRecorded(call.name, requests.length));
      return true;
    } catch (error) {
      setRefused({ id: call.id, sentences: error instanceof Refusal ? error.sentences : [String(error)] });
      return false;
    } finally {
      loaded.again();
    }
  };
  return <Shown loaded={loaded}>{(data) => <CallListPage data={data} office={office} weeks={weeks} said={said} refused={refused} record={record} book={book} yes={yes} />}</Shown>;
}

interface Props {
  data: CallListData;
  office: Office;
  weeks: number;
  said: string;
  refused: { id: string; sentences: string[] } | null;
  record: (call: Call, request: CallRequest) => Promise<boolean>;
  book: (party: Party, request: BookingRequest) => Promise<boolean>;
  yes: (call: Call, requests: DeskRequest[]) => Promise<boolean>;
}

/** Calls that may let more in tomorrow, then the others that are needed, then those with nothing to ask; each part as the server sorts it. */
export function partsOf(calls: Call[]): { first: Call[]; then: Call[]; rest: Call[] } {
  const needed = calls.filter((c) => c.needed);
  return { first: needed.filter((c) => c.jobs_let_in_tomorrow), then: needed.filter((c) => !c.jobs_let_in_tomorrow), rest: calls.filter((c) => !c.needed) };
}

export function CallListPage(props: Props) {
  const { data, office, weeks } = props;
  const w = words.calls;
  const tomorrow = dayName(data.tomorrow, office.today);
  const { first, then, rest } = partsOf(data.customers ?? []);
  const list = (calls: Call[]) => <ul class="plain calls">{calls.map((call) => <CallItem key={call.id} {...props} call={call} tomorrow={tomorrow} />)}</ul>;
  return (
    <>
      <h1>{data.headline || w.title}</h1>
      <div class="actions">
        <label class="field">{w.weeks}
          <select value={weeks} onChange={(event) => (location.hash = address("calls", event.currentTarget.value))}>
            {[1, 2, 3, 4, 6, 8, 12].map((n) => <option key={n} value={n}>{w.weeksAhead(n)}</option>)}
          </select>
        </label>
      </div>
      <p role="status" class={props.said ? "said" : undefined}>{props.said}</p>
      {!data.tomorrow_planned && <p class="small">{w.notPlanned(tomorrow)} <a href={address("tomorrow", data.tomorrow)}>{w.planIt}</a></p>}
      {first.length + then.length === 0 && <Empty><p>{w.none}</p></Empty>}
      <PartyCalls parties={data.parties ?? []} office={office} tomorrow={tomorrow} refused={props.refused} book={props.book} />
      {first.length > 0 && <><h2>{w.first(tomorrow)}</h2>{list(first)}</>}
      {then.length > 0 && <><h2>{first.length > 0 ? w.then : w.pressing}</h2>{list(then)}</>}
      {rest.length > 0 && <details class="rest"><summary>{w.nothingToAsk(rest.length)}</summary>{list(rest)}</details>}
    </>
  );
}

function CallItem(props: Props & { call: Call; tomorrow: string }) {
  const { call, office, tomorrow, refused } = props;
  const w = words.calls;
  const head = useRef<HTMLHeadingElement>(null);
  const whom = call.whom ?? [];
  // A call that was recorded may leave its place in the list; who works by keyboard goes on where it stood.
  const record = async (request: CallRequest) => {
    const item = head.current?.closest("li");
    const next = (item?.nextElementSibling ?? item?.previousElementSibling)?.querySelector<HTMLElement>("h3");
    const done = await props.record(call, request);
    if (done) (next ?? document.getElementById("page"))?.focus({ preventScroll: false });
    return done;
  };
  return (
    <li class="call">
      <h3 ref={head} tabIndex={-1}>
        {call.name}
        {call.jobs_let_in_tomorrow ? <strong class="mark">{w.letsIn(call.jobs_let_in_tomorrow, tomorrow)}</strong> : null}
      </h3>
      {call.on_hold && <p class="warn">{w.onHold(call.on_hold)}</p>}
      <p class="facts">{[call.ask_by && w.askBy(dayName(call.ask_by, office.today), daysLeft(call.days_left ?? null)), `${w.jobs(call.jobs, (call.sites ?? []).length, duration(call.minutes))}.`].filter(Boolean).join(" ")}</p>
      {(call.lets_in_tomorrow ?? []).length > 0 && <ul class="lets-in">{call.lets_in_tomorrow!.map((s) => <li key={s}>{s}</li>)}</ul>}
      <div class="call-body">
        <div>
          <h4>{w.say}</h4>
          <p class="say">{call.say}</p>
        </div>
        <div>
          <h4>{w.whom}</h4>
          {whom.length === 0 ? <p>{w.nobody}</p> : (
            <ul class="whom">
              {whom.map((person) => (
                <li key={person.person}>
                  <strong>{person.name}</strong>{" "}
                  {person.phone ? <a href={`tel:${person.phone.replace(/[^\d+]/g, "")}`}>{person.phone}</a> : <span class="soft">{w.noPhone}</span>}
                  {person.wrong_number && <span class="warn"> {w.wrong}</span>}
                  <span class="facts">{(person.roles ?? []).join(", ")}</span>
                </li>
              ))}
            </ul>
          )}
        </div>
      </div>
      {refused?.id === call.id && <Refused title={words.states.refused} sentences={refused.sentences} />}
      <CallOutcomes call={call} today={office.today} zone={office.zone} record={record} />
      <CallRepairYes call={call} record={(requests) => props.yes(call, requests)} />
      <details><summary>{w.details((call.sites ?? []).length)}</summary>{(call.sites ?? []).map((site) => <SiteOfCall key={site.site.id} site={site} today={office.today} />)}</details>
    </li>
  );
}

const shownDays = 6;

function SiteOfCall(props: { site: CallSite; today: string }) {
  const { site, today } = props;
  const w = words.calls;
  return (
    <section class="call-site">
      <h4><a href={address("records", "sites", site.site.id)}>{site.site.name}</a></h4>
      <p class="facts">{[site.site.address, site.deadline && w.deadline(dayName(site.deadline, today), daysLeft(site.days_left))].filter(Boolean).join(" · ")}</p>
      <dl class="pairs">
        <dt>{w.access}</dt><dd>{site.access_hours}</dd>
        {site.notice && <><dt>{words.records.columns.sites[4]}</dt><dd>{site.notice}</dd></>}
        {site.agreed && <><dt>{w.agreed}</dt><dd>{site.agreed.map((a) => a.words).join(" ")}</dd></>}
        {site.last && <><dt>{w.last}</dt><dd>{site.last.join(" ")}</dd></>}
      </dl>
      {site.notice_late ? <p class="warn">{w.noticeLate}</p> : site.notice_until && <p>{w.noticeUntil(site.notice_days ?? 0, dayName(site.notice_until, today))}</p>}
      {(site.feeds ?? []).map((feed) => (
        <div key={feed.id}>
          <p><strong>{feed.name}{feed.fire && !/fire/i.test(feed.name) && `, ${words.leftOff.fire}`}</strong>: {(feed.jobs ?? []).map((j) => [j.work ?? j.kind, j.type, j.size, j.place].filter(Boolean).join(", ")).join("; ")}
            <span class="facts">{w.window} {feed.shutdown_window}; {w.dry(duration(feed.dry_minutes))}</span></p>
          <p class="facts">{w.open}: {(feed.open ?? []).length === 0 ? w.noOpen : (feed.open ?? []).slice(0, shownDays).map((d) => [`${d.name} ${d.hours}`, d.agreed && w.agreedDay, d.too_soon && w.tooSoon].filter(Boolean).join(", ")).join("; ")}</p>
        </div>
      ))}
    </section>
  );
}
