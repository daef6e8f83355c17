// Every call the pages make, typed by the server's own description. A refusal
// carries the server's sentences; a failure to reach it carries ours.

import { signal } from "@preact/signals";
import createClient from "openapi-fetch";
import type { paths } from "./openapi";
import { newCommandId } from "./outbox";
import type { BookingRequest, CallRequest, ChangeOutRequest, CrewDay, DeskRequest, Details, Entry, Facts, FieldRequest, JobForm, JobRequest, OutboxFile, PaperResultRequest, PlaceRequest, ReadingsRequest, RecordKind, Supposed, WishRequest, WithdrawTimeRequest } from "./types";
import type { BulkKind } from "./views/BulkEdit";
import { words } from "./words";

/** The server answered, and said no; or it could not be reached (`status` 0). */
export class Refusal extends Error {
  /** `own`: the answer was our server's problem+json, and not some proxy's page. */
  constructor(readonly status: number, readonly sentences: string[], private readonly own = false, readonly faults: { message: string; location: string }[] = []) {
    super(sentences.join(" "));
  }
  /** Whether the server has judged this very request; anything else may pass later. */
  get final(): boolean {
    const maybeLater = [401, 407, 408, 425, 429];
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

/** Goes with every change: another site's page cannot send it. */
export const pageHeaders = { "X-Valveround": "1" };

const client = createClient<paths>({ headers: pageHeaders });

/** Whether the server has asked to sign in, or to enrol this phone, before anything else. */
export const signedOut = signal(false);

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
  if (response.status === 401) signedOut.value = true;
  const own = typeof error === "object" && error !== null;
  const problem = own ? (error as Problem) : {};
  const faults = (problem.errors ?? []).flatMap(({ message, location }) => (message && location ? [{ message, location }] : []));
  throw new Refusal(response.status, sentencesOf(problem, response.status), own, faults);
}

/** A tap at the desk gets its id here; pressing again is another command. */
const command = <T extends object>(body: T) => ({ command_id: newCommandId(), ...body });

/** Records of every kind answer alike; which facts they have, the forms know. */
const registry = <T>(kind: RecordKind) => `/api/registry/${kind}` as T;

/** A file as the body of a request; the description calls a body of bytes a string. */
const bytesOf = (file: File) => ({ headers: { "Content-Type": "application/octet-stream" }, body: file as unknown as string, bodySerializer: (body: unknown) => body as BodyInit });

export const api = {
  door: () => data(client.GET("/api/sign-in")),
  signIn: (body: { login: string; password: string }) => data(client.POST("/api/sign-in", { body })),
  signOut: () => data(client.POST("/api/sign-out")),
  setUp: (body: { token: string; name: string; login: string; password: string }) => data(client.POST("/api/set-up", { body })),
  welcome: (body: { token: string; password: string }) => data(client.POST("/api/welcome", { body })),
  enrolPhone: (body: { code: string; name: string }) => data(client.POST("/api/phones/enrol", { body })),
  trust: () => data(client.GET("/api/trust")),
  changePassword: (body: { old: string; password: string }) => data(client.POST("/api/password", { body })),
  accounts: () => data(client.GET("/api/accounts")),
  openAccount: (body: { person?: string; name?: string; login: string; roles: string[] }) => data(client.POST("/api/accounts", { body: command(body) })),
  setRoles: (person: string, roles: string[]) => data(client.PUT("/api/accounts/{person}/roles", { params: { path: { person } }, body: command({ roles }) })),
  invite: (person: string) => data(client.POST("/api/accounts/{person}/invite", { params: { path: { person } } })),
  closeAccount: (person: string, why: string) => data(client.POST("/api/accounts/{person}/close", { params: { path: { person } }, body: command({ why }) })),
  sessions: () => data(client.GET("/api/sessions")),
  endSession: (id: string) => data(client.DELETE("/api/sessions/{id}", { params: { path: { id } } })),
  phones: () => data(client.GET("/api/phones")),
  phoneCode: (body: { person: string; crew: string }) => data(client.POST("/api/phones/codes", { body })),
  revokePhone: (id: string, why: string) => data(client.POST("/api/phones/{id}/revoke", { params: { path: { id } }, body: command({ why }) })),

  office: () => data(client.GET("/api/office")),

  day: (date: string) => data(client.GET("/api/days/{date}", { params: { path: { date } } })),
  plan: (date: string) => data(client.POST("/api/days/{date}/plan", { params: { path: { date } }, body: {} })),
  stopPlanning: (date: string) => data(client.POST("/api/days/{date}/plan/stop", { params: { path: { date } } })),
  wish: (date: string, wish: WishRequest) => data(client.POST("/api/days/{date}/wishes", { params: { path: { date } }, body: command(wish) })),
  changeOut: (date: string, change: ChangeOutRequest) => data(client.POST("/api/days/{date}/amend", { params: { path: { date } }, body: command(change) })),
  sendOut: (date: string, digest: string) => data(client.POST("/api/days/{date}/send-out", { params: { path: { date } }, body: command({ digest }) })),
  takeBack: (date: string, why: string) => data(client.POST("/api/days/{date}/take-back", { params: { path: { date } }, body: command({ why }) })),

  // In a basement a call may hang for minutes: it is broken off and tried again.
  suppose: (date: string, suppose: Supposed[]) => data(client.POST("/api/days/{date}/suppose", { params: { path: { date } }, body: { suppose } })),
  planRest: (date: string) => data(client.POST("/api/days/{date}/rest", { params: { path: { date } } })),
  sendRest: (date: string, digest: string, why: string) => data(client.POST("/api/days/{date}/rest/send-out", { params: { path: { date } }, body: command({ digest, why }) })),

  crewDay: (crew: string, date: string) =>
    data(client.GET("/api/crews/{crew}/days/{date}", { params: { path: { crew, date } }, signal: AbortSignal.timeout(30_000) })) as Promise<CrewDay>,
  field: (request: FieldRequest) => data(client.POST("/api/field", { body: request, signal: AbortSignal.timeout(30_000) })),

  desk: (request: DeskRequest) => data(client.POST("/api/desk", { body: command(request) })),
  disuse: (site: string) => data(client.GET("/api/sites/{id}/disuse", { params: { path: { id: site } } })),
  bookings: (site: string) => data(client.GET("/api/sites/{id}/bookings", { params: { path: { id: site } } })),
  backlog: () => data(client.GET("/api/backlog")),
  history: (id: string) => data(client.GET("/api/assemblies/{id}/history", { params: { path: { id } } })),
  story: (kind: "assembly" | "site" | "feed" | "customer" | "crew" | "gauge" | "kit" | "purveyor" | "person", id: string, most: number) =>
    data(client.GET("/api/history/{kind}/{id}", { params: { path: { kind, id }, query: { most } } })),
  withdrawTime: (request: WithdrawTimeRequest) => data(client.POST("/api/calls/withdraw-time", { body: command(request) })),
  jobForm: (id: string, job: string, on?: string) => data(client.GET("/api/assemblies/{id}/jobs/{job}/form", { params: { path: { id, job }, query: on ? { on } : {} } })) as Promise<JobForm>,
  /** With the id of the command given, so that sending again what may have arrived keys in nothing twice. */
  paperResult: (request: PaperResultRequest) => data(client.POST("/api/paper-results", { body: request })),
  correctReadings: (request: ReadingsRequest) => data(client.POST("/api/readings", { body: command(request) })),
  attach: (file: Blob, signal?: AbortSignal) =>
    data(client.POST("/api/attachments", {
      signal,
      headers: { "Content-Type": "application/octet-stream" },
      body: file as unknown as string, // the description calls a body of bytes a string
      bodySerializer: (body) => body,
    })),
  settings: () => data(client.GET("/api/settings")),
  changeSettings: (values: { name: string; number: number }[], why: string) => data(client.POST("/api/settings", { body: command({ values, ...(why && { why }) }) })),
  alarms: () => data(client.GET("/api/alarms")),
  /** The ids in the file are those of the taps: sent again, it records nothing again. */
  takeOutbox: (file: OutboxFile) => data(client.POST("/api/field/file", { body: file })),
  leftOff: () => data(client.GET("/api/left-off")),
  unfilled: (of: { customer?: string; site?: string }) => data(client.GET("/api/unfilled", { params: { query: of } })),
  filled: (feeds: string[], by: string) => data(client.POST("/api/feeds/filled", { body: command({ feeds, by }) })),

  filing: () => data(client.GET("/api/filing")),
  report: (id: string, job: string) => data(client.GET("/api/assemblies/{id}/jobs/{job}/report", { params: { path: { id, job } } })),
  reportAddress: (id: string, job: string, paper: "letter" | "a4" = "letter") => `/api/assemblies/${encodeURIComponent(id)}/jobs/${encodeURIComponent(job)}/report.pdf?paper=${paper}`,
  attachmentAddress: (sha256: string) => `/api/attachments/${sha256}`,
  expiries: (days: number) => data(client.GET("/api/expiries", { params: { query: { days } } })),
  invoicingAddress: (from: string, to: string) => `/api/invoicing.csv?from=${from}&to=${to}`,
  routeSheetsAddress: (date: string, crew?: string) => `/api/days/${date}/route-sheets.pdf${crew ? `?crew=${encodeURIComponent(crew)}` : ""}`,
  hoursCalendarAddress: (of: "sites" | "feeds", id: string) => `/api/calendars/${of}/${encodeURIComponent(id)}.ics`,
  calendarAddress: (crew: string) => `/api/calendars/crews/${encodeURIComponent(crew)}.ics`,

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

  entries: (kind: RecordKind) => allOf(kind),
  entry: (kind: RecordKind, id: string) => data(client.GET(`${registry<"/api/registry/sites">(kind)}/{id}`, { params: { path: { id } } })) as unknown as Promise<Entry>,
  /** With the id of the command given, so that sending again what may have arrived enters nothing twice. */
  enter: (kind: RecordKind, command_id: string, facts: Facts, details?: Details) =>
    data(client.POST(registry<"/api/registry/sites">(kind), { body: { command_id, facts, ...(details && { details }) } as never })),
  mend: (kind: RecordKind, id: string, command_id: string, facts: Facts, details: Details | undefined, why: string) =>
    data(client.PUT(`${registry<"/api/registry/sites">(kind)}/{id}`, { params: { path: { id } }, body: { command_id, facts, ...(details && { details }), ...(why && { why }) } as never })),

  openJob: (request: JobRequest) => data(client.POST("/api/jobs", { body: command(request) })),
  fits: (id: string, job: string) => data(client.GET("/api/assemblies/{id}/jobs/{job}/fits", { params: { path: { id, job } } })),

  calls: (weeks: number) => data(client.GET("/api/calls", { params: { query: { weeks } } })),
  askBooking: (request: BookingRequest) => data(client.POST("/api/calls/bookings", { body: command(request) })),
  noteCall: (request: CallRequest) => data(client.POST("/api/calls", { body: command(request) })),

  unplaced: () => data(client.GET("/api/positions")),
  readPositions: (file: File) =>
    data(client.POST("/api/positions", {
      params: { query: { file: file.name } },
      headers: { "Content-Type": "application/octet-stream" },
      body: file as unknown as string, // the description calls a body of bytes a string
      bodySerializer: (body) => body,
    })),
  takePositions: (places: PlaceRequest[]) => data(client.POST("/api/positions/take", { body: command({ places }) })),

  bulkAddress: (kind: BulkKind) => `/api/bulk/${kind}/records.csv`,
  bulkRead: (kind: BulkKind, file: File) =>
    data(client.POST("/api/bulk/{kind}", { params: { path: { kind }, query: { file: file.name } }, ...bytesOf(file) })),
  bulkTake: (kind: BulkKind, file: File, command_id: string, digest: string) =>
    data(client.POST("/api/bulk/{kind}/take", { params: { path: { kind }, query: { file: file.name, command_id, digest } }, ...bytesOf(file) })),

  search: (q: string) => data(client.GET("/api/search", { params: { query: { q } } })),
};

const page = 5000;

/** Every record of a kind. Names of people live apart from the log, one by one. */
async function allOf(kind: RecordKind): Promise<Entry[]> {
  const all: Entry[] = [];
  for (;;) {
    const next = (await data(client.GET(registry<"/api/registry/sites">(kind), { params: { query: { from: all.length, limit: page } } })) ?? []) as unknown as Entry[];
    all.push(...next);
    if (next.length < page) break;
  }
  return kind === "people" ? Promise.all(all.map((person) => api.entry("people", person.id))) : all;
}
