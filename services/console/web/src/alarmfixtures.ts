// Development only: what the office is asked to look into, for the storybook and the tests.

import { day } from "./fixtures";
import type { Alarm, TakenItem } from "./types";

const site = day.routes![0]!.visits![0]!.site;

export const alarms: Alarm[] = [
  { event: "e1-2", kind: "assembly", id: "a1", site, what: "RP, 3/4 in, boiler room", words: "this result (failed) came in after a later one (passed): the later one stands, both are kept; which one holds?",
    do: "Ask both crews what they saw. If the wrong word stands, take that result back, or note on the entry what is right; look at how the feed stands now.",
    said: "2026-03-02T16:30:00Z", received: "2026-03-02T19:00:00Z", who: "Ash & Bo" },
  { event: "e2-0", kind: "field", id: "e2", site: { ...site, id: "", name: "", zone: "" }, words: "this could not be filed: no assembly \"a77\"",
    do: "Read what was sent, enter it where it belongs, and then say here where.", request: '{"command_id":"e2","kind":"finish-job","crew":"c1","assembly":"a77","outcome":"passed"}',
    said: "2026-03-02T15:10:00Z", received: "2026-03-02T15:12:00Z", who: "Cade" },
  { event: "e3-1", kind: "site", id: "s1", site, words: "another crew is recorded as being at this site", do: "Call both crews: one has forgotten to leave, or two are at one site.",
    said: "2026-03-02T14:00:00Z", received: "2026-03-02T14:00:10Z", who: "Dara", settled: { by: "Ida Moor", words: "they shared the gate", on: "2026-03-02T14:30:00Z" } },
];

export const taken: TakenItem[] = [
  { label: "arrived at the bakery", command_id: "c1", outcome: "known" },
  { label: "passed: RP, boiler room", command_id: "c2", outcome: "recorded", words: ["the day had been taken back when this result came in"] },
  { label: "picture", command_id: "c3", outcome: "refused", words: ["the picture is damaged or too large"] },
];
