import type { Day, Position } from "../types";

/** The towns of a day's sites, each named at their middle. */
export function towns(day: Day): { name: string; middle: Position }[] {
  const sites = [...(day.routes ?? []).flatMap((r) => (r.visits ?? []).map((v) => v.site)), ...(day.left_out ?? []).map((l) => l.site)];
  const groups = new Map<string, Position[]>();
  for (const site of sites) {
    const name = townOf(site.address ?? "");
    if (name && site.position) groups.set(name, [...(groups.get(name) ?? []), site.position]);
  }
  const mean = (xs: number[]) => xs.reduce((a, b) => a + b, 0) / xs.length;
  return [...groups].map(([name, ps]) => ({ name, middle: { lat: mean(ps.map((p) => p.lat)), lon: mean(ps.map((p) => p.lon)) } }));
}

/** What follows the last comma of an address, without a postal code. */
export function townOf(address: string): string {
  const comma = address.lastIndexOf(",");
  return comma < 0 ? "" : address.slice(comma + 1).replace(/[\d\s-]+$/, "").trim();
}
