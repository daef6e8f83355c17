// Every call the pages make, typed by the server's own description. A refusal
// carries the server's sentences; a failure to reach it carries ours.

import createClient from "openapi-fetch";
import type { paths } from "./openapi";
import { newCommandId } from "./outbox";
import type { CrewDay, DeskRequest, FieldRequest, WishRequest } from "./types";
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

const client = createClient<paths>();

/** The data of an answer, or a Refusal thrown. */
async function data<T>(call: Promise<{ data?: T; error?: unknown; response: Response }>): Promise<T> {
  let answer: { data?: T; error?: unknown; response: Response };
  try {
    answer = await call;
  } catch {
    throw new Refusal(0, [words.states.unreachable]);
  }
  const { response, error } = answer;
  if (response.ok) return answer.data as T;
  const own = typeof error === "object" && error !== null;
  throw new Refusal(response.status, sentencesOf(own ? (error as Problem) : {}, response.status), own);
}

/** A tap at the desk gets its id here; pressing again is another command. */
const command = <T extends object>(body: T) => ({ command_id: newCommandId(), ...body });

export const api = {
  office: () => data(client.GET("/api/office")),

  day: (date: string) => data(client.GET("/api/days/{date}", { params: { path: { date } } })),
  plan: (date: string) => data(client.POST("/api/days/{date}/plan", { params: { path: { date } }, body: {} })),
  stopPlanning: (date: string) => data(client.POST("/api/days/{date}/plan/stop", { params: { path: { date } } })),
  wish: (date: string, wish: WishRequest) => data(client.POST("/api/days/{date}/wishes", { params: { path: { date } }, body: command(wish) })),
  sendOut: (date: string, digest: string) => data(client.POST("/api/days/{date}/send-out", { params: { path: { date } }, body: command({ digest }) })),
  takeBack: (date: string, why: string) => data(client.POST("/api/days/{date}/take-back", { params: { path: { date } }, body: command({ why }) })),

  crewDay: (crew: string, date: string) => data(client.GET("/api/crews/{crew}/days/{date}", { params: { path: { crew, date } } })) as Promise<CrewDay>,
  field: (request: FieldRequest) => data(client.POST("/api/field", { body: request })),

  desk: (request: DeskRequest) => data(client.POST("/api/desk", { body: command(request) })),
  backlog: () => data(client.GET("/api/backlog")),
  history: (id: string) => data(client.GET("/api/assemblies/{id}/history", { params: { path: { id } } })),
  leftOff: () => data(client.GET("/api/left-off")),

  readList: (file: File, purveyor: string, asOf: string) =>
    data(client.POST("/api/intake/lists", {
      params: { query: { file: file.name, purveyor, as_of: asOf } },
      headers: { "Content-Type": "application/octet-stream" },
      body: file as unknown as string, // the description calls a body of bytes a string
      bodySerializer: (body) => body,
    })),
  list: (id: string) => data(client.GET("/api/intake/lists/{id}", { params: { path: { id } } })),
  mapList: (id: string, columns: Record<string, string>, dateOrder: "" | "month-first" | "day-first") =>
    data(client.POST("/api/intake/lists/{id}/mapping", { params: { path: { id } }, body: { columns, ...(dateOrder ? { date_order: dateOrder } : {}) } })),
  takeList: (id: string) => data(client.POST("/api/intake/lists/{id}/take", { params: { path: { id } }, body: command({}) })),
  rejectedAddress: (id: string) => `/api/intake/lists/${encodeURIComponent(id)}/rejected.csv`,
};
