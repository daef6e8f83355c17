// The week that a text of hours stands for: the picture, the words and the text say the same.

import { readFileSync } from "node:fs";
import { gunzipSync } from "node:zlib";
import fc from "fast-check";
import { expect, it } from "vitest";
import { weekOf, type Bar } from "../src/records/week";
import { words } from "../src/words";

const names = ["Mo", "Tu", "We", "Th", "Fr", "Sa", "Su"];
const clock = (minutes: number) => `${String(Math.floor(minutes / 60)).padStart(2, "0")}:${String(minutes % 60).padStart(2, "0")}`;

/** A week as text: each day by itself, its bars as windows. */
const textOf = (bars: Bar[]) => {
  const rules = names.flatMap((name, day) => {
    const own = bars.filter((bar) => bar.day === day);
    return own.length > 0 ? [`${name} ${own.map((bar) => `${clock(bar.from)}-${clock(bar.to)}`).join(",")}`] : [];
  });
  return rules.join("; ") || "off";
};

/** The bars again from what is said of each day, without looking at the picture. */
const barsOfWords = (days: string[]) => {
  const open = new Set<number>();
  days.forEach((said, day) => said.split(", ").filter(Boolean).forEach((window) => {
    const [from, to] = window === words.records.allDay ? [0, 1440] : (window.split("–").map((c) => Number(c.slice(0, 2)) * 60 + Number(c.slice(3))) as [number, number]);
    for (let m = from; m < (to > from ? to : to + 1440); m++) open.add((day * 1440 + m) % 10_080);
  }));
  return open;
};
const minutesOf = (bars: Bar[]) => new Set(bars.flatMap(({ day, from, to }) => Array.from({ length: to - from }, (_, i) => day * 1440 + from + i)));

const ruleOf = fc.record({
  days: fc.uniqueArray(fc.constantFrom(...names), { minLength: 1, maxLength: 3 }),
  times: fc.array(fc.tuple(fc.integer({ min: 0, max: 95 }), fc.integer({ min: 1, max: 60 })), { maxLength: 2 }),
  off: fc.boolean(),
  adds: fc.boolean(),
});

/** Rules as they are written, and the minutes of the week that they leave open, by painting each minute. */
const written = fc.array(ruleOf, { minLength: 1, maxLength: 4 }).map((rules) => {
  const open = new Set<number>();
  let text = "";
  rules.forEach(({ days, times, off, adds }, i) => {
    const joined = adds && i > 0 && /\d\d:\d\d$/.test(text);
    text += `${i === 0 ? "" : joined ? ", " : "; "}${days.join(",")}${times.length > 0 ? ` ${times.map(([from, length]) => `${clock(from * 15)}-${clock(((from + length) * 15) % 1440)}`).join(",")}` : ""}${off ? " off" : times.length > 0 ? "" : " open"}`;
    for (const name of days) {
      const day = names.indexOf(name);
      if (!off && !joined) for (let m = 0; m < 1440; m++) open.delete(day * 1440 + m);
    }
    for (const name of days) {
      const day = names.indexOf(name);
      const paint = (from: number, to: number) => { for (let m = from; m < to; m++) off ? open.delete((day * 1440 + m) % 10_080) : open.add((day * 1440 + m) % 10_080); };
      if (times.length === 0) paint(0, 1440);
      times.forEach(([from, length]) => paint(from * 15, (from + length) * 15));
    }
  });
  return { text, open };
});

it("reads any weekly text as the minutes that it leaves open, draws and says them, and reads what was drawn again", () => {
  fc.assert(fc.property(written, ({ text, open }) => {
    const week = weekOf(text)!;
    expect(week, text).not.toBeNull();
    expect(minutesOf(week.bars), text).toEqual(open);
    expect(barsOfWords(week.days), `${text}: ${week.days.join(" | ")}`).toEqual(open);
    expect(weekOf(textOf(week.bars))!.bars, text).toEqual(week.bars);
  }), { numRuns: 400 });
}, 60_000);

// What the npm package opening_hours 3.15.0 makes of generated texts, see testdata/hours/reference.js. The week from Monday,
// 8 June 2026, has no public holiday of the country and no change of the clock.
it("draws what a general library of the notation has open in a plain week", () => {
  const file = readFileSync(new URL("../../../../testdata/hours/reference.json.gz", import.meta.url));
  const { cases } = JSON.parse(gunzipSync(file).toString()) as { cases: { text: string; minutes: number[][] }[] };
  const begin = (Date.UTC(2026, 5, 8) - Date.UTC(2026, 0, 1)) / 60_000 - 60; // New York is an hour nearer to UTC in summer
  let compared = 0;
  for (const { text, minutes } of cases) {
    const week = weekOf(text);
    if (!week || week.dates.length > 0) continue;
    compared++;
    const open = new Set<number>();
    let at = 0;
    minutes[0]!.forEach((length, i) => {
      for (let m = Math.max(at, begin); i % 2 === 1 && m < Math.min(at + length, begin + 10_080); m++) open.add(m - begin);
      at += length;
    });
    expect(minutesOf(week.bars), text).toEqual(open);
  }
  expect(compared).toBeGreaterThan(200);
}, 60_000);
