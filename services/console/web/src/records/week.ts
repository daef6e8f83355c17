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

export interface Week {
  /** The windows of each day, Monday first; "" when there are none. */
  days: string[];
  /** Rules for certain dates, as written. */
  dates: string[];
}

/** Reads the week, or gives null when the text is not (or not yet) readable. */
export function weekOf(text: string): Week | null {
  const week: Week = { days: Array<string>(7).fill(""), dates: [] };
  let any = false;
  for (const part of text.split(";").map((p) => p.trim()).filter(Boolean)) {
    // A weekday after a time begins a rule that adds to the one before.
    const rules = part.split(new RegExp(`(?<=\\d\\d:\\d\\d|24/7)\\s*,\\s*(?=(?:${weekday}|PH|week)\\b)`, "i"));
    for (const [i, written] of rules.entries()) {
      let one = written;
      any = true;
      if (dated.test(one)) { week.dates.push(one); continue; }
      if (andHolidays.test(one)) {
        week.dates.push(`PH ${timesOf.exec(one)?.[0] ?? ""}`.trim());
        one = one.replace(andHolidays, "");
      }
      const found = rule.exec(one);
      if (!found || (!found[2] && !found[3] && found[1] !== "24/7" && !found[4])) return null;
      const off = /off|closed/i.test(found[4] ?? "");
      const times = off ? "" : found[3] ? found[3].split(",").map((t) => t.trim().replace("-", "–")).join(", ") : words.records.allDay;
      for (const d of daysOf(found[2])) week.days[d] = i > 0 && week.days[d] ? [week.days[d], times].filter(Boolean).join(", ") : times;
    }
  }
  return any ? week : null;
}

const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** The hours with one day's own: a half day, or a Saturday. What was said of that day before is replaced. */
export function withDay(hours: string, date: string, from: string, to: string): string {
  const [year, month, day] = date.split("-") as [string, string, string];
  const name = `${year} ${months[Number(month) - 1]!} ${day}`;
  const rules = hours.split(";").map((rule) => rule.trim()).filter((rule) => rule && !rule.startsWith(`${name} `));
  return [...rules, `${name} ${from}-${to}`].join("; ");
}

/** The windows of a day in minutes; one that runs over midnight is cut there and goes on the next day. */
export function barsOf(week: Week): { day: number; from: number; to: number }[] {
  const minutes = (clock: string) => Number(clock.split(":")[0]) * 60 + Number(clock.split(":")[1]);
  return week.days.flatMap((windows, day) => windows.split(", ").filter(Boolean).flatMap((window) => {
    if (window === words.records.allDay) return [{ day, from: 0, to: 1440 }];
    const [from, to] = window.split("–").map(minutes) as [number, number];
    return from < to ? [{ day, from, to }] : [{ day, from, to: 1440 }, { day: (day + 1) % 7, from: 0, to }].filter((bar) => bar.from < bar.to);
  }));
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
