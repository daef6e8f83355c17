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

/** Sends what waits, oldest first, until the first failure. Returns whether nothing waits any more. */
export async function drain(store: Store, send: Send, now: () => Date = () => new Date()): Promise<boolean> {
  const items = (await store.all()).sort((a, b) => a.seq! - b.seq!);
  for (const item of items) {
    if (item.state !== "waiting") continue;
    const answer = await send(item);
    if (answer.outcome === "failed") return false;
    if (answer.outcome === "sent") await store.put({ ...item, state: "sent", sentAt: now().toISOString(), answer: answer.alarms });
    else await store.put({ ...item, state: "refused", answer: answer.sentences });
  }
  return true;
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
