// Who can be called about a site, and who of its people says yes.

import { api } from "./api";

export type Contact = { role: string; name: string; phone?: string };
export type Whom = { name: string; phone: string; roles: string[] };

/** One entry a person, with all roles; whoever has one of the roles named comes first, in that order. */
export function whomOf(contacts: Contact[], first: string[]): Whom[] {
  const people = new Map<string, Whom>();
  for (const { role, name, phone = "" } of contacts) {
    const key = `${name} ${phone}`;
    const known = people.get(key);
    if (known) known.roles.push(role);
    else people.set(key, { name, phone, roles: [role] });
  }
  const rank = (w: Whom) => Math.min(...w.roles.map((role) => (first.includes(role) ? first.indexOf(role) : first.length)));
  return [...people.values()].sort((a, b) => rank(a) - rank(b));
}

/** A person to choose, by id. */
export type Choice = { id: string; text: string };

/** The people on record, by name. */
export const peopleOnRecord = async (): Promise<Choice[]> =>
  (await api.entries("people")).map(({ id, details }) => ({ id, text: details?.name ?? id })).sort((a, b) => a.text.localeCompare(b.text));

/** The contacts of a site, by role; whoever may authorise a repair comes first. */
export async function customersPeople(site: string): Promise<Choice[]> {
  const { facts } = await api.entry("sites", site);
  const roles = new Map<string, string[]>();
  for (const { person, role } of (facts.contacts ?? []) as { person: string; role: string }[]) roles.set(person, [...(roles.get(person) ?? []), role]);
  const rank = (list: string[]) => (list.includes("may authorise repair") ? 0 : 1);
  return [...roles].sort(([, a], [, b]) => rank(a) - rank(b)).map(([id, list]) => ({ id, text: list.join(", ") }));
}
