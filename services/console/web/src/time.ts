// Times, days and amounts as they are read: with a unit, and with the zone
// when it is not the reader's own.

import type { CalendarDate, Instant } from "./types";

const readerZone = () => Intl.DateTimeFormat().resolvedOptions().timeZone;

const formats = new Map<string, Intl.DateTimeFormat>();
function format(zone: string, options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat {
  const key = zone + JSON.stringify(options);
  let found = formats.get(key);
  if (!found) formats.set(key, (found = new Intl.DateTimeFormat("en-GB", { timeZone: zone, ...options })));
  return found;
}

/** "07:02" in the given zone, followed by the zone's name if the reader lives in another. */
export function clock(at: Instant | number | Date, zone: string, reader = readerZone()): string {
  const date = new Date(at);
  const text = format(zone, { hour: "2-digit", minute: "2-digit", hourCycle: "h23" }).format(date);
  if (sameOffset(date, zone, reader)) return text;
  return `${text} ${zoneName(date, zone)}`;
}

/**
 * "CDT", as people of the zone call it. Which names a browser knows depends on the language it writes in; in the last resort
 * it is the offset.
 */
function zoneName(date: Date, zone: string): string {
  const key = `${zone} ${date.getTime() - (date.getTime() % 900_000)}`; // no zone changes its offset within a quarter of an hour
  const known = zoneNames.get(key);
  if (known) return known;
  const names = ["en-GB", "en-US", "en-AU"].map((language) => new Intl.DateTimeFormat(language, { timeZone: zone, timeZoneName: "short" })
    .formatToParts(date).find((part) => part.type === "timeZoneName")?.value ?? zone);
  const name = names.find((n) => !/^(GMT|UTC)[+-\u2212]/.test(n)) ?? names[0]!;
  zoneNames.set(key, name);
  return name;
}
const zoneNames = new Map<string, string>();

/** "07:02" in the given zone without naming it: for axes and columns that name it once. */
export const bareClock = (at: Instant | number | Date, zone: string) => clock(at, zone, zone);

function sameOffset(at: Date, a: string, b: string): boolean {
  if (a === b) return true;
  const options = { year: "numeric", month: "numeric", day: "numeric", hour: "numeric", minute: "numeric" } as const;
  return format(a, options).format(at) === format(b, options).format(at);
}

export const seconds = (s: number) => duration(s / 60);

/** "05:00–09:00". */
export const span = (from: Instant, to: Instant, zone: string) => `${bareClock(from, zone)}–${clock(to, zone)}`;

/** "Tue 3 March"; the year is added when it is not the year of `today`. */
export function dayName(date: CalendarDate, today?: CalendarDate): string {
  const at = new Date(`${date}T12:00:00Z`);
  const parts = Object.fromEntries(
    format("UTC", { weekday: "short", day: "numeric", month: "long", year: "numeric" })
      .formatToParts(at).map((part) => [part.type, part.value]),
  );
  const year = today && today.slice(0, 4) !== date.slice(0, 4) ? ` ${parts.year}` : "";
  return `${parts.weekday} ${parts.day} ${parts.month}${year}`;
}

/** "Tue 3 March 07:02" in the given zone. */
export function dayAndClock(at: Instant, zone: string): string {
  return `${dayName(dateIn(at, zone))} ${clock(at, zone)}`;
}

/** The calendar date of an instant in a zone. */
export function dateIn(at: Instant | number | Date, zone: string): CalendarDate {
  const parts = Object.fromEntries(
    format(zone, { year: "numeric", month: "2-digit", day: "2-digit" }).formatToParts(new Date(at)).map((part) => [part.type, part.value]),
  );
  return `${parts.year}-${parts.month}-${parts.day}`;
}

/** The date some days later (or earlier). */
export function addDays(date: CalendarDate, days: number): CalendarDate {
  const at = new Date(`${date}T12:00:00Z`);
  at.setUTCDate(at.getUTCDate() + days);
  return at.toISOString().slice(0, 10);
}

/** "18 min", "1 h", "1 h 20", "2 days 3 h". */
export function duration(minutes: number): string {
  const whole = Math.round(minutes);
  if (whole < 0) return `−${duration(-whole)}`;
  if (whole < 60) return `${whole} min`;
  const hours = Math.floor(whole / 60);
  if (hours >= 48) return `${Math.floor(hours / 24)} days ${hours % 24} h`;
  const rest = whole % 60;
  return rest === 0 ? `${hours} h` : `${hours} h ${String(rest).padStart(2, "0")}`;
}

export const minutesBetween = (from: Instant | number | Date, to: Instant | number | Date) =>
  (new Date(to).getTime() - new Date(from).getTime()) / 60_000;

/** "3 days left", "1 day left", "today", "2 days over", "not known: ask". */
export function daysLeft(days: number | null): string {
  if (days === null) return "not known: ask";
  if (days === 0) return "today";
  const size = Math.abs(days);
  return `${size} ${size === 1 ? "day" : "days"} ${days > 0 ? "left" : "over"}`;
}

/** "4.2 km", "420 m". */
export function distance(metres: number): string {
  const km = metres / 1000;
  if (km < 1) return `${Math.round(km * 100) * 10} m`;
  return `${km < 10 ? km.toFixed(1) : Math.round(km)} km`;
}

/** "1 visit", "3 visits". */
export const count = (n: number, one: string, many = `${one}s`) => `${n} ${n === 1 ? one : many}`;

/** A capital at the beginning and a full stop at the end. */
export const sentence = (text: string) => withEnds(dated(text));
const withEnds = (text: string) => text && text[0]!.toUpperCase() + text.slice(1) + (/[.!?]$/.test(text) ? "" : ".");

/** Dates as 2026-05-03, or Sunday 2026-05-03, in a sentence of the server's, as they are said; those in the name of a file stay. */
export const dated = (text: string) =>
  text.replace(/(?<![\w-])(?:(?:Mon|Tues|Wednes|Thurs|Fri|Satur|Sun)day )?(\d{4})-(\d\d)-(\d\d)(?![\w-]|\.\w)/g, (date) => dayName(date.slice(-10), "0000"));
