// The invented county's day compared with what it would be, for the storybook and the unit tests.

import { day, refusals as said } from "./fixtures";
import type { Otherwise, Route } from "./types";

const before = day.routes ?? [];
const later = (at: string, minutes: number) => new Date(Date.parse(at) + minutes * 60_000).toISOString();

/** Crew B's last two visits are with crew A, and A's third visit begins half an hour later. */
const after: Route[] = before.map((route, i) => {
  const visits = route.visits ?? [];
  if (i === 1) return { ...route, visits: visits.slice(0, -2) };
  if (i !== 0) return route;
  const taken = (before[1]?.visits ?? []).slice(-2).map((visit, n) => ({ ...visit, order: visits.length + n + 1, arrive: later(visit.arrive, 60), leave: later(visit.leave, 60), water_off: [] }));
  return { ...route, visits: [...visits.map((v, n) => (n === 2 ? { ...v, arrive: later(v.arrive, 20), leave: later(v.leave, 20) } : v)), ...taken] };
});

const moves: Otherwise["moves"] = (before[1]?.visits ?? []).slice(-2).map((visit) => ({
  site: visit.site, jobs: 1, how: "another crew", from: { crew: "Cade", arrive: visit.arrive }, to: { crew: "Ash & Bo", arrive: later(visit.arrive, 60) }, later_minutes: 60, usd: 0,
}));
const third = before[0]!.visits![2]!;
moves!.push({ site: third.site, jobs: 1, how: "another time", from: { crew: "Ash & Bo", arrive: third.arrive }, to: { crew: "Ash & Bo", arrive: later(third.arrive, 20) }, later_minutes: 20, usd: 0 });

const last = before[1]!.visits![0]!;
moves!.unshift({ site: last.site, jobs: 1, how: "falls out", from: { crew: "Cade", arrive: last.arrive }, usd: 155, why: "no room: the nearest is Dara, whose day would have to be 12 min longer; it fits with Dara if its day may be 15 min longer, stop 9 at 16:40, adds 31.20 USD and brings in 155.00 USD" });

export const supposed: Otherwise = {
  suppose: ["Cade does not work that day"], moved: 3, drive_minutes: 14, route_minutes: -35, total_usd: 71.4,
  costs: [{ name: "driving distance", usd: 4.2 }, { name: "crew hours", usd: -28 }, { name: "overtime", usd: 15.2 }, { name: "work left out", usd: 0 }, { name: "promises not kept", usd: 0 }, { name: "changes to the plan before", usd: 80 }],
  moves, before, after,
};

export const refusals: Otherwise["refusals"] = [{ rule: "hours", words: said[0]! }];

export const rest: Otherwise = {
  ...supposed, suppose: [], digest: "d2", amends: 2,
  begun: [
    { crew: "crew1", visits: 2, site: before[0]!.visits![1]!.site, free: before[0]!.visits![1]!.leave },
    { crew: "crew3", visits: 1, site: before[2]!.visits![0]!.site, free: before[2]!.visits![0]!.leave, unheard: true },
  ],
};

export const same: Otherwise = { ...rest, digest: undefined, amends: 0, moved: 0, drive_minutes: 0, route_minutes: 0, total_usd: 0, moves: [], after: before };
