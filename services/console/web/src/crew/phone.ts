// The phone's state: the day as last read, what was tapped, and whether it has
// been sent. Taps go to the store first and to the server when it answers.

import { computed, signal } from "@preact/signals";
import { api, Refusal, signedOut } from "../api";
import { inOrder, newCommandId, Outbox, tidy, type Item, type Send } from "../outbox";
import { memoryStore, openPhoneStore, type PhoneStore } from "../outboxdb";
import { SpareStore } from "../spare";
import { addDays } from "../time";
import type { CrewDay, FieldRequest, Office } from "../types";
import { clockOffset, offsetAfter } from "./clock";
import { handOver, outboxFile } from "./outboxfile";
import { forgetPicture, keptPhoto, sendPicture, settlePhotos, sparePhotos } from "./photos";

/** Everything in the outbox, oldest first. */
export const items = signal<Item[]>([]);
/** Whether the last attempt to reach the server failed. */
export const offline = signal(false);
/** The day as read, and when; the kept copy when there is no connection. */
export const day = signal<{ key: string; value: CrewDay; readAt: number } | null>(null);
/** Why the day cannot be shown at all. */
export const trouble = signal<string[] | null>(null);
export const office = signal<Office | null>(null);
/** Whether this browser stores anything at all. */
export const stores = signal(true);
const unkept = signal(0);
/** What lies in memory only, for want of storage. */
export const lossy = computed(() => ({ entries: unkept.value, photos: sparePhotos.value }));

let store: PhoneStore;
let spare: SpareStore;
let outbox: Outbox;
let others: BroadcastChannel | null = null;

/** Opens what the phone keeps, and begins to send: on opening, on coming back, on going online, and by timer. */
export async function startPhone(): Promise<void> {
  store = await openPhoneStore().catch(() => {
    stores.value = false;
    return memoryStore();
  });
  spare = new SpareStore(store);
  outbox = new Outbox({ store: spare, send, exclusive, changed });
  clockOffset.value = (await store.kept<number>("clock").catch(() => null))?.value;
  office.value = (await store.kept<Office>("office").catch(() => null))?.value ?? null;
  await tidy(spare, new Date()).catch(() => {}); // room is made later, then
  await refreshItems();
  others = typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel("valveround outbox");
  others?.addEventListener("message", () => void refreshItems());
  const wake = () => void sync();
  window.addEventListener("online", wake);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && wake());
  setInterval(() => void tick(), 15_000);
  wake();
}

/** One tab sends at a time, where the browser knows locks; elsewhere the command ids keep two from counting twice. */
const exclusive = <T>(work: () => Promise<T>): Promise<T> =>
  navigator.locks ? (navigator.locks.request("valveround outbox", work) as Promise<T>) : work();

async function changed(): Promise<void> {
  await refreshItems();
  others?.postMessage("changed");
}

async function refreshItems(): Promise<void> {
  items.value = inOrder(await spare.all());
  unkept.value = spare.unkept;
}

let wanted: { crew: string; date: string } | null = null;
const keyOf = (crew: string, date: string) => `day ${crew} ${date}`;

/** Shows a crew's day: the kept copy at once, then what the server says. */
export async function openDay(crew: string, date: string): Promise<void> {
  wanted = { crew, date };
  const key = keyOf(crew, date);
  trouble.value = null;
  const kept = await store.kept<CrewDay>(key).catch(() => null);
  if (kept && day.value?.key !== key) day.value = { key, ...kept };
  await readDay();
  await keepDays(crew);
}

/** Reads what the page for choosing a day needs; without connection it is as it was read last. */
export async function openOffice(): Promise<void> {
  wanted = null;
  try {
    office.value = await api.office();
    reached();
    await keep("office", office.value);
    const own = office.value.me?.crew;
    if (own) await keepDays(own);
  } catch (error) {
    failed(error);
  }
}

let readDayAt = -Infinity;

async function readDay(): Promise<void> {
  if (!wanted) return;
  readDayAt = performance.now();
  const { crew, date } = wanted;
  const key = keyOf(crew, date);
  try {
    const asked = Date.now();
    const value = await api.crewDay(crew, date);
    await learnClock(asked, value.now);
    reached();
    trouble.value = null;
    if (wanted.crew === crew && wanted.date === date) day.value = { key, value, readAt: Date.now() };
    await keep(key, value);
  } catch (error) {
    const sentences = failed(error);
    if (day.value?.key !== key) trouble.value = sentences;
  }
}

/** How often the days that are not on the screen are read. */
const every = 10 * 60_000;
let keptDaysAt = -Infinity;

/** Keeps today and the crew's next working day on the phone, whichever is looked at. */
async function keepDays(crew: string): Promise<void> {
  if (performance.now() - keptDaysAt < every) return;
  try {
    office.value = await api.office();
    await keep("office", office.value);
    const { today } = office.value;
    const first = await api.crewDay(crew, today);
    await keep(keyOf(crew, today), first);
    if (first.next) await keep(keyOf(crew, first.next), await api.crewDay(crew, first.next));
    keptDaysAt = performance.now();
    await store.forget((key) => key.startsWith("day ") && key.slice(-10) < addDays(today, -2));
  } catch {
    // Tried again with the next sync; what is on the screen says whether there is a connection.
  }
}

async function keep(key: string, value: unknown): Promise<void> {
  await store.keep(key, value, Date.now()).catch(() => {}); // no room: it is read again
}

/** The days of a crew from today on that are kept here, by date, and when each was so. */
export async function keptDays(crew: string, today: string): Promise<Record<string, { now: string; zone: string }>> {
  const found: Record<string, { now: string; zone: string }> = {};
  const days = await store.keys().catch(() => []);
  for (const key of days) {
    const date = key.slice(-10);
    if (key !== keyOf(crew, date) || date < today) continue;
    const kept = await store.kept<CrewDay>(key).catch(() => null);
    if (kept) found[date] = { now: kept.value.now, zone: kept.value.zone };
  }
  return found;
}

async function learnClock(asked: number, now: string): Promise<void> {
  const was = clockOffset.value;
  const is = offsetAfter(was, asked, Date.now(), Date.parse(now));
  if (is === was || Number.isNaN(is)) return;
  clockOffset.value = is;
  await keep("clock", is);
}

function reached(): void {
  offline.value = false;
  signedOut.value = false;
}

/** Notes why the server did not answer as wanted; returns the sentences. */
function failed(error: unknown): string[] {
  if (!(error instanceof Refusal)) {
    offline.value = true;
    return [String(error)];
  }
  signedOut.value = error.status === 401;
  offline.value = error.status === 0 || error.status >= 500;
  return error.sentences;
}

/** By the timer: sends what waits; a day is some tens of kB, so it is not read every time, and not behind a dark screen. */
async function tick(): Promise<void> {
  const old = performance.now() - readDayAt > 60_000;
  if (items.value.some((item) => item.state === "waiting") || offline.value || (old && document.visibilityState === "visible")) await sync();
}

/** Sends what waits, then reads the day again. */
export async function sync(): Promise<void> {
  await spare.settle();
  await settlePhotos();
  await outbox.sync();
  await refreshItems();
  await readDay();
  if (wanted) await keepDays(wanted.crew);
}

/** A photo's bytes go before the event that names them, and stay on the phone until the server has both. */
const send: Send = async (item) => {
  try {
    await sendPicture(item.request);
    const asked = Date.now();
    const receipt = await api.field({ ...item.request, sent: new Date(asked).toISOString() });
    if (typeof receipt?.position !== "number") throw new Refusal(0, []); // somebody on the way answered, not our server
    await learnClock(asked, receipt.now);
    reached();
    void forgetPicture(item.request).catch(() => {}); // it is kept a little longer
    return { outcome: "sent", alarms: receipt.alarms ?? [] };
  } catch (error) {
    if (error instanceof Refusal && error.final) return { outcome: "refused", sentences: error.sentences };
    failed(error);
    return { outcome: "failed" };
  }
};

/** Records a tap: it gets its id and its time here and now, whatever happens to it later. */
export async function tap(label: string, what: Omit<FieldRequest, "command_id" | "happened" | "sent" | "crew" | "day" | "clock_offset_ms">): Promise<void> {
  if (!wanted) return;
  const request: FieldRequest = {
    command_id: newCommandId(), happened: new Date().toISOString(), crew: wanted.crew, day: wanted.date,
    ...(clockOffset.value === undefined ? {} : { clock_offset_ms: Math.round(clockOffset.value) }),
    ...what,
  };
  await outbox.tap({ state: "waiting", label, request });
  askToStay();
  await sync();
}

let asked = false;
/** Asks the browser not to clear this page's storage by itself; it decides without asking the person. */
function askToStay(): void {
  if (asked) return;
  asked = true;
  void navigator.storage?.persist?.().catch(() => {});
}

/** Puts a refused item back in the queue's order of sending. */
export async function sendAgain(item: Item): Promise<void> {
  await outbox.sendAgain(item);
  await sync();
}

/** Forgets a refused item, once the office has been told. */
export const setAside = (item: Item): Promise<void> => outbox.setAside(item);

/** Hands what is not sent over as a file. */
export async function saveOutbox(name: string): Promise<void> {
  const crew = wanted?.crew ?? items.value.at(-1)?.request.crew ?? "";
  const file = await outboxFile(office.value?.me?.phone ?? phoneName(), crew, items.value, (hash) => keptPhoto(hash).catch(() => undefined));
  await handOver(file, name);
}

/** A name for a phone that is not enrolled, so that two files are told apart. */
function phoneName(): string {
  const key = "valveround phone";
  try {
    const known = localStorage.getItem(key) ?? newCommandId();
    localStorage.setItem(key, known);
    return known;
  } catch {
    return "";
  }
}
