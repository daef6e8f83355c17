// The server as it is used in earnest: people sign in, over TLS, under an
// authority of its own that this browser has been told to trust. No certificate
// check is ever switched off.

import { execFileSync, type ChildProcess } from "node:child_process";
import { randomBytes } from "node:crypto";
import { mkdirSync, readFileSync } from "node:fs";
import { request } from "node:https";
import { join } from "node:path";
import { chromium, type Browser, type BrowserContext, type Page } from "playwright-core";
import type { Day } from "../src/types";
import { chromiumPath, openPage, phone } from "./browser";
import { start, type Running } from "./server";

export interface Answer<T> { status: number; headers: Record<string, string | string[] | undefined>; body: T }

export interface Secure extends Running {
  /** Its authority's certificate, as text. */
  authority: string;
  /** The link for the first start. */
  setUpLink: string;
  /** Asks the API, as whoever a cookie stands for. */
  call: <T = unknown>(path: string, options?: { method?: string; body?: unknown; cookie?: string }) => Promise<Answer<T>>;
  /** A browser that trusts the authority. */
  openBrowser: () => Promise<Browser>;
}

export const administrator = { name: "Ann Fielding", login: "ann", password: "four plain words suffice" };

/** Starts it as on the first day: not set up. */
export async function startSecure(...more: string[]): Promise<Secure> {
  const server = await start(saysItAnswers, "--sign-in", ...more);
  const url = `https://localhost:${server.port}`;
  const authority = readFileSync(join(server.store, "tls", "authority.pem"), "utf8");
  const setUpLink = url + /\/sign-in\.html#\/set-up\/\S+/.exec(server.said())![0];
  const call: Secure["call"] = (path, options = {}) => ask(url + path, authority, options);
  return { ...server, url, authority, setUpLink, call, openBrowser: () => trustingBrowser(server.store) };
}

async function saysItAnswers(_: number, child: ChildProcess, said: string[]): Promise<void> {
  while (!said.join("").includes("Stop it with")) {
    if (child.exitCode !== null) throw new Error(`the server ended with ${child.exitCode}:\n${said.join("")}`);
    await new Promise((wait) => setTimeout(wait, 100));
  }
}

/** Starts it with its first administrator, who is a dispatcher as well. */
export async function startSignedIn(...more: string[]): Promise<Secure> {
  const server = await startSecure(...more);
  const { status, body } = await server.call("/api/set-up", { body: { token: server.setUpLink.split("/").at(-1), ...administrator } });
  if (status !== 200) throw new Error(`set-up answered ${status}: ${JSON.stringify(body)}`);
  return server;
}

export interface Field {
  server: Secure;
  /** Trusts the server's authority. */
  browser: Browser;
  /** A phone of the crew, enrolled, 390 px wide, with the crew's page open. */
  context: BrowserContext;
  page: Page;
  /** The cookie of a session of the administrator, who is a dispatcher too: for `server.call`. */
  office: string;
  stop: () => Promise<void>;
}

/**
 * All that a test of the crew's page needs: the demo served over TLS with sign-in, a browser that trusts it, and an
 * enrolled phone of a crew. Options of the program may follow, as "--at", "2026-05-12T15:00".
 */
export async function startField(crew = "c-01", ...more: string[]): Promise<Field> {
  const server = await startSignedIn(...more);
  const browser = await server.openBrowser();
  const context = await phone(browser);
  await holds(context, server, await enrolledPhone(server, crew));
  const page = await openPage(context, `${server.url}/crew.html`);
  return { server, browser, context, page, office: await session(server), stop: async () => { await browser.close(); await server.stop(); } };
}

/** Plans a day and sends it out. */
export async function sendOut(server: Secure, office: string, date: string): Promise<Day> {
  const ask = async (method: string, path: string, body?: unknown) => {
    const { status, body: answer } = await server.call<Day>(`/api/days/${date}${path}`, { method, body, cookie: office });
    if (status >= 300) throw new Error(`${method} ${path} of ${date} answered ${status}: ${JSON.stringify(answer)}`);
    return answer;
  };
  await ask("POST", "/plan", {});
  let day = await ask("GET", "");
  while (day.status !== "proposed") {
    await new Promise((wait) => setTimeout(wait, 300));
    day = await ask("GET", "");
  }
  await ask("POST", "/send-out", { command_id: randomBytes(16).toString("hex"), digest: day.digest });
  return ask("GET", "");
}

/** The cookie of a new session. */
export async function session(server: Secure, who = administrator): Promise<string> {
  const { status, headers, body } = await server.call("/api/sign-in", { body: { login: who.login, password: who.password } });
  if (status !== 200) throw new Error(`sign-in answered ${status}: ${JSON.stringify(body)}`);
  return cookieOf(headers);
}

/** The cookie of a phone enrolled for a person on a crew; by default the crew's first person. */
export async function enrolledPhone(server: Secure, crew: string, person?: string): Promise<string> {
  const cookie = await session(server);
  const { body: entry } = await server.call<{ facts: { people: string[] } }>(`/api/registry/crews/${crew}`, { cookie });
  const { body } = await server.call<{ code: string }>("/api/phones/codes", { cookie, body: { person: person ?? entry.facts.people[0], crew } });
  const { status, headers } = await server.call("/api/phones/enrol", { body: { code: body.code, name: `phone of ${crew}` } });
  if (status !== 200) throw new Error(`enrolling answered ${status}`);
  return cookieOf(headers);
}

function cookieOf(headers: Answer<unknown>["headers"]): string {
  return [headers["set-cookie"] ?? ""].flat()[0]!.split(";")[0]!;
}

/** Gives a browser's context a session or the key of a phone. */
export async function holds(context: BrowserContext, server: Secure, cookie: string): Promise<void> {
  const [name, value] = [cookie.slice(0, cookie.indexOf("=")), cookie.slice(cookie.indexOf("=") + 1)];
  await context.addCookies([{ name, value, url: server.url, secure: true, httpOnly: true, sameSite: "Strict" }]);
}

function ask<T>(url: string, ca: string, options: { method?: string; body?: unknown; cookie?: string }): Promise<Answer<T>> {
  const { body, cookie, method = body === undefined ? "GET" : "POST" } = options;
  const headers = { "X-Valveround": "1", ...(body !== undefined && { "Content-Type": "application/json" }), ...(cookie && { Cookie: cookie }) };
  return new Promise((done, fail) => {
    const asked = request(url, { ca, method, headers }, (answer) => {
      const parts: Buffer[] = [];
      answer.on("data", (part: Buffer) => parts.push(part));
      answer.on("end", () => {
        const text = Buffer.concat(parts).toString();
        const json = String(answer.headers["content-type"]).includes("json");
        done({ status: answer.statusCode!, headers: answer.headers, body: (json ? JSON.parse(text) : text) as T });
      });
    });
    asked.on("error", fail);
    asked.end(body === undefined ? undefined : JSON.stringify(body));
  });
}

/** Chromium on Linux trusts what lies in the home folder's NSS store. */
async function trustingBrowser(store: string): Promise<Browser> {
  const home = join(store, "..", "home");
  const nss = join(home, ".pki", "nssdb");
  mkdirSync(nss, { recursive: true });
  execFileSync("certutil", ["-d", `sql:${nss}`, "-N", "--empty-password"]);
  execFileSync("certutil", ["-d", `sql:${nss}`, "-A", "-t", "C,,", "-n", "valveround", "-i", join(store, "tls", "authority.pem")]);
  return chromium.launch({ executablePath: chromiumPath(), args: ["--no-sandbox"], env: { ...process.env, HOME: home } as Record<string, string> });
}
