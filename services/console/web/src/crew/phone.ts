// The phone's state: the day as last read, what was tapped, and whether it has
// been sent. Taps go to the store first and to the server when it answers.

import { signal } from "@preact/signals";
import { api, Refusal } from "../api";
import { drain, newCommandId, tidy, type Item, type Send } from "../outbox";
import type { PhoneStore } from "../outboxdb";
import type { CrewDay, FieldRequest, Office } from "../types";
import { forgetPicture, sendPicture } from "./photos";

/** Everything in the outbox, oldest first. */
export const items = signal<Item[]>([]);
/** Whether the last attempt to reach the server failed. */
export const offline = signal(false);
/** The day as read, and when; the kept copy when there is no connection. */
export const day = signal<{ key: string; value: CrewDay; readAt: number } | null>(null);
/** Why the day cannot be shown at all. */
export const trouble = signal<string[] | null>(null);
export const office = signal<Office | null>(null);

let store: PhoneStore | null = null;
let clockOffset: number | undefined;
let sending: Promise<void> | null = null;

export async function startPhone(opened: PhoneStore): Promise<void> {
  store = opened;
  await tidy(store, new Date());
  await refreshItems();
  const wake = () => void sync();
  window.addEventListener("online", wake);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && wake());
  setInterval(wake, 15_000);
  wake();
}

async function refreshItems(): Promise<void> {
  items.value = (await store!.all()).sort((a, b) => a.seq! - b.seq!);
}

let wanted: { crew: string; date: string } | null = null;
const keyOf = (crew: string, date: string) => `day ${crew} ${date}`;

/** Shows a crew's day: the kept copy at once, then what the server says. */
export async function openDay(crew: string, date: string): Promise<void> {
  wanted = { crew, date };
  const key = keyOf(crew, date);
  trouble.value = null;
  const kept = await store!.kept<CrewDay>(key);
  if (kept && day.value?.key !== key) day.value = { key, ...kept };
  await readDay();
}

async function readDay(): Promise<void> {
  if (!wanted) return;
  const { crew, date } = wanted;
  const key = keyOf(crew, date);
  try {
    const value = await api.crewDay(crew, date);
    clockOffset = Date.now() - Date.parse(value.now);
    day.value = { key, value, readAt: Date.now() };
    offline.value = false;
    trouble.value = null;
    await store!.keep(key, value, Date.now());
  } catch (error) {
    const sentences = error instanceof Refusal ? error.sentences : [String(error)];
    offline.value = !(error instanceof Refusal) || error.status === 0 || error.status >= 500;
    if (day.value?.key !== key) trouble.value = sentences;
  }
}

/** Sends what waits, then reads the day again. One at a time. */
export function sync(): Promise<void> {
  sending ??= (async () => {
    try {
      await drain(store!, send);
      await refreshItems();
      await readDay();
    } finally {
      sending = null;
    }
  })();
  return sending;
}

/** A photo's bytes go before the event that names them, and stay on the phone until the server has both. */
const send: Send = async (item) => {
  try {
    await sendPicture(item.request);
    const receipt = await api.field(item.request);
    void forgetPicture(item.request);
    return { outcome: "sent", alarms: receipt.alarms ?? [] };
  } catch (error) {
    if (error instanceof Refusal && error.final) return { outcome: "refused", sentences: error.sentences };
    offline.value = true;
    return { outcome: "failed" };
  }
};

/** Records a tap: it gets its id and its time here and now, whatever happens to it later. */
export async function tap(label: string, what: Omit<FieldRequest, "command_id" | "happened" | "crew" | "day" | "clock_offset_ms">): Promise<void> {
  if (!wanted) return;
  const request: FieldRequest = {
    command_id: newCommandId(), happened: new Date().toISOString(), crew: wanted.crew, day: wanted.date,
    ...(clockOffset === undefined ? {} : { clock_offset_ms: Math.round(clockOffset) }),
    ...what,
  };
  await store!.add({ state: "waiting", label, request });
  await refreshItems();
  await sending;
  await sync();
}

/** Puts a refused item back in the queue's order of sending. */
export async function sendAgain(item: Item): Promise<void> {
  await store!.put({ ...item, state: "waiting", answer: undefined });
  await sync();
}

/** Forgets a refused item, once the office has been told. */
export async function setAside(item: Item): Promise<void> {
  await store!.remove(item.seq!);
  await refreshItems();
}
