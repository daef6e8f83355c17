// A phone in a bad network, for property tests: the real outbox and spare store
// in some tabs, over one store on the phone, against a server that knows a
// command by its id. Nothing moves by itself: a test says what happens next.

import { newCommandId, Outbox, type Exclusive, type Item, type Store } from "../src/outbox";
import { SpareStore } from "../src/spare";

type Answer = Awaited<ReturnType<ConstructorParameters<typeof Outbox>[0]["send"]>>;

/** One request on its way. */
interface Call { item: Item; answer: (answer: Answer) => void; alive: () => boolean; arrived: Answer | null }

/** Lets everything that can go on without the network go on. */
export const settled = () => new Promise<void>((done) => setImmediate(done));

/** What the server does with a command: by its id once, whatever comes again. */
export class Server {
  readonly accepted: string[] = [];
  readonly refused = new Set<string>();
  take(item: Item): Answer {
    const { command_id: id, kind } = item.request;
    if (kind === "position") {
      this.refused.add(id);
      return { outcome: "refused", sentences: ["There is no such site."] };
    }
    if (!this.accepted.includes(id)) this.accepted.push(id);
    return { outcome: "sent" };
  }
}

/** The phone's storage: what was written stays, whichever tab is closed. */
class Disk implements Store {
  full = false;
  /** How many of the next writes find no room, as at the very edge of a quota. */
  failing = 0;
  #items = new Map<number, string>();
  #next = 1;
  async add(item: Item): Promise<number> {
    this.#room();
    const seq = this.#next++;
    this.#items.set(seq, JSON.stringify({ ...item, seq }));
    return seq;
  }
  async all(): Promise<Item[]> { return [...this.#items.values()].map((text) => JSON.parse(text) as Item); }
  async put(item: Item): Promise<void> {
    this.#room();
    this.#items.set(item.seq!, JSON.stringify(item));
  }
  async remove(seq: number): Promise<void> { this.#items.delete(seq); }
  #room(): void {
    if (this.full || this.failing-- > 0) throw new DOMException("no room", "QuotaExceededError");
  }
}

/** Who may send, as the browser's locks have it: in turn, and free again when a tab is closed. */
class Locks {
  #queue: { tab: Tab; begin: () => void }[] = [];
  #holder: Tab | null = null;
  for = (tab: Tab): Exclusive => async (work) => {
    await new Promise<void>((begin) => {
      this.#queue.push({ tab, begin });
      this.#next();
    });
    try {
      return await work();
    } finally {
      if (this.#holder === tab) this.#free();
    }
  };
  closed(tab: Tab): void {
    this.#queue = this.#queue.filter((one) => one.tab !== tab);
    if (this.#holder === tab) this.#free();
  }
  #free(): void {
    this.#holder = null;
    this.#next();
  }
  #next(): void {
    if (this.#holder || this.#queue.length === 0) return;
    const { tab, begin } = this.#queue.shift()!;
    this.#holder = tab;
    begin();
  }
}

/** One tab with the page in it. A closed tab does nothing more, whatever it was in the middle of. */
export class Tab {
  closed = false;
  readonly spare: SpareStore;
  readonly outbox: Outbox;
  constructor(world: World) {
    const alive = <T>(what: () => Promise<T>): Promise<T> => (this.closed ? new Promise(() => {}) : what().then((v) => (this.closed ? new Promise<T>(() => {}) : v)));
    const disk = world.disk;
    this.spare = new SpareStore({
      add: (item) => alive(() => disk.add(item)), all: () => alive(() => disk.all()), put: (item) => alive(() => disk.put(item)), remove: (seq) => alive(() => disk.remove(seq)),
    });
    this.outbox = new Outbox({
      store: this.spare, changed: async () => {}, exclusive: world.locks ? world.locks.for(this) : (work) => work(),
      send: (item) => alive(() => world.called({ item: structuredClone(item), alive: () => !this.closed })),
    });
  }
}

export class World {
  readonly disk = new Disk();
  readonly server = new Server();
  readonly locks: Locks | null;
  calls: Call[] = [];
  /** The most requests that open pages waited for at once. */
  most = 0;
  tabs: Tab[];
  /** Ids in the order tapped, by tab; those that were only in memory when their tab was closed are lost, as the page had said. */
  readonly tapped: { id: string; tab: number }[] = [];
  readonly lost = new Set<string>();
  /** Every id made, also of taps whose page was closed before it could show them. */
  readonly made = new Set<string>();

  constructor(tabs: number, options: { locks: boolean }) {
    this.locks = options.locks ? new Locks() : null;
    this.tabs = Array.from({ length: tabs }, () => new Tab(this));
  }

  /** A request goes out; it is answered when the test says so. */
  called(call: Pick<Call, "item" | "alive">): Promise<Answer> {
    let open = true;
    const waits = new Promise<Answer>((answer) => {
      this.calls.push({ ...call, arrived: null, answer: (what) => { open = false; this.#open.delete(isOpen); answer(what); } });
    });
    const isOpen = () => open && call.alive();
    this.#open.add(isOpen);
    this.most = Math.max(this.most, [...this.#open].filter((is) => is()).length);
    return waits;
  }
  #open = new Set<() => boolean>();

  /** A tap counts once it is kept; until then the page does not show it. */
  async tap(tab: number, kind: "arrive" | "position", count = 1): Promise<void> {
    const here = this.tabs[tab]!;
    for (let i = 0; i < count; i++) {
      const id = newCommandId();
      this.made.add(id);
      const item: Item = { state: "waiting", label: kind, request: { command_id: id, happened: "2026-05-12T12:00:00Z", kind, crew: "c1", day: "2026-05-12" } };
      void here.outbox.tap(item).then(() => { this.tapped.push({ id, tab }); });
    }
    await settled();
    void here.outbox.sync();
    await settled();
  }

  async sync(tab: number): Promise<void> {
    void this.tabs[tab]!.spare.settle();
    await settled();
    void this.tabs[tab]!.outbox.sync();
    await settled();
  }

  /** The page is closed in the middle of anything, and opened anew. Requests on their way may still arrive. */
  async reload(tab: number): Promise<void> {
    const old = this.tabs[tab]!;
    const stored = new Set((await this.disk.all()).map((item) => item.request.command_id));
    for (const item of await old.spare.all()) if (!stored.has(item.request.command_id) && item.state === "waiting") this.lost.add(item.request.command_id);
    old.closed = true;
    this.locks?.closed(old);
    this.tabs[tab] = new Tab(this);
    await this.sync(tab);
  }

  /** One request reaches the server, once or twice; its answer reaches the phone, is lost, or comes later. */
  async deliver(pick: number, how: "answered" | "answer lost" | "answer late" | "twice" | "never arrives"): Promise<void> {
    const waiting = this.calls.filter((call) => call.arrived === null);
    if (waiting.length === 0) return;
    const call = waiting[pick % waiting.length]!;
    if (how !== "never arrives") call.arrived = this.server.take(call.item);
    if (how === "twice") this.server.take(call.item);
    if (how === "answer late") return;
    this.calls = this.calls.filter((other) => other !== call);
    this.#answer(call, how === "answered" || how === "twice" ? call.arrived! : { outcome: "failed" });
    await settled();
  }

  /** The page gives up waiting; the request itself is still on its way, and arrives behind later ones. */
  async giveUp(pick: number): Promise<void> {
    if (this.calls.length === 0) return;
    this.#answer(this.calls[pick % this.calls.length]!, { outcome: "failed" });
    await settled();
  }

  /** An answer that was late comes. */
  async lateAnswer(pick: number): Promise<void> {
    const late = this.calls.filter((call) => call.arrived !== null);
    if (late.length === 0) return;
    const call = late[pick % late.length]!;
    this.calls = this.calls.filter((other) => other !== call);
    this.#answer(call, call.arrived!);
    await settled();
  }

  #answer(call: Call, answer: Answer): void {
    if (call.alive()) call.answer(answer); // settles a promise once; later answers change nothing
  }

  /** The storage has room, the network works, and every tab is looked at until nothing is on its way. */
  async calm(): Promise<void> {
    this.disk.full = false;
    this.disk.failing = 0;
    for (let round = 0; round < 200; round++) {
      for (let tab = 0; tab < this.tabs.length; tab++) await this.sync(tab);
      while (this.calls.length > 0) {
        await this.lateAnswer(0);
        await this.deliver(0, "answered");
      }
      if (!(await this.items()).some((item) => item.state === "waiting")) return;
    }
    throw new Error("something waits for ever");
  }

  /** What all tabs together show. */
  async items(): Promise<Item[]> {
    const all = new Map<string, Item>();
    for (const tab of this.tabs) for (const item of await tab.spare.all()) all.set(item.request.command_id, item);
    return [...all.values()];
  }
}
