// Development only: every state of every page, from fixtures, each at its own
// address (#/name). Nothing here talks to a server.

import { render } from "preact";
import type { ComponentChildren } from "preact";
import * as fixtures from "./fixtures";
import * as office from "./deskfixtures";
import * as other from "./otherfixtures";
import * as alarming from "./alarmfixtures";
import * as papers from "./paperfixtures";
import type { Loaded } from "./loaded";
import { phoneStories } from "./phonestories";
import { address, followAddress, path } from "./route";
import "./style.css";
import "./records.css";
import "./papers.css";
import type { Day } from "./types";
import { Frame } from "./ui/Frame";
import { Shown } from "./ui/States";
import { AlarmsPage } from "./views/Alarms";
import { BacklogPage, History } from "./views/Backlog";
import { CorrectReadingsPage } from "./views/CorrectReadings";
import { Entries, LongStory } from "./views/Entries";
import { BulkEditPage } from "./views/BulkEdit";
import { FillFeedsList } from "./views/FillFeeds";
import { ExpiriesPage } from "./views/Expiries";
import { FilingPage } from "./views/Filing";
import { Intake, ListPage } from "./views/Intake";
import { LeftOffPage } from "./views/LeftOff";
import { OtherwisePage, type Asked } from "./views/Otherwise";
import { PaperResultPage } from "./views/PaperResult";
import { ReportPage } from "./views/Report";
import { words } from "./words";
import { DayPage } from "./views/Tomorrow";

const nothing = () => {};
const actions = { hold: nothing, move: nothing, leaveOut: nothing };
const loaded = <T,>(part: Partial<Loaded<T>>): Loaded<T> => ({ data: null, readAt: Date.UTC(2026, 2, 2, 14, 2), loading: false, failed: null, again: nothing, show: nothing, ...part });

const dayStory = (day: Day, refused: string[] | null = null) => (
  <DayPage day={day} office={fixtures.office} refused={refused} act={nothing} actions={actions} chosen="v1-3" choose={nothing} />
);

const otherwise = (day: Day, asked: Asked) => <OtherwisePage day={day} office={fixtures.office} asked={asked} suppose={nothing} rest={nothing} send={nothing} />;

const stories: Record<string, () => ComponentChildren> = {
  "tomorrow proposed": () => dayStory(fixtures.day),
  "tomorrow empty": () => dayStory(fixtures.dayEmpty),
  "tomorrow sent out": () => dayStory(fixtures.daySent),
  "tomorrow amend": () => dayStory(fixtures.dayAmended),
  "tomorrow refused": () => dayStory(fixtures.day, fixtures.refusals),
  "tomorrow planning": () => dayStory(fixtures.dayPlanning),
  "tomorrow stale": () => dayStory(fixtures.dayStale),
  "what if": () => otherwise(fixtures.day, { asking: false, data: null, refused: null, sent: false }),
  "what if asking": () => otherwise(fixtures.day, { asking: true, data: null, refused: null, sent: false }),
  "what if answered": () => otherwise(fixtures.day, { asking: false, data: other.supposed, refused: null, sent: false }),
  "what if refused": () => otherwise(fixtures.daySent, { asking: false, data: { ...other.supposed, refusals: other.refusals }, refused: fixtures.refusals, sent: false }),
  "rest of the day": () => otherwise(fixtures.daySent, { asking: false, data: other.rest, refused: null, sent: false }),
  "rest of the day kept": () => otherwise(fixtures.daySent, { asking: false, data: other.same, refused: null, sent: false }),
  "rest of the day sent": () => otherwise(fixtures.daySent, { asking: false, data: null, refused: null, sent: true }),
  "state loading": () => <Shown loaded={loaded({ loading: true })}>{() => null}</Shown>,
  "state failed": () => <Shown loaded={loaded({ failed: [words.states.unreachable] })}>{() => null}</Shown>,
  "state stale": () => <Shown loaded={loaded({ data: fixtures.day, failed: [words.states.unreachable] })}>{(day) => dayStory(day)}</Shown>,
  "filing": () => <FilingPage data={papers.filing} office={fixtures.office} purveyor="all" show="all" said="" refused={null} record={nothing} />,
  "filing refused": () => <FilingPage data={papers.filing} office={fixtures.office} purveyor="harrow" show="owed" said="" refused={fixtures.refusals} record={nothing} />,
  "filing empty": () => <FilingPage data={{ ...papers.filing, counts: { owed: 0, late: 0, not_known: 0, returned: 0, send_again: 0, filed: 0, accepted: 0 }, rows: [] }} office={fixtures.office} purveyor="all" show="owed" said="" refused={null} record={nothing} />,
  "report": () => <ReportPage data={papers.report} />,
  "expiries": () => <ExpiriesPage data={papers.expiries} asked={45} />,
  "expiries empty": () => <ExpiriesPage data={{ ...papers.expiries, rows: [] }} asked={45} />,
  "backlog": () => <BacklogPage office={fixtures.office} data={fixtures.backlog} refused={null} chosen={null} record={nothing} />,
  "backlog empty": () => <BacklogPage office={fixtures.office} data={{ ...fixtures.backlog, headline: "", rows: [] }} refused={null} chosen={null} record={nothing} />,
  "backlog history": () => <><h1>{words.backlog.title}</h1><History data={fixtures.history} today={fixtures.today} mended={nothing} /></>,
  "history mending": () => <><h1>{words.backlog.title}</h1><Entries entries={fixtures.history.entries!} zone={fixtures.zone} today={fixtures.today} mended={nothing} begin="e3" /></>,
  "history mending readings": () => <><h1>{words.backlog.title}</h1><Entries entries={fixtures.history.entries!} zone={fixtures.zone} today={fixtures.today} mended={nothing} begin="e2" /></>,
  "history of a site": () => <><h1>{words.story.title}</h1><LongStory entries={office.siteStory} earlier={40} zone={fixtures.zone} today={fixtures.today} lead={words.story.lead.sites} mended={nothing} more={nothing} /></>,
  "history empty": () => <><h1>{words.story.title}</h1><LongStory entries={[]} earlier={0} zone={fixtures.zone} today={fixtures.today} lead="" mended={nothing} more={nothing} /></>,
  "paper": () => <PaperResultPage office={fixtures.office} form={office.form} signed={fixtures.today} sign={nothing} />,
  "paper attached": () => <PaperResultPage office={fixtures.office} form={{ ...office.form, papers: office.papers }} signed={fixtures.today} sign={nothing} kept={{ name: "scan.pdf", sha256: "ab".repeat(32), bytes: 312_400 }} left />,
  "readings": () => <CorrectReadingsPage form={office.form} event="t1" done={false} recorded={nothing} />,
  "readings corrected": () => <CorrectReadingsPage form={office.form} event="t1" done recorded={nothing} />,
  "readings gone": () => <CorrectReadingsPage form={office.form} event="nothing" done={false} recorded={nothing} />,
  "alarms": () => <AlarmsPage alarms={alarming.alarms} zone={fixtures.zone} refused={null} settle={nothing} took={nothing} />,
  "alarms empty": () => <AlarmsPage alarms={[]} zone={fixtures.zone} refused={null} settle={nothing} took={nothing} />,
  "alarms refused": () => <AlarmsPage alarms={alarming.alarms} zone={fixtures.zone} refused={fixtures.refusals} settle={nothing} took={nothing} />,
  "alarms file taken": () => <AlarmsPage alarms={alarming.alarms.slice(0, 1)} zone={fixtures.zone} refused={null} settle={nothing} took={nothing} taken={alarming.taken} />,
  "left off": () => <LeftOffPage data={fixtures.leftOff} refused={null} record={nothing} />,
  "left off empty": () => <LeftOffPage data={{ ...fixtures.leftOff, rows: [] }} refused={null} record={nothing} />,
  "sheet": () => <BulkEditPage kind="sites" seen={null} said="" refused={null} read={nothing} take={nothing} />,
  "sheet differs": () => <BulkEditPage kind="sites" seen={office.sheet} said="" refused={null} read={nothing} take={nothing} />,
  "sheet taken": () => <BulkEditPage kind="sites" seen={null} said={words.bulk.done(2)} refused={fixtures.refusals} read={nothing} take={nothing} />,
  "sheet same": () => <BulkEditPage kind="sites" seen={{ ...office.sheet, rows: [], faults: [], new: 0 }} said="" refused={null} read={nothing} take={nothing} />,
  "fill": () => <><h1>{words.leftOff.head(0)}</h1><FillFeedsList data={office.unfilled} said={{ done: "", refused: [] }} record={nothing} /></>,
  "fill open": () => <><h1>{words.leftOff.head(0)}</h1><FillFeedsList data={office.unfilled} said={{ done: words.fill.done(2), refused: fixtures.refusals }} record={nothing} open="c1" /></>,
  "fill nothing": () => <><h1>{words.leftOff.head(0)}</h1><FillFeedsList data={{ customers: [] }} said={{ done: "", refused: [] }} record={nothing} /></>,
  "intake": () => <Intake office={fixtures.office} list={null} />,
  "intake list": () => <ListPage list={fixtures.dueList} office={fixtures.office} refused={null} act={nothing} />,
  "intake taken": () => <ListPage list={{ ...fixtures.dueList, taken: true }} office={fixtures.office} refused={null} act={nothing} />,
  ...phoneStories,
};

function Storybook() {
  const name = path.value[0] ?? "";
  const story = stories[name];
  document.body.classList.toggle("phone", name.startsWith("phone"));
  if (name.startsWith("phone") && story) return <main key={name}>{story()}</main>;
  return (
    <Frame key={name} office={fixtures.office}>
      {story ? story() : <ul>{Object.keys(stories).map((n) => <li key={n}><a href={address(n)}>{n}</a></li>)}</ul>}
    </Frame>
  );
}

followAddress();
render(<Storybook />, document.getElementById("app")!);
