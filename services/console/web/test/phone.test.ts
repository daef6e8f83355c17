import { describe, expect, it } from "vitest";
import { emptyDraft, emptyReading, missing, onlyClosed, readingsOf, repairOf, testsOf, type Draft } from "../src/crew/draft";
import { isBack, nextStop, unfinished, withTaps } from "../src/crew/local";
import { crewDay } from "../src/fixtures";
import type { Item, ItemState } from "../src/outbox";
import type { CrewDay, FieldRequest, Stop } from "../src/types";

const fresh: CrewDay = {
  ...crewDay,
  stops: crewDay.stops!.slice(0, 2).map((s): Stop => ({
    ...s, here_since: undefined, left_at: undefined,
    feeds: s.feeds!.map((f) => ({ ...f, dry_since: undefined, as_left: "in service" })), work: s.work!.map((w) => ({ ...w, outcome: undefined })),
  })),
};
const stop = fresh.stops![0]!;
const feed = stop.feeds![0]!.id;
const job = stop.work![0]!;

let minute = 0;
const tapped = (what: Partial<FieldRequest> & Pick<FieldRequest, "kind">, state: ItemState = "waiting"): Item => ({
  state, label: what.kind,
  request: { command_id: "0", happened: new Date(Date.UTC(2026, 2, 3, 12, minute++)).toISOString(), crew: fresh.crew.id, day: fresh.date, site: stop.site.id, ...what },
});
const first = (items: Item[]) => withTaps(fresh, items).stops![0]!;

describe("the day with its taps", () => {
  it("shows an arrival at once and asks anew how feeds are left", () => {
    const after = first([tapped({ kind: "arrive" })]);
    expect(after.here_since).toBeTruthy();
    expect(unfinished(after)).toMatchObject({ dry: [], notLeft: [{ id: feed }], work: [{ job: job.job }] });
  });

  it("follows the water off and on", () => {
    const off = tapped({ kind: "shut-off", feed });
    expect(first([off]).feeds![0]!.dry_since).toBe(off.request.happened);
    expect(first([off, tapped({ kind: "restore", feed })]).feeds![0]!.dry_since).toBeUndefined();
  });

  it("has nothing open when all is done, and goes on to the next stop", () => {
    const done = [
      tapped({ kind: "arrive" }), tapped({ kind: "shut-off", feed }), tapped({ kind: "restore", feed }),
      ...stop.work!.map((w) => tapped({ kind: "finish-job", assembly: w.assembly, job: w.job, outcome: "passed" })),
      tapped({ kind: "leave-feed", feed, condition: { service: "in-service", valves: [] } }),
    ];
    expect(unfinished(first(done))).toEqual({ dry: [], notLeft: [], work: [] });
    expect(nextStop(withTaps(fresh, [...done, tapped({ kind: "leave" })]))!.key).toBe(fresh.stops![1]!.key);
  });

  it("marks every open job of a stop without access, and leaves those with an outcome", () => {
    const after = first([tapped({ kind: "no-access" })]);
    expect(after.work!.every((w) => w.outcome === "no-access")).toBe(true);
    expect(after.left_at).toBeTruthy();
  });

  it("shows nothing of what was refused, of another day or of another crew", () => {
    expect(first([tapped({ kind: "arrive" }, "refused"), tapped({ kind: "arrive", day: "2026-03-04" }), tapped({ kind: "arrive", crew: "other" })]).here_since).toBeUndefined();
  });
});

describe("a form", () => {
  const rp = crewDay.stops![1]!.work![1]!;
  const typed = (component: string, number: string, result: "" | "held" = "") => ({ [`main ${component}`]: { ...emptyReading(component), number, result } });
  const read = { ...typed("relief", "2,6"), ...typed("check-1", "5.2"), ...typed("check-2", "", "held") };
  const draft: Draft = { ...emptyDraft, gauge: "g1", tester: "p1", procedure: "USC 10th", initial: read, outcome: "passed" };

  it("keeps the digits as typed, a comma for a point, and no reading where none was typed", () => {
    expect(readingsOf(rp.components!, read, "initial")).toEqual([
      { part: "main", component: "relief", phase: "initial", number: "2.6", unit: "psid" },
      { part: "main", component: "check-1", phase: "initial", number: "5.2", unit: "psid" },
      { part: "main", component: "check-2", phase: "initial", result: "held" },
    ]);
    expect(readingsOf(rp.components!, {}, "initial")).toEqual([]);
  });

  it("is the tester's verdict: what was found failed even when it passed after repair", () => {
    const repaired: Draft = { ...draft, outcome: "repaired-and-passed", repaired: true, final: read };
    const { initial, final } = testsOf(repaired, rp, "2026-03-03T12:00:00Z");
    expect(initial).toMatchObject({ says: "fail", gauge: "g1" });
    expect(final).toMatchObject({ says: "pass" });
    expect(final!.readings!.every((r) => r.phase === "final")).toBe(true);
  });

  it.each<[string, Partial<Draft>, string[]]>([
    ["nothing chosen", { outcome: "" }, ["outcome"]],
    ["a test without gauge", { gauge: "" }, ["gauge"]],
    ["a test without tester", { tester: "" }, ["tester"]],
    ["could not test, no reason", { outcome: "could-not-test", gauge: "" }, ["why"]],
    ["replaced without serial", { outcome: "replaced" }, ["serial"]],
    ["wrong type, not said which", { outcome: "wrong-type" }, ["seen"]],
    ["no access", { outcome: "no-access", gauge: "", tester: "" }, []],
    ["complete", {}, []],
  ])("%s", (_, part, lacks) => expect(missing({ ...draft, ...part })).toEqual(lacks));
});

describe("a repair", () => {
  const work = { ...crewDay.stops![1]!.work![1]!, parts: [{ code: "RK", item: "kit-7" }, { code: "RK", item: "kit-8" }] };
  const done = (did: "cleaned" | "fitted" | "closed", code = "") => ({ did, code, found: "" });

  it("is told by component, and each kit goes in once", () => {
    const draft: Draft = { ...emptyDraft, repaired: true, done: { "main relief": done("fitted", "RK"), "main check-1": done("fitted", "RK"), "main check-2": done("cleaned") } };
    const repair = repairOf(draft, work)!;
    expect(repair.components!.map((c) => `${c.component} ${c.did}`)).toEqual(["relief fitted", "check-1 fitted", "check-2 cleaned"]);
    expect(repair.fitted!.map((p) => p.item)).toEqual(["kit-7", "kit-8"]);
    expect(onlyClosed(draft)).toBe(false);
  });

  it("is none where everything was closed with the old parts, and nothing where nothing was opened", () => {
    const closed: Draft = { ...emptyDraft, repaired: true, done: { "main check-1": done("closed") } };
    expect(onlyClosed(closed)).toBe(true);
    expect(repairOf(closed, work)).toMatchObject({ fitted: [], components: [{ component: "check-1", did: "closed" }] });
    expect(repairOf({ ...closed, repaired: false }, work)).toBeNull();
  });
});

describe("a fire line", () => {
  const line = { ...stop.feeds![0]!, fire: true, calls: [{ role: "alarm company", before: "", after: "", on_test: true, contacts: [] }] };
  const day: CrewDay = { ...fresh, stops: [{ ...stop, feeds: [line] }] };
  const after = (items: Item[]) => withTaps(day, items).stops![0]!.feeds![0]!;
  const tell = (when: "before" | "after", until?: string) => tapped({ kind: "tell", feed, told: { when, role: "alarm company", ...(until ? { on_test_until: until } : {}) } });

  it("asks who is told that it is back only once it was shut and restored", () => {
    const told = tell("before", "2026-03-03T15:00:00Z");
    expect(isBack(after([told]))).toBe(false);
    expect(after([told]).on_test_until).toBe("2026-03-03T15:00:00Z");
    const back = [told, tapped({ kind: "shut-off", feed }), tapped({ kind: "restore", feed })];
    expect(isBack(after(back))).toBe(true);
    const done = after([...back, tell("after")]);
    expect(done.on_test_until).toBeUndefined();
    expect(done.calls![0]!.back_at).toBeTruthy();
  });
});

describe("meter readings and forward flow", () => {
  // Which forms ask for them: New York DOH-1013 (meter), Wisconsin (forward flow).
  const work = { type: "DCDA", profile: "usc-10", components: [] } as unknown as Parameters<typeof testsOf>[1];
  const test = (part: Partial<Draft>) => testsOf({ ...emptyDraft, outcome: "passed", ...part }, work, "2026-03-02T12:00:00Z").initial;
  it("go with the test as read", () =>
    expect(test({ waterMeter: " 004512 gal ", detectorMeter: "17.3 ft3", forwardFlow: "750" })).toMatchObject({ water_meter_reading: "004512 gal", detector_meter_reading: "17.3 ft3", forward_flow_gpm: 750 }));
  it("that were not read are left out", () => expect(Object.keys(test({ forwardFlow: "none" })!)).not.toEqual(expect.arrayContaining(["water_meter_reading"])));
  it("without a number no flow was measured", () => expect(test({ forwardFlow: "none" })).not.toHaveProperty("forward_flow_gpm"));
});
