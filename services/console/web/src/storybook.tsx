// Development only: every state of every page, from fixtures, each at its own
// address (#/name). Nothing here talks to a server.

import { render } from "preact";
import type { ComponentChildren } from "preact";
import * as fixtures from "./fixtures";
import type { Loaded } from "./loaded";
import { address, followAddress, path } from "./route";
import "./style.css";
import type { Day } from "./types";
import { Frame } from "./ui/Frame";
import { Shown } from "./ui/States";
import { Planning } from "./views/Planning";
import { DayPage } from "./views/Tomorrow";

const nothing = () => {};
const actions = { hold: nothing, move: nothing, leaveOut: nothing };
const loaded = <T,>(part: Partial<Loaded<T>>): Loaded<T> => ({ data: null, readAt: Date.UTC(2026, 2, 2, 14, 2), loading: false, failed: null, again: nothing, ...part });

const dayStory = (day: Day, refused: string[] | null = null) => (
  <DayPage day={day} office={fixtures.office} refused={refused} act={nothing} actions={actions} chosen="v1-3" choose={nothing} />
);

const stories: Record<string, () => ComponentChildren> = {
  "tomorrow proposed": () => dayStory(fixtures.day),
  "tomorrow empty": () => dayStory(fixtures.dayEmpty),
  "tomorrow sent out": () => dayStory(fixtures.daySent),
  "tomorrow amend": () => dayStory(fixtures.dayAmended),
  "tomorrow refused": () => dayStory(fixtures.day, fixtures.refusals),
  "tomorrow planning": () => <Planning date={fixtures.tomorrow} seen={[9800, 7400, 6100, 6050, 5820, 5790].map((best_cost, i) => ({ elapsed_s: i * i, best_cost, left_out: 20 - 2 * i }))} />,
  "state loading": () => <Shown loaded={loaded({ loading: true })}>{() => null}</Shown>,
  "state failed": () => <Shown loaded={loaded({ failed: "The server did not answer. Check that it is running, then try again." })}>{() => null}</Shown>,
  "state stale": () => <Shown loaded={loaded({ data: fixtures.day, failed: "no answer" })}>{(day) => dayStory(day)}</Shown>,
};

function Storybook() {
  const name = path.value[0] ?? "";
  const story = stories[name];
  if (name.startsWith("phone") && story) return <main>{story()}</main>;
  return (
    <Frame office={fixtures.office}>
      {story ? story() : <ul>{Object.keys(stories).map((n) => <li key={n}><a href={address(n)}>{n}</a></li>)}</ul>}
    </Frame>
  );
}

followAddress();
render(<Storybook />, document.getElementById("app")!);
