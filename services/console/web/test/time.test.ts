import { describe, expect, it } from "vitest";
import { addDays, clock, dated, dateIn, dayName, daysLeft, distance, duration, sentence, span } from "../src/time";

const chicago = "America/Chicago";

describe("clock", () => {
  it("reads in the site's zone and does not name it for a reader who lives there", () =>
    expect(clock("2026-03-03T13:02:00Z", chicago, chicago)).toBe("07:02"));
  it("names the zone for a reader elsewhere", () =>
    expect(clock("2026-03-03T13:02:00Z", chicago, "UTC")).toBe("07:02 CST"));
  it("names it as it is called there at the time", () => {
    expect(clock("2026-07-03T12:02:00Z", chicago, "UTC")).toBe("07:02 CDT");
    expect(clock("2026-07-03T06:02:00Z", "Europe/Berlin", "UTC")).toBe("08:02 CEST");
    expect(clock("2026-07-03T02:02:00Z", "Asia/Kathmandu", "UTC")).toMatch(/^07:47 GMT\+5:45$/);
  });
  it("does not name a zone with the reader's own time under another name", () =>
    expect(clock("2026-03-03T13:02:00Z", chicago, "America/Winnipeg")).toBe("07:02"));
  // Midnight is 00, not 24, whatever the locale's habit (ISO 8601:2019, 4.3.8).
  it("calls midnight 00:00", () => expect(clock("2026-03-03T06:00:00Z", chicago, chicago)).toBe("00:00"));
  // Clocks in Chicago go forward on 8 March 2026 at 02:00 (IANA time zone database).
  it("follows the change to summer time", () => {
    expect(clock("2026-03-08T07:59:00Z", chicago, chicago)).toBe("01:59");
    expect(clock("2026-03-08T08:00:00Z", chicago, chicago)).toBe("03:00");
  });
});

describe("dates", () => {
  it("is the date where the site is", () => expect(dateIn("2026-03-03T05:59:00Z", chicago)).toBe("2026-03-02"));
  it("adds days over a month's end", () => expect(addDays("2026-02-28", 1)).toBe("2026-03-01"));
  it("adds days over the change to summer time", () => expect(addDays("2026-03-07", 2)).toBe("2026-03-09"));
  it("names the day, and the year only when it is another", () => {
    expect(dayName("2026-03-03")).toBe("Tue 3 March");
    expect(dayName("2027-03-03", "2026-03-03")).toBe("Wed 3 March 2027");
  });
});

it.each([
  [0, "0 min"], [18, "18 min"], [59.6, "1 h"], [60, "1 h"], [80, "1 h 20"], [65, "1 h 05"], [-80, "−1 h 20"], [2940, "2 days 1 h"],
])("duration(%s) is %s", (minutes, text) => expect(duration(minutes)).toBe(text));

it.each([
  [3, "3 days left"], [1, "1 day left"], [0, "today"], [-2, "2 days over"], [null, "not known: ask"],
])("daysLeft(%s) is %s", (days, text) => expect(daysLeft(days)).toBe(text));

it.each([[420, "420 m"], [4240, "4.2 km"], [64400, "64 km"]])("distance(%s) is %s", (km, text) => expect(distance(km)).toBe(text));

it("writes a span once with its zone", () =>
  expect(span("2026-03-03T11:00:00Z", "2026-03-03T15:00:00Z", chicago)).toMatch(/^05:00–09:00( \S+)?$/));

describe("sentences of the server's", () => {
  it("are begun and ended", () => expect(sentence("it is out with crew A")).toBe("It is out with crew A."));
  it.each([
    ["a day", "it is out with 2026-05-12", "it is out with Tue 12 May 2026"],
    ["a day at the end of a sentence", "Closed on 2026-05-03.", "Closed on Sun 3 May 2026."],
    ["the name of a file", "so says pv-1-due-2026-04-26.csv row 14", "so says pv-1-due-2026-04-26.csv row 14"],
    ["the name of a file that begins with it", "2026-04-26.csv row 14", "2026-04-26.csv row 14"],
    ["a number that only looks alike", "QCW-2016-01-16", "QCW-2016-01-16"],
  ])("say a date as it is said: %s", (_what, text, said) => expect(dated(text)).toBe(said));
});
