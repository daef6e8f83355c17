// What the phone has to tell the server, in order. A command gets its id when
// it is tapped, is kept on the phone, and is sent until the server has it.
//
// A failure to reach the server stops the queue: what comes later waits behind
// it. A refusal is an answer, not a failure: the item is kept and shown as
// refused, and the queue goes on, so that one mistake does not hold back a
// day's facts.

import type { FieldRequest } from "./types";

export type ItemState = "waiting" | "sent" | "refused";

export interface Item {
  /** Place in the queue, given by the store. */
  seq?: number;
  state: ItemState;
  /** What was tapped, in words, for the list of what waits. */
  label: string;
  request: FieldRequest;
  /** The server's sentences: why refused, or what looks impossible beside an accepted fact. */
  answer?: string[];
  sentAt?: string;
}

/** Where items are kept. */
export interface Store {
  add(item: Item): Promise<number>;
  all(): Promise<Item[]>;
  put(item: Item): Promise<void>;
  remove(seq: number): Promise<void>;
}

/** Sends one command. `failed`: not known whether it arrived, or not now; try again later. */
export type Send = (item: Item) => Promise<{ outcome: "sent"; alarms?: string[] } | { outcome: "failed" } | { outcome: "refused"; sentences: string[] }>;

/** 16 random bytes in hex. randomUUID is missing where the page was not loaded over a trusted connection. */
export function newCommandId(random: Pick<Crypto, "getRandomValues"> = crypto): string {
  return Array.from(random.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, "0")).join("");
}

/** In the order tapped. */
export const inOrder = (items: Item[]): Item[] => [...items].sort((a, b) => a.seq! - b.seq!);

/**
 * Sends what waits, oldest first, until the first failure. Returns whether
 * nothing waits any more. The store is read anew before each, since taps come in
 * and another tab may have sent meanwhile.
 */
export async function drain(store: Store, send: Send, changed: () => Promise<void> = async () => {}, now: () => Date = () => new Date()): Promise<boolean> {
  for (;;) {
    const item = inOrder(await store.all()).find((i) => i.state === "waiting");
    if (!item) return true;
    const answer = await send(item);
    if (answer.outcome === "failed") return false;
    if (answer.outcome === "sent") await store.put({ ...item, state: "sent", sentAt: now().toISOString(), answer: answer.alarms });
    else await store.put({ ...item, state: "refused", answer: answer.sentences });
    await changed();
  }
}

/** One of several tabs at a time may do some work; the others wait. */
export type Exclusive = <T>(work: () => Promise<T>) => Promise<T>;

export interface OutboxConfig {
  store: Store;
  send: Send;
  exclusive: Exclusive;
  /** Called after whatever this tab has changed in the store. */
  changed: () => Promise<void>;
}

/** The outbox of one tab. */
export class Outbox {
  #adding: Promise<unknown> = Promise.resolve();
  #running: Promise<boolean> | null = null;
  #again = false;

  constructor(private readonly config: OutboxConfig) {}

  /** Records a tap. It is kept once this resolves; two taps are kept in the order of the calls. */
  tap(item: Item): Promise<void> {
    const { store, changed } = this.config;
    const kept = this.#adding.then(() => store.add(item));
    this.#adding = kept.catch(() => {});
    return kept.then(changed);
  }

  /** Sends what waits. Called while it sends, it goes through the queue once more. Returns whether nothing waits. */
  sync(): Promise<boolean> {
    this.#again = true;
    return (this.#running ??= this.#run().finally(() => { this.#running = null; }));
  }

  async #run(): Promise<boolean> {
    const { store, send, exclusive, changed } = this.config;
    let all = true;
    while (this.#again) {
      this.#again = false;
      all = await exclusive(() => drain(store, send, changed));
    }
    return all;
  }

  /** Puts a refused item back to where it was in the queue. */
  async sendAgain(item: Item): Promise<void> {
    await this.config.store.put({ ...item, state: "waiting", answer: undefined });
    await this.config.changed();
  }

  /** Forgets a refused item, once the office has been told. */
  async setAside(item: Item): Promise<void> {
    await this.config.store.remove(item.seq!);
    await this.config.changed();
  }
}

/** How many are in each state. */
export function tally(items: Item[]): Record<ItemState, number> {
  const counts = { waiting: 0, sent: 0, refused: 0 };
  for (const item of items) counts[item.state]++;
  return counts;
}

/** Sent items older than a week are not kept. */
export async function tidy(store: Store, now: Date): Promise<void> {
  const week = 7 * 24 * 3_600_000;
  for (const item of await store.all()) {
    if (item.state === "sent" && item.sentAt && now.getTime() - Date.parse(item.sentAt) > week) await store.remove(item.seq!);
  }
}
