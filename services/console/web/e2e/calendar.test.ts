// Calendars as served, read by a general iCalendar library that had no part
// in writing them. First the library itself is held to the examples of RFC
// 5545, so that its word counts.

import ICAL from "ical.js";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { Crew, Day, Entry, Office } from "../src/types";
import { startServer, type Running } from "./server";

let server: Running;
let office: Office;

beforeAll(async () => {
  server = await startServer("--at", "2026-05-12T15:00", "--sites", "60");
  office = await read<Office>("/api/office");
});
afterAll(() => server?.stop());

const read = async <T>(path: string): Promise<T> => (await (await fetch(server.url + path)).json()) as T;
const post = (path: string, body: unknown) => fetch(server.url + path, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
const commandId = (n: number) => n.toString(16).padStart(32, "0");

async function calendar(path: string): Promise<{ text: string; events: ICAL.Event[] }> {
  const answer = await fetch(server.url + path);
  expect(answer.headers.get("content-type")).toMatch(/^text\/calendar/);
  const text = await answer.text();
  return { text, events: new ICAL.Component(ICAL.parse(text)).getAllSubcomponents("vevent").map((e) => new ICAL.Event(e)) };
}

/** The clock in a zone, by the machine's own time zone data. */
const clock = (at: Date, zone: string) => new Intl.DateTimeFormat("en-GB", { timeZone: zone, dateStyle: "short", timeStyle: "short" }).format(at);

it("the library reads the examples of RFC 5545", () => {
  // Section 3.1, folding; 3.3.5, form 2; 3.3.11, escaped text.
  const event = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//x//y//EN", "BEGIN:VEVENT", "UID:a@b", "DTSTAMP:19980119T070000Z", "DTSTART:19980119T070000Z",
    "DESCRIPTION:This is a lo", " ng description", "  that exists on a long line.", "SUMMARY:Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared.", "END:VEVENT", "END:VCALENDAR", ""].join("\r\n");
  const read = new ICAL.Event(new ICAL.Component(ICAL.parse(event)).getFirstSubcomponent("vevent")!);
  expect(read.description).toBe("This is a long description that exists on a long line.");
  expect(read.summary).toBe("Project XYZ Final Review\nConference Room - 3B\nCome Prepared.");
  expect(read.startDate.toJSDate().toISOString()).toBe("1998-01-19T07:00:00.000Z");
});

it("the library expands the recurrence examples of RFC 5545", () => {
  // Section 3.8.5.3: every other week in a 52-week year, the first and last Sunday of every other month, Thursdays in March.
  for (const [start, rule, dates] of [
    ["19970902T090000", "FREQ=WEEKLY;INTERVAL=2;WKST=SU", ["09-02", "09-16", "09-30", "10-14", "10-28", "11-11", "11-25", "12-09", "12-23"]],
    ["19970907T090000", "FREQ=MONTHLY;INTERVAL=2;COUNT=10;BYDAY=1SU,-1SU", ["09-07", "09-28", "11-02", "11-30", "01-04", "01-25", "03-01", "03-29", "05-03", "05-31"]],
    ["19970922T090000", "FREQ=MONTHLY;COUNT=6;BYDAY=-2MO", ["09-22", "10-20", "11-17", "12-22", "01-19", "02-16"]],
    ["19970313T090000", "FREQ=YEARLY;BYMONTH=3;BYDAY=TH", ["03-13", "03-20", "03-27", "03-05", "03-12", "03-19", "03-26"]],
  ] as const) {
    const all = ICAL.Recur.fromString(rule).iterator(ICAL.Time.fromDateTimeString(`${start.slice(0, 4)}-${start.slice(4, 6)}-${start.slice(6, 8)}T09:00:00`));
    expect(dates.map(() => all.next()!.toString().slice(5, 10)), rule).toEqual(dates);
  }
});

/** Whether no later day of the month has the same weekday. */
const lastOfItsWeekday = (date: Date) => new Date(date.getTime() + 7 * 86_400_000).getUTCMonth() !== date.getUTCMonth();

/** When windows of a feed open on a date, said anew in this language: clock and minutes. */
function opens(text: string, date: Date): string[] {
  const month = date.getUTCMonth() + 1, day = date.getUTCDate(), weekday = date.getUTCDay();
  const workday = weekday >= 1 && weekday <= 5;
  switch (text) {
    case "Mo-Fr 05:00-09:00; Dec 24-26 off; Fr[-1] 22:00-02:00": return weekday === 5 && lastOfItsWeekday(date) ? ["22:00+240"] : workday && !(month === 12 && day >= 24 && day <= 26) ? ["05:00+240"] : [];
    case "Apr-Oct Tu,Th 06:30-10:00, Sa[1] 12:00-13:00": return [...(month >= 4 && month <= 10 && (weekday === 2 || weekday === 4) ? ["06:30+210"] : []), ...(weekday === 6 && day <= 7 ? ["12:00+60"] : [])];
    default: throw new Error(text);
  }
}

it("a feed's shutdown windows are read as they were entered, in the zone that the file describes", async () => {
  const feed = (await read<Entry[]>("/api/registry/feeds?limit=1"))[0]!;
  for (const [n, text] of ["Mo-Fr 05:00-09:00; Dec 24-26 off; Fr[-1] 22:00-02:00", "Apr-Oct Tu,Th 06:30-10:00, Sa[1] 12:00-13:00"].entries()) {
    const put = await fetch(`${server.url}/api/registry/feeds/${feed.id}`, { method: "PUT", headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ command_id: commandId(200 + n), facts: { ...feed.facts, shutdown_window: text } }) });
    expect(put.ok, await put.text()).toBe(true);
    const { text: file, events } = await calendar(`/api/calendars/feeds/${feed.id}.ics`);
    for (const zone of new ICAL.Component(ICAL.parse(file)).getAllSubcomponents("vtimezone")) ICAL.TimezoneService.register(zone);
    expect(file.split("\r\n").filter((line) => new TextEncoder().encode(line).length > 75 || /[\r\n]/.test(line))).toEqual([]);
    expect(file).toContain("RRULE:");
    const got: string[] = [];
    for (const event of events) {
      const all = event.iterator();
      for (let at = all.next(); at; at = all.next()) {
        const { startDate, endDate } = event.getOccurrenceDetails(at);
        const from = startDate.toJSDate(), to = endDate.toJSDate();
        got.push(`${wall(from)}+${(to.getTime() - from.getTime()) / 60_000}`);
      }
    }
    const want: string[] = [];
    for (let day = Date.UTC(2026, 5, 1); day < Date.UTC(2028, 4, 1); day += 86_400_000) {
      want.push(...opens(text, new Date(day)).map((o) => `${new Date(day).toISOString().slice(0, 10)} ${o}`));
    }
    expect(got.filter((g) => g >= "2026-06-01" && g < "2028-05-01").sort(), text).toEqual(want.sort());
  }
});

/** The date and clock in the county's zone, by the machine's own time zone data. */
const wall = (at: Date) => {
  const part = Object.fromEntries(new Intl.DateTimeFormat("en-US", { timeZone: "America/Chicago", hourCycle: "h23", year: "numeric", month: "2-digit", day: "2-digit", hour: "2-digit", minute: "2-digit" })
    .formatToParts(at).map((p) => [p.type, p.value]));
  return `${part.year}-${part.month}-${part.day} ${part.hour}:${part.minute}`;
};

it("a crew's sent-out visits are read as they were sent out", async () => {
  const date = office.tomorrow;
  expect((await post(`/api/days/${date}/plan`, { seconds: 1 })).ok).toBe(true);
  await expect.poll(async () => ((await read<Day>(`/api/days/${date}`)).digest ?? "") !== "", { timeout: 60_000 }).toBe(true);
  const planned = await read<Day>(`/api/days/${date}`);
  const sent = await post(`/api/days/${date}/send-out`, { command_id: commandId(1), digest: planned.digest });
  expect(sent.ok, await sent.text()).toBe(true);
  const day = await read<Day>(`/api/days/${date}`);
  let folded = 0;
  for (const route of day.routes ?? []) {
    const { text, events: all } = await calendar(`/api/calendars/crews/${(route.crew as Crew).id}.ics`);
    const events = all.filter((e) => e.uid.includes(date)); // the calendar goes back some days
    const visits = route.visits ?? [];
    expect(events.length).toBe(visits.length);
    expect(new Set(events.map((e) => e.uid)).size).toBe(visits.length);
    const lines = text.split("\r\n");
    expect(lines.filter((line) => new TextEncoder().encode(line).length > 75 || /[\r\n]/.test(line))).toEqual([]);
    folded += lines.filter((line) => line.startsWith(" ")).length;
    for (const [i, visit] of visits.entries()) {
      const event = events[i]!;
      expect(event.startDate.toJSDate().getTime()).toBe(new Date(visit.arrive).getTime());
      expect(event.endDate.toJSDate().getTime()).toBe(new Date(visit.leave).getTime());
      expect(event.location).toContain(visit.site.address!); // with its commas
      expect(event.summary).toContain(visit.site.name);
      if ((visit.water_off ?? []).length > 0) expect(event.description).toMatch(/^Water off, .*: \d\d:\d\d to \d\d:\d\d$/m);
    }
  }
  expect(folded).toBeGreaterThan(0);
});

it("agreed times on both sides of the end of summer time stand on the site's own clocks", async () => {
  const sites = await read<Entry[]>("/api/registry/sites?limit=5");
  const { id, facts } = sites[0]!;
  const zone = String(facts.zone);
  // Summer time ends on the first Sunday of November there (15 U.S.C. 260a): 1 November 2026.
  const days = ["2026-10-30", "2026-11-02"];
  const offset = { "2026-10-30": "-05:00", "2026-11-02": "-06:00" } as Record<string, string>;
  expect(zone).toBe("America/Chicago");
  for (const [n, day] of days.entries()) {
    const said = await post("/api/desk", { command_id: commandId(100 + n), kind: "agree-time", site: id, from: `${day}T09:00:00${offset[day]}`, to: `${day}T10:30:00${offset[day]}` });
    expect(said.ok, await said.text()).toBe(true);
  }
  const { events } = await calendar("/api/calendars/agreed.ics");
  const mine = events.filter((e) => e.summary.includes(String(facts.name)) && ["2026-10", "2026-11"].some((m) => e.startDate.toJSDate().toISOString().startsWith(m)));
  expect(mine.map((e) => clock(e.startDate.toJSDate(), zone))).toEqual(["30/10/2026, 09:00", "02/11/2026, 09:00"]);
  expect(mine.map((e) => clock(e.endDate.toJSDate(), zone))).toEqual(["30/10/2026, 10:30", "02/11/2026, 10:30"]);
  expect(mine.map((e) => e.startDate.toJSDate().toISOString().slice(11, 16))).toEqual(["14:00", "15:00"]);
});
