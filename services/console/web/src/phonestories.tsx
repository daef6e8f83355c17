// Development only: the states of the phone, from fixtures, for the storybook.

import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { DaySheet } from "./crew/DaySheet";
import { Foot } from "./crew/Foot";
import { outcomes, WorkForm } from "./crew/WorkForm";
import * as fixtures from "./fixtures";
import type { Item } from "./outbox";
import { phoneWords } from "./phonewords";
import { stopWords } from "./stopwords";
import type { CrewDay, Feed, Outcome, Stop } from "./types";
import { EnrolPhone } from "./signin/SetUp";
import { SignIn } from "./signin/SignIn";
import { words } from "./words";

const nothing = () => {};
const { crewDay, zone } = fixtures;
const second = crewDay.stops![1]!;

type FootProps = Parameters<typeof Foot>[0];
const foot = (more: Partial<FootProps> = {}) => (
  <Foot items={[]} offline={false} zone={zone} again={nothing} aside={nothing} sendNow={nothing} save={nothing} {...more} />
);
const phone = (page: ComponentChildren, more: Partial<FootProps> = {}) => <>{page}{foot(more)}</>;
const form = (begin: Parameters<typeof WorkForm>[0]["begin"], work = second.work![0]!) =>
  phone(<><h1>A</h1><WorkForm day={crewDay} stop={second} work={work} done={nothing} begin={begin} /></>);

const waiting = fixtures.outbox.filter((item) => item.state === "waiting");
const alarmed: Item[] = fixtures.outbox.map((item) => (item.state === "sent" ? { ...item, answer: ["The office took this stop back at 10:02 and gave it to crew C. What you recorded is kept."] } : item));

/** The crew at its second stop, with what the case needs. */
function atStop(more: Partial<Stop> = {}, feed: Partial<Feed> = {}): CrewDay {
  const stop: Stop = { ...second, key: "here", here_since: crewDay.now, left_at: undefined, feeds: second.feeds!.map((f) => ({ ...f, dry_since: undefined, ...feed })), ...more };
  return { ...crewDay, stops: [stop] };
}
const call = (role: string, on_test = false) => ({ role, on_test, before: "Say what is out of service.", after: "Say that it is back.", contacts: [{ role, name: "Ida", phone: "555-0100" }] });
const fire: Partial<Feed> = { fire: true, calls: [call("impairment coordinator"), call("alarm company", true)], checks: ["signals received, panel normal"] };

/** Opens what stands behind some buttons, as a thumb would. */
function Pressed(props: { names: string[]; children: ComponentChildren }) {
  const here = useRef<HTMLDivElement>(null);
  useEffect(() => {
    for (const name of props.names) [...here.current!.querySelectorAll("button")].find((b) => b.textContent!.includes(name))?.click();
  }, []);
  return <div ref={here}>{props.children}</div>;
}

const sheet = (day: CrewDay, offline = false) => <DaySheet day={day} offline={offline} />;

export const phoneStories: Record<string, () => ComponentChildren> = {
  "phone day": () => phone(sheet(crewDay)),
  "phone offline": () => phone(sheet({ ...crewDay, now: "2026-03-02T12:10:00Z" }, true), { items: fixtures.outbox, offline: true }),
  "phone late": () => phone(sheet({ ...crewDay, stops: crewDay.stops!.map((stop) => (stop.here_since ? stop : { ...stop, late: { reached: stop.leave, begin: stop.leave, minutes: 25 } })) })),
  "phone not sent": () => phone(sheet({ ...crewDay, status: "not-sent", stops: [] })),
  "phone taken back": () => phone(sheet({ ...crewDay, status: "taken-back", stops: [] })),
  "phone at a stop": () => phone(sheet(atStop())),
  "phone no position": () => phone(sheet(atStop({ ask_position: true, lacks: ["G-1's certificate ran out on 1 Mar 2026. A test with it may not count; call the office before testing."] }))),
  "phone fire line": () => phone(sheet(atStop({}, fire))),
  "phone fire line, water off": () => phone(sheet(atStop({}, { ...fire, dry_since: crewDay.now, on_test_until: "2026-03-03T16:00:00Z" }))),
  "phone left otherwise": () => phone(<Pressed names={[words.crew.otherwise]}>{sheet(atStop())}</Pressed>),
  "phone left shut": () => phone(<Pressed names={[stopWords.leaveShut]}>{sheet(atStop({}, { dry_since: crewDay.now }))}</Pressed>),
  "phone no access": () => phone(<Pressed names={[words.crew.noAccess]}>{sheet(atStop({ here_since: undefined }))}</Pressed>),
  "phone stop over": () => phone(sheet(atStop({ here_since: undefined, left_at: crewDay.now }))),

  "phone form": () => form({}),
  "phone form, repair": () => form({ repaired: true }, fixtures.returnWork),
  ...Object.fromEntries(outcomes.map((outcome: Outcome) => [`phone form, ${outcome}`, () => form({ outcome, ...(outcome === "could-not-test" ? { why: "shut-off-would-not-hold" } : {}) })])),
  "phone form, history": () => form({}, {
    ...second.work![0]!, past: [{ on: "2025-03-04", words: "Check 1 read 1.6 psid, check 2 read 1.4 psid; passed." }],
    kits_at_hand: [{ code: "K-100-rubber", where: "truck of crew A", count: 2, mine: true }],
  }),
  "phone form, plate": () => phone(<><h1>A</h1><Pressed names={["The plate says otherwise"]}><WorkForm day={crewDay} stop={second} work={second.work![0]!} done={nothing} /></Pressed></>),

  "phone outbox": () => phone(sheet(crewDay), { items: alarmed, begin: true }),
  "phone outbox, empty": () => phone(sheet(crewDay), { begin: true }),
  "phone outbox, two refused": () => phone(sheet(crewDay), { items: [1, 2].map((i) => ({ ...fixtures.outbox[2]!, seq: i, request: { ...fixtures.outbox[2]!.request, command_id: String(i).repeat(32) } })), begin: true }),
  "phone storage full": () => phone(sheet(crewDay, true), { items: waiting, offline: true, lossy: { entries: 1, photos: 2 } }),
  "phone stores nothing": () => phone(sheet(crewDay), { items: waiting, stores: false, lossy: { entries: 1, photos: 0 } }),
  "phone sign in to send": () => phone(sheet(crewDay), { items: waiting, signedOut: true }),
  "phone newer version": () => phone(<><p class="said" role="status">{phoneWords.newer} {phoneWords.useNote} <button type="button">{phoneWords.useIt}</button></p>{sheet(crewDay)}</>),
  "phone enrol": () => <EnrolPhone enrol={async () => {}} />,
  "phone sign in": () => <SignIn said="" signIn={async () => {}} />,
};
