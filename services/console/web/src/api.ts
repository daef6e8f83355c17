// Every call the pages make, typed. A refusal carries the server's own
// sentences; a failure to reach it carries ours.

import type { Day, LeftOut, Office } from "./types";
import { words } from "./words";

/** The server answered, and said no; or it could not be reached (`status` 0). */
export class Refusal extends Error {
  constructor(readonly status: number, readonly sentences: string[]) {
    super(sentences.join(" "));
  }
  /** Whether sending the same thing again may help. */
  get mayPass(): boolean {
    return this.status === 0 || this.status === 401 || this.status === 403 || this.status === 404
      || this.status === 408 || this.status === 429 || this.status >= 500;
  }
}

interface Problem { title?: string; detail?: string; errors?: { message?: string; location?: string }[] }

/** The sentences of a problem+json answer (RFC 9457): one for each fault, else the detail. */
export function sentencesOf(problem: Problem, status: number): string[] {
  const faults = (problem.errors ?? []).map((e) => [e.message, e.location && `(${e.location})`].filter(Boolean).join(" ")).filter(Boolean);
  if (faults.length > 0) return faults;
  return [problem.detail ?? problem.title ?? words.states.status(status)];
}

async function call<T>(method: "GET" | "POST", path: string, body?: unknown): Promise<T> {
  let answer: Response;
  try {
    answer = await fetch(path, {
      method,
      headers: body === undefined || body instanceof FormData ? {} : { "Content-Type": "application/json" },
      body: body === undefined ? undefined : body instanceof FormData ? body : JSON.stringify(body),
    });
  } catch {
    throw new Refusal(0, [words.states.unreachable]);
  }
  const text = await answer.text();
  let parsed: unknown = null;
  try { parsed = text === "" ? null : JSON.parse(text); } catch { /* not JSON: the status says enough */ }
  if (!answer.ok) throw new Refusal(answer.status, sentencesOf((parsed ?? {}) as Problem, answer.status));
  return parsed as T;
}

const get = <T>(path: string) => call<T>("GET", path);
const post = <T>(path: string, body: unknown = {}) => call<T>("POST", path, body);

export const api = {
  office: () => get<Office>("/api/office"),
  day: (date: string) => get<Day>(`/api/day/${date}`),
  plan: (date: string) => post<{ plan_id: string }>(`/api/day/${date}/plan`),
  stopPlanning: (date: string) => post<void>(`/api/day/${date}/stop`),
  hold: (date: string, visit: string, held: boolean) => post<void>(`/api/day/${date}/hold`, { visit, held }),
  move: (date: string, visit: string, crew: string, place: number) => post<void>(`/api/day/${date}/move`, { visit, crew, place }),
  leaveOut: (date: string, visit: string, reason: string) => post<void>(`/api/day/${date}/leave-out`, { visit, reason }),
  sendOut: (date: string, position: number) => post<void>(`/api/day/${date}/send-out`, { position }),
  takeBack: (date: string, reason: string) => post<void>(`/api/day/${date}/take-back`, { reason }),
};

export type { LeftOut };
