// Every call the pages make, typed. A refusal carries the server's own
// sentences; a failure to reach it carries ours.

import { newCommandId } from "./outbox";
import type { Backlog, CrewDay, Day, DeskRequest, DueList, FieldRequest, History, LeftOff, Office, Receipt, WishRequest } from "./types";
import { words } from "./words";

/** The server answered, and said no; or it could not be reached (`status` 0). */
export class Refusal extends Error {
  /** `own`: the answer was our server's problem+json, and not some proxy's page. */
  constructor(readonly status: number, readonly sentences: string[], private readonly own = false) {
    super(sentences.join(" "));
  }
  /** Whether the server has judged this very request; anything else may pass later. */
  get final(): boolean {
    const maybeLater = [401, 403, 407, 408, 425, 429];
    return this.own && this.status >= 400 && this.status < 500 && !maybeLater.includes(this.status);
  }
}

interface Problem { title?: string; detail?: string; errors?: { message?: string; location?: string }[] | null }

/** The sentences of a problem+json answer (RFC 9457): the detail, then one for each fault. */
export function sentencesOf(problem: Problem, status: number): string[] {
  const faults = (problem.errors ?? []).map((e) => [e.message, e.location && `(${e.location})`].filter(Boolean).join(" ")).filter(Boolean);
  const detail = problem.detail || problem.title || words.states.status(status);
  return faults.includes(detail) ? faults : [detail, ...faults];
}

async function call<T>(method: "GET" | "POST", path: string, body?: unknown): Promise<T> {
  let answer: Response;
  const raw = body instanceof Blob;
  try {
    answer = await fetch(path, {
      method,
      headers: body === undefined ? {} : { "Content-Type": raw ? "application/octet-stream" : "application/json" },
      body: body === undefined ? undefined : raw ? body : JSON.stringify(body),
    });
  } catch {
    throw new Refusal(0, [words.states.unreachable]);
  }
  const text = await answer.text();
  let parsed: unknown = null;
  try { parsed = text === "" ? null : JSON.parse(text); } catch { /* not JSON: the status says enough */ }
  if (!answer.ok) throw new Refusal(answer.status, sentencesOf((parsed ?? {}) as Problem, answer.status), parsed !== null);
  return parsed as T;
}

const get = <T>(path: string) => call<T>("GET", path);
const post = <T>(path: string, body: unknown = {}) => call<T>("POST", path, body);
/** A tap at the desk gets its id here; pressing again is another command. */
const command = <T>(path: string, body: object = {}) => post<T>(path, { command_id: newCommandId(), ...body });
const part = encodeURIComponent;

export const api = {
  office: () => get<Office>("/api/office"),

  day: (date: string) => get<Day>(`/api/days/${part(date)}`),
  plan: (date: string) => post<Day>(`/api/days/${part(date)}/plan`),
  stopPlanning: (date: string) => post<Day>(`/api/days/${part(date)}/plan/stop`),
  wish: (date: string, wish: WishRequest) => command<Day>(`/api/days/${part(date)}/wishes`, wish),
  sendOut: (date: string, digest: string) => command<Day>(`/api/days/${part(date)}/send-out`, { digest }),
  takeBack: (date: string, why: string) => command<Day>(`/api/days/${part(date)}/take-back`, { why }),

  crewDay: (crew: string, date: string) => get<CrewDay>(`/api/crews/${part(crew)}/days/${part(date)}`),
  field: (request: FieldRequest) => post<Receipt>("/api/field", request),

  desk: (request: DeskRequest) => command<Receipt>("/api/desk", request),
  backlog: () => get<Backlog>("/api/backlog"),
  history: (assembly: string) => get<History>(`/api/assemblies/${part(assembly)}/history`),
  leftOff: () => get<LeftOff>("/api/left-off"),

  readList: (file: File, purveyor: string, asOf: string) =>
    call<DueList>("POST", `/api/intake/lists?file=${part(file.name)}&purveyor=${part(purveyor)}&as_of=${part(asOf)}`, file),
  list: (id: string) => get<DueList>(`/api/intake/lists/${part(id)}`),
  mapList: (id: string, columns: Record<string, string>, dateOrder: string) =>
    post<DueList>(`/api/intake/lists/${part(id)}/mapping`, { columns, ...(dateOrder ? { date_order: dateOrder } : {}) }),
  takeList: (id: string) => command<DueList>(`/api/intake/lists/${part(id)}/take`),
  rejectedAddress: (id: string) => `/api/intake/lists/${part(id)}/rejected.csv`,
};
