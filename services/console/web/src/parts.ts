// Repair parts of a job: how far each has come, and where it lies.

import type { CalendarDate, PartWanted } from "./types";
import { dayName } from "./time";
import { words } from "./words";

export type PartStep = "needed" | "ordered" | "promised" | "received" | "reserved";

/** How far a part has come. Only a reserved one lets a return visit be planned: a promised day is no part. */
export function stepOf(part: PartWanted): PartStep {
  if (part.item) return "reserved";
  if (part.received) return "received";
  if (part.promised) return "promised";
  if (part.ordered) return "ordered";
  return "needed";
}

export type Truck = { id: string; name: string };

/** "in the shop", or on whose truck. */
export function placeOf(where: string | undefined, trucks: Truck[]): string {
  const w = words.parts;
  if (!where || where === "shop") return w.inShop;
  const crew = trucks.find((t) => t.id === where);
  return crew ? w.onTruck(crew.name) : w.at(where);
}

/** How far a part has come, in words. */
export function partWords(part: PartWanted, trucks: Truck[], today: CalendarDate): string {
  const w = words.parts.steps;
  switch (stepOf(part)) {
    case "needed": return w.needed;
    case "ordered": return w.ordered(dayName(part.ordered!, today), part.supplier ?? "", part.order_number ?? "");
    case "promised": return (part.promised! < today ? w.late : w.promised)(dayName(part.promised!, today));
    case "received": return w.received(placeOf(part.where, trucks));
    case "reserved": return w.reserved(placeOf(part.where, trucks));
  }
}

/** The kits wanted when one more is: those on record stay as they are. */
export const wantedToo = (parts: PartWanted[], code: string): PartWanted[] => [...parts, { code }];
