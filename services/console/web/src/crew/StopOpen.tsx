import { useState } from "preact/hooks";
import { phoneWords } from "../phonewords";
import { stopWords } from "../stopwords";
import { clock, dated, distance, duration, minutesBetween, span } from "../time";
import type { CrewDay, Feed, Outcome, Stop, Work } from "../types";
import { words } from "../words";
import { AsLeft } from "./AsLeft";
import { workKey } from "./draft";
import { FireCalls, OnTest } from "./FireCalls";
import { useKept } from "./kept";
import { isBack, unfinished } from "./local";
import { tap } from "./phone";
import { PhonePosition } from "./PhonePosition";
import { WorkForm, workTitle } from "./WorkForm";

/** A stop opened in place: what to know, then what to do, top to bottom. */
export function StopOpen(props: { day: CrewDay; stop: Stop; now: number }) {
  const { day, stop, now } = props;
  const here = Boolean(stop.here_since) && !stop.left_at;
  const site = stop.site.id;
  return (
    <div class="stop-open">
      <p>{[stop.site.address, stop.drive_m ? distance(stop.drive_m) : ""].filter(Boolean).join(" · ")}</p>
      <WaterLines stop={stop} zone={day.zone} now={now} />
      {stop.late && !here && !stop.left_at && <p class="warn">{phoneWords.late(clock(stop.late.reached, day.zone), duration(stop.late.minutes), !stop.late.begin)}</p>}
      {(stop.lacks ?? []).length > 0 && !stop.left_at && (
        <div class="warn" role="note">
          <strong>{stopWords.lacks}</strong>
          <ul>{stop.lacks!.map((lack) => <li key={lack}>{lack}</li>)}</ul>
          <p class="small">{stopWords.lacksNote}</p>
        </div>
      )}
      {(stop.notes ?? []).filter((note) => !isDecision(note, stop)).map((note) => <p key={note}>{dated(note)}</p>)}
      {(stop.cautions ?? []).map((caution) => <p key={caution} class="caution">{caution}</p>)}
      {stop.access_words && <p><strong>{words.crew.access}</strong> {stop.access_words}</p>}
      {(stop.bring ?? []).length > 0 && <p><strong>{words.crew.bring}</strong> {stop.bring!.join(", ")}</p>}
      {(stop.contacts ?? []).length > 0 && (
        <ul class="plain">{byPerson(stop.contacts!).map((c) => <li key={c.name}>{c.roles.join(", ")}: {c.name} {c.phone && <a class="choice" href={`tel:${c.phone}`}>{c.phone}</a>}</li>)}</ul>
      )}
      {!here && !stop.left_at && (stop.feeds ?? []).filter((f) => f.as_left).map((f) => <p key={f.id}>{words.crew.lastLeft(f.name, f.as_left!)}</p>)}
      {!here && !stop.left_at && (
        <div class="checks">
          <button type="button" class="main wide" onClick={() => tap(words.crew.labels.arrive(stop.site.name), { kind: "arrive", site })}>{words.crew.arrive}</button>
        </div>
      )}
      {here && (
        <>
          <p>{words.crew.hereSince(clock(stop.here_since!, day.zone))}</p>
          {stop.ask_position && <PhonePosition stop={stop} />}
          <div class="checks">{(stop.feeds ?? []).map((feed) => <FeedRow key={feed.id} feed={feed} stop={stop} zone={day.zone} now={now} />)}</div>
          <WorkList day={day} stop={stop} />
          {(stop.feeds ?? []).filter((feed) => !feed.dry_since && isBack(feed)).map((feed) => (
            <FireCalls key={feed.id} feed={feed} stop={stop} zone={day.zone} now={now} when="after" />
          ))}
          {(stop.feeds ?? []).map((feed) => <AsLeft key={feed.id} feed={feed} stop={stop} zone={day.zone} />)}
          <Leaving stop={stop} />
        </>
      )}
      {!stop.left_at && <NoAccess stop={stop} />}
      {stop.left_at && (
        <div class="checks">
          <button type="button" class="wide" onClick={() => tap(words.crew.labels.arrive(stop.site.name), { kind: "arrive", site })}>{stopWords.again}</button>
        </div>
      )}
    </div>
  );
}

/** One line a person, with everything that person may do. */
function byPerson(contacts: NonNullable<Stop["contacts"]>): { name: string; phone?: string; roles: string[] }[] {
  const people = new Map<string, { name: string; phone?: string; roles: string[] }>();
  for (const { role, name, phone } of contacts) {
    const known = people.get(name + phone);
    if (known) known.roles.push(role);
    else people.set(name + phone, { name, phone, roles: [role] });
  }
  return [...people.values()];
}

/** When the water may be off, and how much of that is left once it has begun. */
function WaterLines(props: { stop: Stop; zone: string; now: number }) {
  const offs = props.stop.water_off ?? [];
  if (offs.length === 0) return <p class="water-line">{words.crew.noWaterOff}</p>;
  return (
    <>
      {offs.flatMap((off) => (off.windows ?? []).map((w) => (
        <p key={off.feed + w.open} class="water-line">
          {offs.length > 1 && `${off.name}: `}
          <strong>{words.crew.mayBeOff(span(w.open, w.close, props.zone))}</strong>
          {windowNote(w, props.now)}
        </p>
      )))}
      {offs.map((off) => <Decide key={off.feed} off={off} many={offs.length > 1} zone={props.zone} now={props.now} />)}
    </>
  );
}

/** Said by the water lines already. */
const isDecision = (note: string, stop: Stop) => (stop.water_off ?? []).some((off) => note.startsWith(`${off.name}: decide by `) || note.startsWith(`${off.name}: test only;`));

/** Whether there is time for a repair if a test fails: until when, or not at all. */
function Decide(props: { off: NonNullable<Stop["water_off"]>[number]; many: boolean; zone: string; now: number }) {
  const { off, many, zone, now } = props;
  const lead = many ? `${off.name}: ` : "";
  if (off.test_only) return <p class="water-line">{lead}<strong>{stopWords.decide.testOnly}</strong></p>;
  if (!off.decide_by) return null;
  const left = minutesBetween(now, off.decide_by);
  return (
    <p class="water-line">{lead}<strong>{left > 0 ? stopWords.decide.by(clock(off.decide_by, zone)) : stopWords.decide.over(clock(off.decide_by, zone))}</strong>
      {left > 0 && left <= 120 && ` · ${words.crew.left(duration(left))}`}</p>
  );
}

function windowNote(w: { open: string; close: string }, now: number): string {
  if (now < Date.parse(w.open)) return "";
  const left = minutesBetween(now, w.close);
  return left > 0 ? ` · ${words.crew.left(duration(left))}` : ` · ${words.crew.over}`;
}

function FeedRow(props: { feed: Feed; stop: Stop; zone: string; now: number }) {
  const { feed, stop } = props;
  const site = stop.site.id;
  const [by, setBy] = useKept(`shut ${feed.id}`, "");
  if (feed.dry_since) {
    return (
      <>
      <OnTest feed={feed} zone={props.zone} now={props.now} />
      <p class="caution small">{stopWords.water.refill}</p>
      <button type="button" class="main wide" onClick={() => tap(words.crew.labels.restore(feed.name), { kind: "restore", feed: feed.id, site })}>
        {words.crew.waterOn(feed.name)}
        <span class="facts on-main">{words.crew.offSince(clock(feed.dry_since, props.zone), duration(Math.max(0, minutesBetween(feed.dry_since, props.now))))}</span>
      </button>
      </>
    );
  }
  return (
    <>
      {feed.other && <p class="caution">{words.crew.proveOpen(feed.other)}</p>}
      {feed.fire && (feed.calls ?? []).length === 0 && <p class="caution">{words.crew.fireCaution}</p>}
      {!isBack(feed) && <FireCalls feed={feed} stop={stop} zone={props.zone} now={props.now} when="before" />}
      <label class="field">{stopWords.water.whoShut}
        <select value={by} onChange={(event) => setBy(event.currentTarget.value)}>
          <option value="">{stopWords.water.us}</option>
          {[stopWords.water.purveyor, stopWords.water.engineer].map((who) => <option key={who}>{who}</option>)}
        </select>
      </label>
      <button type="button" class="wide" onClick={() => tap(words.crew.labels.shut(feed.name), { kind: "shut-off", feed: feed.id, site, ...(by ? { by } : {}) })}>{words.crew.waterOff(feed.name)}</button>
    </>
  );
}

function WorkList(props: { day: CrewDay; stop: Stop }) {
  const [open, setOpen] = useKept<string>(`open work ${props.day.date} ${props.stop.key}`, "");
  return (
    <ol class="works">
      {(props.stop.work ?? []).map((work) => (
        <li key={workKey(work)}>
          <button type="button" class="wide" aria-expanded={open === workKey(work)} onClick={() => setOpen(open === workKey(work) ? "" : workKey(work))}>
            {`${work.work || words.work}: ${workTitle(work)}`}
            <span class="facts">{workFacts(work)}</span>
          </button>
          {work.outcome && open !== workKey(work) && <NextStep day={props.day} work={work} />}
          {open === workKey(work) && <WorkForm day={props.day} stop={props.stop} work={work} done={() => setOpen("")} />}
        </li>
      ))}
    </ol>
  );
}

/** What follows what was recorded. */
function NextStep(props: { day: CrewDay; work: Work }) {
  const next = props.day.next_steps[`${props.work.outcome}/${props.work.stopped?.why ?? ""}`] ?? props.day.next_steps[props.work.outcome!];
  return next ? <p class="small">{stopWords.outcome.next} {next}</p> : null;
}

const workFacts = (work: Work) => [
  work.outcome && words.crew.done(words.crew.outcomes[work.outcome as Outcome] ?? work.outcome),
  [work.maker, work.model].filter(Boolean).join(" "), work.serial && words.crew.serial(work.serial), work.purveyor,
].filter(Boolean).join(" · ");

function Leaving(props: { stop: Stop }) {
  const { stop } = props;
  const open = unfinished(stop);
  const notes = [
    ...open.dry.map((feed) => words.crew.stillOff(feed.name)),
    ...open.work.map((work) => words.crew.noOutcome(workTitle(work))),
    ...open.notLeft.map((feed) => words.crew.sayLeft(feed.name)),
  ];
  return (
    <div class="checks">
      {notes.length > 0 && <ul class="warn">{notes.map((note) => <li key={note}>{note}</li>)}</ul>}
      <button type="button" class={notes.length === 0 ? "main wide" : "wide"} onClick={() => tap(words.crew.labels.leave(stop.site.name), { kind: "leave", site: stop.site.id })}>
        {notes.length === 0 ? words.crew.leave : words.crew.leaveAnyway}
      </button>
    </div>
  );
}

function NoAccess(props: { stop: Stop }) {
  const { stop } = props;
  const [open, setOpen] = useState(false);
  const [why, setWhy, forget] = useKept(`no access ${stop.key}`, "");
  const jobs = (stop.work ?? []).filter((w) => !w.outcome).map((w) => ({ assembly: w.assembly, job: w.job }));
  return (
    <div class="checks">
      <button type="button" class="wide" aria-expanded={open} onClick={() => setOpen(!open)}>{words.crew.noAccess}</button>
      {open && (
        <form onSubmit={(event) => { event.preventDefault(); void tap(words.crew.labels.noAccess(stop.site.name), { kind: "no-access", site: stop.site.id, jobs, words: why }); forget(); setOpen(false); }}>
          <label class="field">{words.crew.noAccessWhy}<input value={why} required onInput={(event) => setWhy(event.currentTarget.value)} /></label>
          <div class="actions"><button type="submit" class="main">{words.crew.recordNoAccess}</button></div>
        </form>
      )}
    </div>
  );
}
