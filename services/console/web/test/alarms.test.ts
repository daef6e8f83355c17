import { describe, expect, it } from "vitest";
import { alarms } from "../src/alarmfixtures";
import { settling } from "../src/views/Alarms";
import { readOutbox } from "../src/views/TakeOutbox";

it.each([["assembly", "assembly"], ["site", "site"], ["feed", "feed"], ["field", "kept"]] as const)("an alarm about a %s is settled under %s", (kind, under) => {
  expect(settling({ ...alarms[0]!, kind, id: "x" }, "asked")).toEqual({ kind: "settle-alarm", about: "e1-2", words: "asked", [under]: "x" });
});

describe("a file from a phone", () => {
  it("is read", () => expect(readOutbox('{"valveround_outbox":1,"entries":[]}')).toEqual({ valveround_outbox: 1, entries: [] }));
  it.each(["", "null", "[]", '{"valveround_outbox":1}', '{"entries":[]}', "due,list"])("is not %j", (text) => expect(readOutbox(text)).toBeNull());
});
