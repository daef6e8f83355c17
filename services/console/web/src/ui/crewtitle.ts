import type { Crew } from "../types";

/** Who the crew is: its people where they are known, else its name. */
export const crewTitle = (crew: Crew): string => (crew.people ?? []).join(" & ") || crew.name;
