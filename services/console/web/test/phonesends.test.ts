// Whatever happens between the phone and the server, and to the page itself:
// nothing that was tapped is lost, nothing counts twice, and the order stays.

import fc from "fast-check";
import { expect, it } from "vitest";
import { World } from "./phoneworld";

const long = 300_000; // ms; a busy machine takes its time

type Step = (world: World) => Promise<void>;
const tab = fc.nat(1), pick = fc.nat(5);
const kind = fc.constantFrom<"arrive" | "position">("arrive", "arrive", "arrive", "position"); // a position is refused by this server
const how = fc.constantFrom("answered", "answer lost", "answer late", "twice", "never arrives" as const);

const named = (name: string, arbitrary: fc.Arbitrary<Step>) => arbitrary.map((step) => Object.assign(step, { toString: () => name, [fc.toStringMethod]: () => name }));
const calm: fc.Arbitrary<Step>[] = [
  named("tap", fc.record({ tab, kind, count: fc.integer({ min: 1, max: 3 }) }).map((x) => (w) => w.tap(x.tab % w.tabs.length, x.kind, x.count))),
  named("sync", tab.map((t) => (w) => w.sync(t % w.tabs.length))),
  named("deliver", fc.record({ pick, how }).map((x) => (w) => w.deliver(x.pick, x.how))),
  named("deliver", fc.record({ pick, how }).map((x) => (w) => w.deliver(x.pick, x.how))),
  named("give up", pick.map((p) => (w) => w.giveUp(p))),
  named("late answer", pick.map((p) => (w) => w.lateAnswer(p))),
  named("reload", tab.map((t) => (w) => w.reload(t % w.tabs.length))),
];
const storage = named("storage", fc.constantFrom("full", "room", "one write fails").map((is) => async (w) => {
  w.disk.full = is === "full";
  w.disk.failing = is === "one write fails" ? 1 : 0;
}));

async function play(world: World, steps: Step[]): Promise<void> {
  for (const step of steps) await step(world);
  await world.calm();
}

function nothingLostNothingTwice(world: World): void {
  const { accepted, refused } = world.server;
  expect(new Set(accepted).size).toBe(accepted.length);
  for (const { id } of world.tapped) if (!world.lost.has(id)) expect(accepted.includes(id) || refused.has(id)).toBe(true);
  for (const id of accepted) expect(world.made.has(id)).toBe(true);
}

/** Of the taps that `of` picks, those that the server took are in the order tapped. What was lost with its page may still have been on its way. */
function inOrder(world: World, of: (t: { tab: number }) => boolean): void {
  const order = world.tapped.filter((t) => of(t) && !world.lost.has(t.id) && world.server.accepted.includes(t.id)).map((t) => t.id);
  const mine = new Set(order);
  expect(world.server.accepted.filter((id) => mine.has(id))).toEqual(order);
}

async function shownAsItIs(world: World): Promise<void> {
  for (const item of await world.items()) {
    const id = item.request.command_id;
    if (item.state === "sent") expect(world.server.accepted).toContain(id);
    if (item.state === "refused") expect(world.server.refused.has(id)).toBe(true);
  }
}

it("two tabs with the browser's locks: all of it, once, in the order tapped", async () => {
  let sequences = 0, taps = 0;
  await fc.assert(fc.asyncProperty(fc.array(fc.oneof(...calm), { minLength: 4, maxLength: 16 }), async (steps) => {
    const world = new World(2, { locks: true });
    await play(world, steps);
    sequences++;
    taps += world.tapped.length;
    nothingLostNothingTwice(world);
    expect(world.lost.size).toBe(0);
    expect(world.most).toBeLessThanOrEqual(1); // one tab sends at a time
    inOrder(world, () => true);
    await shownAsItIs(world);
  }), { numRuns: 5_000 });
  expect(sequences).toBeGreaterThanOrEqual(5_000);
  expect(taps).toBeGreaterThan(sequences); // the sequences do something
}, long);

it("storage that is full now and then: all that the page did not say it would lose, in each tab's order", async () => {
  let full = 0;
  await fc.assert(fc.asyncProperty(fc.array(fc.oneof(...calm, storage), { minLength: 4, maxLength: 16 }), async (steps) => {
    const world = new World(2, { locks: true });
    await play(world, steps);
    full += world.lost.size;
    nothingLostNothingTwice(world);
    for (const own of [0, 1]) inOrder(world, (t) => t.tab === own);
    await shownAsItIs(world);
  }), { numRuns: 3_000 });
  expect(full).toBeGreaterThan(0); // closing a page with a full phone does lose, and is counted
}, long);

it("a browser without locks: still nothing lost and nothing twice, one tab in order", async () => {
  await fc.assert(fc.asyncProperty(fc.array(fc.oneof(...calm), { minLength: 4, maxLength: 16 }), fc.integer({ min: 1, max: 2 }), async (steps, tabs) => {
    const world = new World(tabs, { locks: false });
    await play(world, steps);
    nothingLostNothingTwice(world);
    if (tabs === 1) inOrder(world, () => true);
    expect(world.most).toBeLessThanOrEqual(tabs); // each tab by itself sends one after the other
    await shownAsItIs(world);
  }), { numRuns: 2_000 });
}, long);
