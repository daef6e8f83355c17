import { describe, expect, it } from "vitest";
import { correctedTest, draftOfTest, sameTest } from "../src/corrections";
import { form } from "../src/deskfixtures";
import { mendRequest } from "../src/mends";
import { emptyLeft, leftOf, leftWhole } from "../src/paperleft";
import type { Mend } from "../src/types";

const entry = { entity: "feed" as const, id: "f1", event: "c-0" };
const part = { assembly: "a1", job: "j1", nth: 2, code: "RK" };

describe("what is sent to mend an entry", () => {
  it.each<[string, Mend, object | null]>([
    ["a mistaken entry names its own entity", { how: "note-mistake" }, { desk: { kind: "correct-entry", feed: "f1", about: "c-0", words: "why" } }],
    ["a result", { how: "void-result", assembly: "a1", job: "j1" }, { desk: { kind: "void-result", assembly: "a1", job: "j1", about: "c-0", words: "why" } }],
    ["a part set free", { how: "release-part", ...part, item: "k1" }, { desk: { kind: "release-part", ...part, words: "why" } }],
    ["a kit sent back", { how: "send-back-kit", item: "k1" }, { desk: { kind: "send-back-kit", item: "k1", date: "2026-03-02", words: "why" } }],
    ["readings have a page of their own", { how: "correct-readings", job: "j1" }, null],
  ])("%s", (_, mend, want) => expect(mendRequest(entry, mend, "why", "2026-03-02")).toEqual(want));
  it("a time as it was agreed, at its site", () => {
    const mend: Mend = { how: "withdraw-time", from: "2026-03-03T12:00:00Z", to: "2026-03-03T14:00:00Z" };
    expect(mendRequest({ entity: "site", id: "s1", event: "c-1" }, mend, "off", "2026-03-02")).toEqual({ withdraw: { site: "s1", from: mend.from, to: mend.to, why: "off" } });
  });
});

describe("readings corrected", () => {
  const test = form.tests![0]!;
  const components = form.work.components!;
  it("untouched it is the same test, and a number that was not read is no 0", () => {
    const again = correctedTest(test, components, draftOfTest(test));
    expect(sameTest(test, again)).toBe(true);
    expect(again.readings!.find((r) => r.component === "check-2")).not.toHaveProperty("number");
  });
  it("a changed number is another test with the verdict and the instant as they were", () => {
    const draft = draftOfTest(test);
    draft.initial["main check-1"]!.number = "3.1";
    const again = correctedTest(test, components, draft);
    expect(sameTest(test, again)).toBe(false);
    expect([again.says, again.at, again.tester]).toEqual([test.says, test.at, test.tester]);
  });
});

describe("how a paper says a feed was left", () => {
  const left = emptyLeft({ valves: [] });
  it("guesses nothing", () => expect(leftWhole(left)).toBe(false));
  it("is whole when every shut-off, the service and the time are said", () => {
    const said = { valves: left.valves.map((v) => ({ ...v, state: "open" as const })), service: "in-service" as const, at: "09:00", words: " " };
    expect(leftWhole(said)).toBe(true);
    expect(leftWhole({ ...said, at: "" })).toBe(false);
    expect(leftOf(said)).toEqual({ service: "in-service", valves: [{ name: "No. 1 shut-off", state: "open" }, { name: "No. 2 shut-off", state: "open" }] });
  });
});
