import { describe, expect, it } from "vitest";
import { sentencesOf, Refusal } from "../src/api";
import { backlog, day, dueList } from "../src/fixtures";
import { concerns } from "../src/live";
import { address, parse } from "../src/route";
import { crewMark } from "../src/ui/crewmarks";
import { hoursOf } from "../src/views/DayPicture";
import { placeIn } from "../src/views/drag";
import { changedValues, grouped } from "../src/views/Settings";
import { stack } from "../src/views/Ladder";
import { townOf } from "../src/views/towns";
import { words } from "../src/words";

describe("what a refusal says (RFC 9457)", () => {
  it("gives the detail, then each fault with its place", () =>
    expect(sentencesOf({ title: "t", detail: "Two rules say no.", errors: [{ message: "No gauge." }, { message: "Too late.", location: "body.at" }] }, 422))
      .toEqual(["Two rules say no.", "No gauge.", "Too late. (body.at)"]));
  it("does not say the same twice", () => expect(sentencesOf({ detail: "No gauge.", errors: [{ message: "No gauge." }] }, 422)).toEqual(["No gauge."]));
  it("says something even without words", () => expect(sentencesOf({}, 502)[0]).toContain("502"));
});

it.each([[422, true, true], [404, true, true], [404, false, false], [409, true, true], [429, true, false], [401, true, false], [500, true, false], [0, false, false]])(
  "status %s of our own server (%s): refused for good is %s", (status, own, final) => expect(new Refusal(status, [], own).final).toBe(final));

describe("live changes", () => {
  const page = { kinds: ["day", "feed"], date: "2026-03-03" };
  it.each([
    [{ kinds: ["feed"], dates: [] }, true],
    [{ kinds: ["gauge"], dates: [] }, false],
    [{ kinds: ["day"], dates: ["2026-03-03"] }, true],
    [{ kinds: ["day"], dates: ["2026-03-04"] }, false],
    [{ kinds: ["resync"], dates: [] }, true],
  ])("%j concerns the page: %s", (change, yes) => expect(concerns(page, change)).toBe(yes));
});

it("every address leads back to its parts", () => {
  for (const parts of [["tomorrow", "2026-03-03", "visit", "s 1/feed#2"], ["backlog"], []]) expect(parse(address(...parts))).toEqual(parts);
});

it("crews past the eighth share colours but not patterns", () => {
  for (let n = 0; n < 8; n++) {
    expect(crewMark(n).colour).toBe(crewMark(n + 8).colour);
    expect(crewMark(n).dash).not.toBe(crewMark(n + 8).dash);
  }
});

it("the day's picture spans whole hours around everything", () => {
  const hours = hoursOf(day)!;
  const all = day.routes!.flatMap((r) => [r.start, r.end]).map(Date.parse);
  expect(hours.from).toBeLessThanOrEqual(Math.min(...all));
  expect(hours.from + hours.minutes * 60_000).toBeGreaterThanOrEqual(Math.max(...all));
  expect(hours.minutes % 60).toBe(0);
});

it("the ladder keeps every row whose deadline is known, in order", () => {
  const columns = stack(backlog.rows!.filter((r) => r.days_left !== undefined));
  expect(columns.flatMap(([, rows]) => rows)).toHaveLength(8);
  expect(columns.map(([d]) => d)).toEqual([...columns.map(([d]) => d)].sort((a, b) => a - b));
});

it.each([["12 Mill Street, Quellham", "Quellham"], ["12 Mill Street, Old Orchard 50123", "Old Orchard"], ["12 Mill Street", ""]])("the town of %j is %j", (a, town) => expect(townOf(a)).toBe(town));

it("every action of a list has its words", () => {
  for (const action of Object.keys(dueList.counts)) expect(words.intake.actions[action]).toBeTruthy();
});

describe("a visit dragged in the day's picture", () => {
  const route = day.routes![0]!;
  const middle = (v: { order: number }) => v.order * 100;
  it.each([[50, 1], [150, 2], [850, 9]])("dropped at x %d of another row becomes stop %d", (x, place) =>
    expect(placeIn(route, day.routes![1]!.visits![0]!, x, middle)).toBe(place));
  it("does not count itself in its own row", () => expect(placeIn(route, route.visits![2]!, 450, middle)).toBe(4));
});

describe("settings", () => {
  const setting = (name: string, number: number, group = "Money") => ({ name, number, default: 10, group, words: name, unit: "USD" });
  it("are shown by their groups, in the server's order", () => {
    expect(grouped([setting("a", 1), setting("b", 2, "Driving"), setting("c", 3)]).map(([group, list]) => [group, list.map((s) => s.name)])).toEqual([["Money", ["a", "c"]], ["Driving", ["b"]]]);
  });
  it("are sent when they are numbers other than what holds", () => {
    expect(changedValues([setting("a", 1), setting("b", 2), setting("c", 3), setting("d", 4)], { a: "1.0", b: "2.5", c: "" })).toEqual([{ name: "b", number: 2.5 }]);
  });
});
