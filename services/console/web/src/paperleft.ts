// How a paper says that a feed was left: each shut-off, whether it serves, when.

import type { Condition, Feed } from "./types";

type Valve = Condition["valves"][number];

export interface Left { valves: { name: string; state: Valve["state"] | "" }[]; service: Condition["service"] | ""; at: string; words: string }

const standard = ["No. 1 shut-off", "No. 2 shut-off"];

export const emptyLeft = (feed: Pick<Feed, "valves">): Left =>
  ({ valves: (feed.valves?.length ? feed.valves : standard).map((name) => ({ name, state: "" })), service: "", at: "", words: "" });

/** Whether everything is said: nothing that the paper does not say is guessed. */
export const leftWhole = (left: Left): boolean => left.service !== "" && left.at !== "" && left.valves.every((v) => v.state !== "");

export const leftOf = (left: Left): Condition => ({
  service: left.service as Condition["service"],
  valves: left.valves.map((v) => ({ name: v.name, state: v.state as Valve["state"] })),
  ...(left.words.trim() ? { words: left.words.trim() } : {}),
});
