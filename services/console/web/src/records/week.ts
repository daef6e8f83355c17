// The week that a text of hours stands for, said in words while it is typed.
// The notation is the server's subset of the OpenStreetMap opening-hours syntax
// (an open specification, version 0.7.4); what depends on the date is passed on
// as written. The server judges the text; this only reads it back.

import { words } from "../words";

const names = ["Mo", "Tu", "We", "Th", "Fr", "Sa", "Su"];
const weekday = "(?:Mo|Tu|We|Th|Fr|Sa|Su)";
const clock = "(?:[01]?\\d|2[0-4]):[0-5]\\d";
const rule = new RegExp(
  `^(24/7|(?:(${weekday}(?:-${weekday})?(?:\\s*,\\s*${weekday}(?:-${weekday})?)*)(?:\\s+|$))?(${clock}-${clock}(?:\\s*,\\s*${clock}-${clock})*)?)\\s*(open|off|closed)?\\s*("[^"]*")?$`, "i");
/** What makes a rule one for certain dates: a date, a week, a weekday counted in its month, public holidays. */
const dated = /^(\d{4}|Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec|week)\b|^[^"]*\[|^PH\b(?!\s*,)/i;
/** Public holidays beside weekdays: the rule is for those too. */
const andHolidays = /\bPH\s*,\s*|,\s*PH\b/i;
const timesOf = /(\d|open|off|closed).*$/i;

/** A stretch of a day in minutes from its midnight, Monday being 0. */
export interface Bar { day: number; from: number; to: number }

export interface Week {
  /** The windows of each day by when they open, Monday first; "" when there are none. */
  days: string[];
  /** The same to be drawn: cut at midnight. */
  bars: Bar[];
  /** Rules for certain dates, as written. */
  dates: string[];
}

/** A rule for weekdays. Its times may run past midnight; none mean the whole day. */
interface Plain { days: number[]; times: [number, number][]; off: boolean; adds: boolean }

/** Reads the week, or gives null when the text is not (or not yet) readable. */
export function weekOf(text: string): Week | null {
  const rules: Plain[] = [];
  const dates: string[] = [];
  for (const part of text.split(";").map((p) => p.trim()).filter(Boolean)) {
    // A weekday after a time begins a rule that adds to the one before.
    const written = part.split(new RegExp(`(?<=\\d\\d:\\d\\d|24/7)\\s*,\\s*(?=(?:${weekday}|PH|week)\\b)`, "i"));
    for (const [i, whole] of written.entries()) {
      if (dated.test(whole)) { dates.push(whole); continue; }
      if (andHolidays.test(whole)) dates.push(`PH ${timesOf.exec(whole)?.[0] ?? ""}`.trim());
      const found = rule.exec(whole.replace(andHolidays, ""));
      if (!found || (!found[2] && !found[3] && found[1] !== "24/7" && !found[4])) return null;
      rules.push({ days: daysOf(found[2]), times: minutesOf(found[3]), off: /off|closed/i.test(found[4] ?? ""), adds: i > 0 });
    }
  }
  if (rules.length + dates.length === 0) return null;
  const perDay = [0, 1, 2, 3, 4, 5, 6].map((day) => settled(rules, day));
  return { days: windowsOf(perDay), bars: perDay.flatMap((open, day) => open.map(([from, to]) => ({ day, from, to }))), dates };
}

/** "05:00-09:00,22:00-02:00" in minutes; what closes at or before it opens runs past midnight. */
function minutesOf(times: string | undefined): [number, number][] {
  return (times ?? "").split(",").filter(Boolean).map((window) => {
    const [from, to] = window.split("-").map((clock) => Number(clock.split(":")[0]) * 60 + Number(clock.split(":")[1])) as [number, number];
    return [from, to > from ? to : to + dayMinutes];
  });
}

const dayMinutes = 1440;

/**
 * One day of the week, the rules from left to right: an open rule that names the day wipes it unless it adds, a closed one
 * takes its times away; what reaches over midnight belongs to the day it begins on, and wipes nothing in the next.
 */
function settled(rules: Plain[], day: number): [number, number][] {
  let open: [number, number][] = [];
  for (const r of rules) {
    const today = r.days.includes(day);
    if (today && !r.adds && !r.off) open = [];
    const parts = today ? (r.times.length > 0 ? r.times : [[0, dayMinutes] as [number, number]]).map(([from, to]): [number, number] => [from, Math.min(to, dayMinutes)]) : [];
    if (r.days.includes((day + 6) % 7)) parts.push(...r.times.filter(([, to]) => to > dayMinutes).map(([, to]): [number, number] => [0, to - dayMinutes]));
    for (const part of parts) open = r.off ? without(open, part) : together([...open, part]);
  }
  return open;
}

function together(list: [number, number][]): [number, number][] {
  const merged: [number, number][] = [];
  for (const [from, to] of [...list].sort((a, b) => a[0] - b[0])) {
    const last = merged.at(-1);
    if (last && from <= last[1]) last[1] = Math.max(last[1], to);
    else merged.push([from, to]);
  }
  return merged;
}

const without = (list: [number, number][], [from, to]: [number, number]) =>
  list.flatMap(([a, b]) => ([[a, Math.min(b, from)], [Math.max(a, to), b]] as [number, number][]).filter(([x, y]) => x < y));

/** The windows of each day as they are said: one that goes on after midnight is one window of the day it opens on. */
function windowsOf(perDay: [number, number][][]): string[] {
  const goesOn = (day: number) => { // until when into the next day, or 0
    const last = perDay[day]!.at(-1);
    const first = perDay[(day + 1) % 7]![0];
    return last?.[1] === dayMinutes && first?.[0] === 0 && first[1] <= last[0] ? first[1] : 0;
  };
  const clock = (minutes: number) => `${String(Math.floor(minutes / 60)).padStart(2, "0")}:${String(minutes % 60).padStart(2, "0")}`;
  return perDay.map((open, day) => {
    const own = goesOn((day + 6) % 7) > 0 ? open.slice(1) : open;
    return own.map(([from, to]) => (from === 0 && to === dayMinutes ? words.records.allDay : `${clock(from)}–${clock(to === dayMinutes ? goesOn(day) || to : to)}`)).join(", ");
  });
}

const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** The hours with one day's own: a half day, or a Saturday. What was said of that day before is replaced. */
export function withDay(hours: string, date: string, from: string, to: string): string {
  const [year, month, day] = date.split("-") as [string, string, string];
  const name = `${year} ${months[Number(month) - 1]!} ${day}`;
  const rules = hours.split(";").map((rule) => rule.trim()).filter((rule) => rule && !rule.startsWith(`${name} `));
  return [...rules, `${name} ${from}-${to}`].join("; ");
}

function daysOf(text: string | undefined): number[] {
  if (!text) return [0, 1, 2, 3, 4, 5, 6];
  return text.split(",").flatMap((range) => {
    const [from = 0, to = from] = range.trim().split("-").map((d) => names.findIndex((n) => n.toLowerCase() === d.trim().toLowerCase()));
    const days = [];
    for (let d = from; ; d = (d + 1) % 7) {
      days.push(d);
      if (d === to) return days;
    }
  });
}

/** "Monday to Friday 05:00–09:00; Saturday and Sunday closed"; "" when the text is not readable. */
export function weekWords(text: string): string {
  const week = weekOf(text);
  if (!week) return "";
  const w = words.records;
  const parts: string[] = [];
  for (let from = 0; from < 7; ) {
    let to = from;
    while (to < 6 && week.days[to + 1] === week.days[from]) to++;
    const days = from === 0 && to === 6 ? w.everyDay : from === to ? w.weekdays[from]! : w.dayRange(w.weekdays[from]!, w.weekdays[to]!, to - from === 1);
    parts.push(`${days} ${week.days[from] || w.closedDay}`);
    from = to + 1;
  }
  return [parts.join("; "), ...week.dates.map(w.onDates)].join("; ");
}
