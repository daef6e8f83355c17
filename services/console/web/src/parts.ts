// Repair parts of a job: where each can lie, and what is sent to record its next step.

import type { CalendarDate, DeskRequest } from "./types";
import { words } from "./words";

export type Truck = { id: string; name: string };

/** "in the shop", or on whose truck. */
export function placeOf(where: string, trucks: Truck[]): string {
  const w = words.parts;
  if (where === "shop") return w.inShop;
  const crew = trucks.find((t) => t.id === where);
  return crew ? w.onTruck(crew.name) : w.at(where);
}

/** Where a kit can lie: the shop, each crew's truck, and where this one lies now if it is neither. */
export function placesOf(trucks: Truck[], now: string | undefined): { id: string; text: string }[] {
  const ids = ["shop", ...trucks.map((t) => t.id)];
  if (now && !ids.includes(now)) ids.push(now);
  return ids.map((id) => ({ id, text: placeOf(id, trucks) }));
}

export type PartFact =
  | { kind: "order-parts"; supplier: string; order_number: string; date: CalendarDate }
  | { kind: "promise-parts"; date: CalendarDate }
  | { kind: "receive-part" | "load-part"; where: string }
  | { kind: "reserve-part"; where?: string; item?: string }
  | { kind: "wrong-part"; words: string };

/** What is sent to record one step of one part: the nth of its job's list, from 1. */
export const partRequest = (job: { assembly: string; job: string }, part: { nth: number; code: string }, fact: PartFact): DeskRequest =>
  ({ assembly: job.assembly, job: job.job, nth: part.nth, code: part.code, ...fact });
