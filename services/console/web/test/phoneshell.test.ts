// What the phone does when its storage is full, its clock or zone is another
// one, and its outbox leaves it as a file.

import "fake-indexeddb/auto";
import { describe, expect, it } from "vitest";
import { clockOffset, offsetAfter, serverNow, tappedAt } from "../src/crew/clock";
import { outboxFile } from "../src/crew/outboxfile";
import { instantAt, zoneNote } from "../src/crew/typed";
import { drain, Outbox, type Item, type Store } from "../src/outbox";
import { memoryStore, openPhoneStore } from "../src/outboxdb";
import { SpareStore } from "../src/spare";

let n = 0;
const item = (label: string, more: Partial<Item["request"]> = {}, state: Item["state"] = "waiting"): Item =>
  ({ state, label, request: { command_id: (++n).toString(16).padStart(32, "0"), happened: "2026-05-12T12:00:00Z", kind: "arrive", crew: "c1", day: "2026-05-12", ...more } });
const labels = async (store: Store) => (await store.all()).map((i) => `${i.label} ${i.state}`);

describe("a phone whose storage is full", () => {
  const fullable = async () => {
    const inner = await openPhoneStore(`full-${n++}`);
    const room = { left: true };
    const guard = <A extends unknown[], R>(what: (...a: A) => Promise<R>) => (...a: A): Promise<R> =>
      room.left ? what(...a) : Promise.reject(new DOMException("no room", "QuotaExceededError"));
    return { room, inner, spare: new SpareStore({ ...inner, add: guard(inner.add), put: guard(inner.put) }) };
  };

  it("keeps what it cannot store in memory, behind what is stored, and says how much", async () => {
    const { room, spare, inner } = await fullable();
    await spare.add(item("a"));
    room.left = false;
    await spare.add(item("b"));
    await spare.add(item("c"));
    expect(await labels(spare)).toEqual(["a waiting", "b waiting", "c waiting"]);
    expect(spare.unkept).toBe(2);
    expect(await labels(inner)).toEqual(["a waiting"]);
  });

  it("sends from memory, and stores the rest once there is room, before later taps", async () => {
    const { room, spare, inner } = await fullable();
    room.left = false;
    await spare.add(item("a"));
    await spare.add(item("b"));
    await drain(spare, async (i) => (i.label === "a" ? { outcome: "sent" } : { outcome: "failed" }));
    expect(await labels(spare)).toEqual(["a sent", "b waiting"]);
    room.left = true;
    await spare.add(item("c"));
    expect(spare.unkept).toBe(0);
    expect(await labels(inner)).toEqual(["a sent", "b waiting", "c waiting"]);
  });

  it("remembers what was sent although it could not be noted", async () => {
    const { room, spare, inner } = await fullable();
    await spare.add(item("a"));
    room.left = false;
    await drain(spare, async () => ({ outcome: "sent" }));
    expect(await labels(spare)).toEqual(["a sent"]);
    expect(await labels(inner)).toEqual(["a waiting"]);
    room.left = true;
    expect(await spare.settle()).toBe(true);
    expect(await labels(inner)).toEqual(["a sent"]);
  });

  it("notes what was sent from memory although it was stored while it was on its way", async () => {
    const { room, spare, inner } = await fullable();
    room.left = false;
    await spare.add(item("a"));
    await drain(spare, async () => {
      room.left = true;
      expect(await spare.settle()).toBe(true);
      return { outcome: "sent" };
    });
    expect(await labels(inner)).toEqual(["a sent"]);
    expect(await labels(spare)).toEqual(["a sent"]);
  });

  it("shows an item once while it goes from memory to the store, and forgets one put aside meanwhile", async () => {
    const inner = await openPhoneStore(`moving-${n++}`);
    let there: (() => void) | null = null, full = true;
    const stored = new Promise<void>((done) => { there = done; });
    const halfway = async (i: Item) => {
      if (full) throw new DOMException("no room", "QuotaExceededError");
      const seq = await inner.add(i);
      await stored; // it is in the store, and the spare does not know yet
      return seq;
    };
    const spare = new SpareStore({ ...inner, add: halfway });
    const at = await spare.add(item("a"));
    full = false;
    const settling = spare.settle();
    while ((await inner.all()).length === 0) await new Promise(setImmediate);
    expect(await labels(spare)).toEqual(["a waiting"]);
    await spare.remove(at);
    there!();
    await settling;
    expect(await labels(spare)).toEqual([]);
    expect(await labels(inner)).toEqual([]);
  });

  it("notes what was sent in the very moment in which it was stored", async () => {
    const inner = await openPhoneStore(`moment-${n++}`);
    let full = true;
    const spare: SpareStore = new SpareStore({ ...inner, add: async (i) => {
      if (full) throw new DOMException("no room", "QuotaExceededError");
      const seq = await inner.add(i);
      await spare.put({ ...i, seq: at, state: "sent" });
      return seq;
    } });
    const at = await spare.add(item("a"));
    full = false;
    await spare.settle();
    expect(await labels(inner)).toEqual(["a sent"]);
  });

  it("works in a browser that stores nothing, and knows that it does not", async () => {
    const spare = new SpareStore(memoryStore());
    await spare.add(item("a"));
    expect(spare.unkept).toBe(1);
    await drain(spare, async () => ({ outcome: "sent" }));
    expect(await labels(spare)).toEqual(["a sent"]);
  });
});

describe("one tab's outbox", () => {
  const world = async () => {
    const store = await openPhoneStore(`outbox-${n++}`);
    const sent: string[] = [];
    const outbox: Outbox = new Outbox({
      store, exclusive: (work) => work(), changed: async () => {},
      send: async (i) => {
        sent.push(i.label);
        return { outcome: "sent" };
      },
    });
    return { store, sent, outbox };
  };

  it("asked to send by several at once, sends each thing once", async () => {
    const { sent, outbox } = await world();
    for (const label of ["a", "b"]) await outbox.tap(item(label));
    expect(await Promise.all([outbox.sync(), outbox.sync(), outbox.sync()])).toEqual([true, true, true]);
    expect(sent).toEqual(["a", "b"]);
  });

  it("sends what is tapped at the very end of sending, without being asked again", async () => {
    const { sent, store } = await world();
    let late = false;
    const outbox: Outbox = new Outbox({
      store: { ...store, all: async () => {
        const all = await store.all();
        if (all.length === 1 && all[0]!.state === "sent" && !late) {
          late = true; // the queue was found empty; only then comes the tap
          await outbox.tap(item("b"));
          void outbox.sync();
        }
        return all;
      } },
      exclusive: (work) => work(), changed: async () => {}, send: async (i) => { sent.push(i.label); return { outcome: "sent" }; },
    });
    await outbox.tap(item("a"));
    await outbox.sync();
    expect(sent).toEqual(["a", "b"]);
  });

  it("keeps two taps in the order of the calls, also when the first finds no room", async () => {
    const inner = await openPhoneStore(`edge-${n++}`);
    let failing = 1;
    const spare = new SpareStore({ ...inner, add: async (i) => {
      if (failing-- > 0) throw new DOMException("no room", "QuotaExceededError");
      return inner.add(i);
    } });
    const outbox = new Outbox({ store: spare, exclusive: (work) => work(), changed: async () => {}, send: async () => ({ outcome: "failed" }) });
    await Promise.all([outbox.tap(item("a")), outbox.tap(item("b"))]);
    expect(await labels(spare)).toEqual(["a waiting", "b waiting"]);
  });
});

describe("the database on the phone", () => {
  it("is let go when a later version wants to change it, and opened again by that version", async () => {
    const name = `side-by-side-${n++}`;
    const old = await openPhoneStore(name);
    await old.add({ ...item("a"), later: "a field of a later version" } as Item);
    const [kept] = await old.all();
    await old.put({ ...kept!, state: "sent" });
    const later = await new Promise<IDBDatabase>((done, fail) => {
      const asked = indexedDB.open(name, 2);
      asked.onsuccess = () => done(asked.result);
      asked.onerror = () => fail(asked.error);
    });
    const all = await new Promise<unknown[]>((done) => {
      const asked = later.transaction("outbox").objectStore("outbox").getAll();
      asked.onsuccess = () => done(asked.result as unknown[]);
    });
    expect(all).toMatchObject([{ label: "a", state: "sent", later: "a field of a later version" }]);
    later.close();
  });

  it("forgets kept days by their names", async () => {
    const store = await openPhoneStore(`kept-${n++}`);
    for (const key of ["day c1 2026-05-01", "day c1 2026-05-12", "office"]) await store.keep(key, 1, 0);
    await store.forget((key) => key.startsWith("day ") && key.slice(-10) < "2026-05-10");
    expect([await store.kept("day c1 2026-05-01"), (await store.kept("day c1 2026-05-12"))?.value, (await store.kept("office"))?.value]).toEqual([null, 1, 1]);
  });
});

describe("the outbox as a file", () => {
  it("holds what is not sent, in order, with the pictures that are still here", async () => {
    const bytes = Uint8Array.from({ length: 70_000 }, (_, i) => (i * 31) % 256);
    const hash = "ab".repeat(32), gone = "cd".repeat(32);
    const items: Item[] = [
      { ...item("late", { kind: "photo", photo: { sha256: hash, shows: "gauge", crew: "", day: "2026-05-12" } as never }), seq: 9 },
      { ...item("sent", {}, "sent"), seq: 1 },
      { ...item("refused", {}, "refused"), seq: 2 },
      { ...item("photo gone", { kind: "photo", photo: { sha256: gone, crew: "", day: "2026-05-12" } as never }), seq: 3 },
    ];
    const blob = await outboxFile("ph1", "c1", items, async (sha) => (sha === hash ? new Blob([bytes], { type: "image/jpeg" }) : undefined));
    const file = JSON.parse(await blob.text()) as { valveround_outbox: number; phone: string; crew: string; entries: { id: string; at: string; label: string; request: Item["request"] }[]; pictures: { sha256: string; type: string; base64: string }[] };
    expect(file).toMatchObject({ valveround_outbox: 1, phone: "ph1", crew: "c1" });
    expect(file.entries.map((e) => e.id)).toEqual([items[2]!, items[3]!, items[0]!].map((i) => i.request.command_id));
    expect(file.entries[0]).toEqual({ id: items[2]!.request.command_id, at: "2026-05-12T12:00:00Z", label: "refused", request: items[2]!.request });
    expect(file.pictures.map((p) => [p.sha256, p.type])).toEqual([[hash, "image/jpeg"]]);
    expect(Buffer.from(file.pictures[0]!.base64, "base64").equals(bytes)).toBe(true); // Node's own decoder, RFC 4648
  });
});

describe("a time typed at the stop", () => {
  // Offsets from the IANA time zone database, as Node's Intl carries it.
  for (const [typed, zone, want] of [
    ["2026-05-12T11:00", "America/Chicago", "2026-05-12T16:00:00.000Z"],
    ["2026-01-12T11:00", "America/Chicago", "2026-01-12T17:00:00.000Z"],
    ["2026-05-12T11:00:00", "America/Phoenix", "2026-05-12T18:00:00.000Z"],
    ["2026-05-12T11:00", "Asia/Kolkata", "2026-05-12T05:30:00.000Z"],
  ] as const) it(`${typed} in ${zone}`, () => expect(instantAt(typed, zone)).toBe(want));

  it("says whose clocks are meant only where they are not the phone's", () => {
    expect(zoneNote("America/Chicago", "America/Chicago")).toBe("");
    expect(zoneNote("America/Phoenix", "America/Chicago")).toContain("America/Phoenix");
  });
});

describe("what the phone's clock is off", () => {
  const server = Date.UTC(2026, 4, 12, 12), hours = 3_600_000;
  for (const [name, was, asked, came, want] of [
    ["is the middle of asking and answer against the server's time, at first", undefined, 5 * hours, 5 * hours + 4_000, 5 * hours + 2_000],
    ["does not change by what a slow way may account for", 5 * hours, 5 * hours, 5 * hours + 8_000, 5 * hours],
    ["changes when the clock was set", 5 * hours, 100, 300, 200],
  ] as const) it(name, () => expect(offsetAfter(was, server + asked, server + came, server)).toBe(want));
});

it("shows a tap at the right hour though the phone's clock is five hours fast", () => {
  const fast = 5 * 3_600_000;
  expect(tappedAt({ happened: "2026-05-12T17:00:00Z", clock_offset_ms: fast })).toBe("2026-05-12T12:00:00.000Z");
  expect(tappedAt({ happened: "2026-05-12T17:00:00Z" })).toBe("2026-05-12T17:00:00Z");
  const before = serverNow();
  clockOffset.value = fast;
  expect(before - serverNow()).toBeGreaterThan(fast - 60_000);
  clockOffset.value = undefined;
});
