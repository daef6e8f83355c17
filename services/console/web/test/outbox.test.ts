import "fake-indexeddb/auto";
import { beforeEach, describe, expect, it } from "vitest";
import { drain, newCommandId, tally, tidy, type Item, type Send } from "../src/outbox";
import { openPhoneStore, type PhoneStore } from "../src/outboxdb";

let store: PhoneStore;
let n = 0;
beforeEach(async () => { store = await openPhoneStore(`test-${n++}`); });

const item = (label: string): Item => ({
  state: "waiting", label,
  request: { command_id: newCommandId(), happened: "2026-03-03T07:02:00-06:00", kind: "arrive", crew: "c1", day: "2026-03-03", site: "s1" },
});
const states = async () => (await store.all()).map((i) => `${i.label} ${i.state}`);

describe("drain", () => {
  it("sends in the order tapped", async () => {
    for (const label of ["a", "b", "c"]) await store.add(item(label));
    const sent: string[] = [];
    const all = await drain(store, async (i) => { sent.push(i.label); return { outcome: "sent" }; });
    expect(all).toBe(true);
    expect(sent).toEqual(["a", "b", "c"]);
    expect(await states()).toEqual(["a sent", "b sent", "c sent"]);
  });

  it("stops at the first failure, keeps the rest waiting, and sends the same ids later", async () => {
    for (const label of ["a", "b", "c"]) await store.add(item(label));
    const tried: string[] = [];
    const failing: Send = async (i) => { tried.push(i.request.command_id); return { outcome: i.label === "b" ? "failed" : "sent" }; };
    expect(await drain(store, failing)).toBe(false);
    expect(await states()).toEqual(["a sent", "b waiting", "c waiting"]);
    const again: string[] = [];
    await drain(store, async (i) => { again.push(i.request.command_id); return { outcome: "sent" }; });
    expect(again[0]).toBe(tried[1]);
    expect(await states()).toEqual(["a sent", "b sent", "c sent"]);
  });

  it("keeps a refusal with the server's words and goes on", async () => {
    for (const label of ["a", "b"]) await store.add(item(label));
    await drain(store, async (i) => (i.label === "a" ? { outcome: "refused", sentences: ["No such feed."] } : { outcome: "sent" }));
    const items = await store.all();
    expect(items[0]).toMatchObject({ state: "refused", answer: ["No such feed."] });
    expect(tally(items)).toEqual({ waiting: 0, sent: 1, refused: 1 });
  });

  it("does not send what was sent or refused before", async () => {
    await store.add({ ...item("a"), state: "sent" });
    await store.add({ ...item("b"), state: "refused" });
    await drain(store, async () => { throw new Error("nothing was to be sent"); });
  });
});

it("makes ids of 32 hex digits, no two alike", () => {
  const ids = Array.from({ length: 100 }, () => newCommandId());
  expect(new Set(ids).size).toBe(100);
  for (const id of ids) expect(id).toMatch(/^[0-9a-f]{32}$/);
});

it("forgets what was sent more than a week ago, and nothing else", async () => {
  await store.add({ ...item("old"), state: "sent", sentAt: "2026-02-20T00:00:00Z" });
  await store.add({ ...item("new"), state: "sent", sentAt: "2026-03-01T00:00:00Z" });
  await store.add(item("waiting"));
  await tidy(store, new Date("2026-03-03T00:00:00Z"));
  expect(await states()).toEqual(["new sent", "waiting waiting"]);
});

it("keeps a day sheet for when there is no connection", async () => {
  await store.keep("sheet", { stops: 3 }, 17);
  expect(await store.kept("sheet")).toEqual({ readAt: 17, value: { stops: 3 } });
  expect(await store.kept("other")).toBeNull();
});
