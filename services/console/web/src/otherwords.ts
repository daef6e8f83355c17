// The words of the page that compares a day as it stands with the day as it would be.

import { count } from "./time";

const signed = (n: number) => `${n < 0 ? "−" : "+"}${Math.abs(n)}`;

export const otherwise = {
  open: (sent: boolean) => (sent ? "Plan the rest of the day, or ask what if" : "Ask what if"),
  title: (day: string) => `What would be otherwise on ${day}`,
  back: "Back to the day",
  rest: "Plan the rest of the day",
  restLead: "Crews start from where they are. What they have begun stays as it was sent out, and so does every visit that can still be kept. Nothing is recorded until you send it out.",
  what: "What if",
  kinds: {
    "crew-off": "a crew does not work (any more)",
    "crew-longer": "a crew's day may be longer",
    "new-job": "an assembly has a job now",
    "window": "a feed may be dry at other hours",
    "access": "crews may be there at other hours",
    "parts-late": "repair kits come late",
  } as Record<string, string>,
  crew: "Crew",
  minutes: "Minutes longer",
  assembly: "Assembly, by its number on record",
  feed: "Feed",
  site: "Site",
  hours: "Hours, such as Mo-Fr 05:00-07:00",
  repair: "Return visit",
  promised: "Day on which they come",
  choose: "choose…",
  ask: "Show what would be otherwise",
  asking: "Planning…",
  nothingSaid: "Choose what to suppose, or plan the rest of the day.",
  supposing: "Supposed:",
  same: "Nothing would be otherwise.",
  line: (moved: number, drive: number, route: number, usd: string) =>
    `${count(moved, "visit")} moved, ${signed(drive)} min driving, ${signed(route)} min on the road in all, ${usd}.`,
  picture: "Both days in the same rows: dashed outlines as it stands, solid blocks as it would be. The list of moves says the same.",
  key: { was: "as it stands", is: "as it would be", begun: "begun: stays" },
  moves: "Moves",
  columns: { site: "Site", how: "What becomes of it", was: "As it stands", is: "As it would be", later: "Later by", usd: "Money" },
  seat: (crew: string, at: string) => `${crew}, ${at}`,
  later: (minutes: number) => (minutes === 0 ? "" : `${signed(minutes)} min`),
  begun: "What has begun stays",
  begunLine: (crew: string, visits: number, site: string, free: string) => `${crew} has begun ${count(visits, "visit")} and is free about ${free} at ${site}.`,
  unheard: "Nothing was heard of it today, so it is taken to be on its route: call it before you send this out.",
  money: "Where the money goes",
  refused: "The checker refuses this plan, so it cannot be sent out.",
  why: "Why, for the crews and the record",
  send: (routes: number) => `Send out the changes to ${count(routes, "route")}`,
  sent: "Sent out. The crews' day sheets show it.",
  keep: "The day is kept as it is: no change of its routes would be better.",
  supposedOnly: "This was only supposed. Record what is so, then plan the rest of the day to send it out.",
};
