// Positions as they are pasted: "41.19, -95.93", "41.19 N 95.93 W", with degree
// signs or a semicolon. Degrees, WGS 84.

import type { Position } from "../types";

const number = /^[+-]?\d{1,3}(?:\.\d+)?$/;

/** The position that a text names, or null when it names none. */
export function positionOf(text: string): Position | null {
  const parts = text.replace(/[°;,()]/g, " ").replace(/−/g, "-").replace(/([NSEW])/gi, " $1 ").trim().split(/\s+/);
  const signed: { value: number; axis: "" | "lat" | "lon" }[] = [];
  for (const part of parts) {
    if (number.test(part)) signed.push({ value: Number(part), axis: "" });
    else if (/^[NSEW]$/i.test(part) && signed.length > 0 && signed.at(-1)!.axis === "") {
      const last = signed.at(-1)!;
      last.axis = /[NS]/i.test(part) ? "lat" : "lon";
      if (/[SW]/i.test(part)) last.value = -Math.abs(last.value);
    } else return null;
  }
  if (signed.length !== 2) return null;
  const [a, b] = signed as [typeof signed[0], typeof signed[0]];
  if ((a.axis === "") !== (b.axis === "") || (a.axis !== "" && a.axis === b.axis)) return null;
  const [lat, lon] = a.axis === "lon" ? [b.value, a.value] : [a.value, b.value];
  return Math.abs(lat) <= 90 && Math.abs(lon) <= 180 ? { lat, lon } : null;
}

/** "41.190000, -95.930000": six digits are about a decimetre. */
export const positionText = (p: Position | null | undefined): string => (p ? `${p.lat.toFixed(6)}, ${p.lon.toFixed(6)}` : "");
