// What leaves the screen and what is owed on paper: the filing list by
// keyboard alone, a test report with every field, what ends and the visits it
// would stop, route sheets and calendars of a day that was sent out.

import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { Crew, Day, Entry, Expiries, FilingList, FilingRow, Office, Report } from "../src/types";
import { desk, expectAccessible, openBrowser, openPage, phone, picture, shown } from "./browser";
import { pick, press, tabTo, typeInto } from "./keys";
import { startServer, type Running } from "./server";

let server: Running;
let browser: Browser;
let context: BrowserContext;

beforeAll(async () => {
  [server, browser] = await Promise.all([startServer("--at", "2026-05-12T15:00", "--sites", "150"), openBrowser()]);
  context = await desk(browser);
});
afterAll(async () => {
  await browser?.close();
  await server?.stop();
});

const read = async <T>(path: string): Promise<T> => (await (await fetch(server.url + path)).json()) as T;
const rows = async () => (await read<FilingList>("/api/filing")).rows!;
const same = (a: FilingRow) => (b: FilingRow) => a.about === b.about && a.job.assembly === b.job.assembly && a.job.job === b.job.job;

/** Waits until the server says so of this report or call. */
async function becomes(row: FilingRow, state: FilingRow["state"]): Promise<FilingRow> {
  await expect.poll(async () => (await rows()).find(same(row))?.state, { timeout: 30_000 }).toBe(state);
  return (await rows()).find(same(row))!;
}

/** The button that opens what can be recorded about a row. */
const act = (page: Page, row: FilingRow) => {
  const unit = [row.job.type, row.job.size, row.job.place, row.job.serial && `serial ${row.job.serial}`].filter(Boolean).join(", ");
  const about = { pass: "Report of a pass", fail: "Report of a failure", "phone-in": "Call about a failure" }[row.about];
  return page.getByRole("button", { name: `Record something about: ${about}, ${unit} at ${row.site.name}`, exact: true });
};

it("files, has returned, files again and has accepted a report, by keyboard", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "filing"));
  const page = await openPage(context, `${server.url}/#/filing`);
  await shown(page);
  await page.getByRole("button", { name: /^Record something about/ }).first().waitFor();
  await expectAccessible(page, "filing");
  const owed = (await rows()).find((r) => r.about === "pass" && r.state === "owed")!;

  await press(page, act(page, owed));
  await typeInto(page, page.getByLabel("How it was filed"), "post");
  await typeInto(page, page.getByLabel("Confirmation number"), "C-4711");
  await expectAccessible(page, "recording a report");
  await press(page, page.getByRole("button", { name: "Record: filed" }));
  await page.getByText(`Recorded: Report of a pass, ${owed.site.name}.`).waitFor();
  const filed = await becomes(owed, "filed");
  expect(filed.filings!.at(-1)).toMatchObject({ how: "post", confirmation: "C-4711" });

  await pick(page, page.getByRole("combobox", { name: "Show", exact: true }), "what is filed");
  await page.waitForURL(/\/filing\/all\/filed$/);
  await press(page, act(page, filed));
  await typeInto(page, page.getByLabel("Why it came back"), "no gauge serial");
  await press(page, page.getByRole("button", { name: "Record: came back" }));
  const back = await becomes(owed, "returned");

  await page.goto(`${server.url}/#/filing`);
  await page.getByText(/came back .*: no gauge serial/).waitFor();
  await press(page, act(page, back));
  await typeInto(page, page.getByLabel("How it was filed"), "e-mail");
  await press(page, page.getByRole("button", { name: "Record: filed again" }));
  const again = await becomes(owed, "filed");
  await page.goto(`${server.url}/#/filing/all/filed`);
  await press(page, act(page, again));
  await press(page, page.getByRole("button", { name: "Record: accepted" }));
  await becomes(owed, "accepted");
  await page.close();
});

it("records that a failure was told by telephone, and by whom", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "phone-in"));
  const page = await openPage(context, `${server.url}/#/filing`);
  await shown(page);
  const call = (await rows()).find((r) => r.about === "phone-in" && r.state === "owed")!;
  await press(page, act(page, call));
  await typeInto(page, page.getByLabel("Who was told, by role"), "cross-connection desk");
  const whom = page.getByLabel("By whom");
  await whom.locator("option:nth-child(2)").waitFor({ state: "attached" });
  await tabTo(page, whom);
  await page.keyboard.press("ArrowDown");
  await press(page, page.getByRole("button", { name: "Record: told by telephone" }));
  const told = await becomes(call, "filed");
  expect(told.filings!.at(-1)!.how).toContain("cross-connection desk");
  await page.close();
});

it("shows every field of a test report, and the same as PDF", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "report"));
  const row = (await rows()).find((r) => r.about === "fail")!;
  const { assembly, job } = row.job;
  const report = await read<Report>(`/api/assemblies/${assembly}/jobs/${job}/report`);
  const page = await openPage(context, `${server.url}/#/report/${assembly}/${job}`);
  await page.getByRole("heading", { level: 1, name: "Backflow assembly test report" }).waitFor();
  await expectAccessible(page, "a test report");
  for (const section of report.sections!) {
    const on = page.locator(".report section", { has: page.getByRole("heading", { name: section.title, exact: true }) });
    expect(await on.locator("dt").allTextContents()).toEqual(section.fields!.map((f) => f.label));
    expect(await on.locator("dd").allTextContents()).toEqual(section.fields!.map((f) => f.value || "not on record"));
  }
  const text = await page.locator(".report").innerText();
  for (const result of report.rows!) expect(text).toContain(result.initial);
  expect(text).toContain(report.statement);

  const address = await page.getByRole("link", { name: "As PDF, letter" }).getAttribute("href");
  const pdf = await fetch(server.url + address);
  expect(pdf.headers.get("content-type")).toBe("application/pdf");
  expect(Buffer.from(await pdf.arrayBuffer()).subarray(0, 5).toString()).toBe("%PDF-"); // ISO 32000-1, 7.5.2
  await page.emulateMedia({ media: "print" });
  expect(await page.getByRole("navigation", { name: "Pages" }).isVisible()).toBe(false);
  await page.close();
});

it("lists what ends and the visits it would stop, and gives the day on paper", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "expiries"));
  const { tomorrow, today } = await read<Office>("/api/office");
  const page = await openPage(context, `${server.url}/#/tomorrow/${tomorrow}`);
  await press(page, page.getByRole("button", { name: "Plan tomorrow" }));
  await page.getByRole("button", { name: /^Send out/ }).waitFor({ timeout: 60_000 });
  await press(page, page.getByRole("button", { name: /^Send out/ }));
  await page.getByText(/^Sent out \d\d:\d\d/).waitFor();
  const sheets = await page.getByRole("link", { name: "All route sheets, PDF" }).getAttribute("href");
  expect((await fetch(server.url + sheets)).headers.get("content-type")).toBe("application/pdf");
  const day = await read<Day>(`/api/days/${tomorrow}`);
  const { crew } = day.routes!.find((r) => r.visits!.length > 0)!;
  const sheet = await page.getByRole("link", { name: `Route sheet of ${crew.letter}, PDF` }).getAttribute("href");
  expect((await fetch(server.url + sheet)).headers.get("content-type")).toBe("application/pdf");
  const calendar = await page.getByRole("link", { name: `Calendar of ${crew.letter}` }).getAttribute("href");
  expect(await (await fetch(server.url + calendar)).text()).toMatch(/^BEGIN:VCALENDAR\r\n/); // RFC 5545, 3.4
  await expectAccessible(page, "a day sent out");

  await endGauges(crew, today);
  await page.goto(`${server.url}/#/expiries`);
  const stopped = page.getByRole("link", { name: /^Wed 13 May$/ });
  await stopped.first().waitFor();
  await expectAccessible(page, "expiries");
  await pick(page, page.getByLabel("Look ahead"), "365");
  await page.waitForURL(/\/expiries\/365$/);
  const { rows: all } = await read<Expiries>("/api/expiries?days=365");
  await expect.poll(() => page.locator("main table > tbody > tr").count(), { timeout: 30_000 }).toBe(all!.length);
  await press(page, stopped);
  await page.waitForURL(new RegExp(`/tomorrow/${tomorrow}$`));
  await page.close();
});

/** Lets the certificates of all of a crew's gauges end on a day, as a mended record would. */
async function endGauges(crew: Crew, on: string): Promise<void> {
  const { facts } = await read<Entry>(`/api/registry/crews/${crew.id}`);
  for (const id of facts.gauges as string[]) {
    const gauge = await read<Entry>(`/api/registry/gauges/${id}`);
    const body = { command_id: [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join(""), facts: { ...gauge.facts, certified_until: on }, why: "read again from the certificate" };
    const answer = await fetch(`${server.url}/api/registry/gauges/${id}`, { method: "PUT", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
    expect(answer.status, await answer.text()).toBe(200);
  }
}

it("saves the work done for invoices, and says when the days are the wrong way round", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "invoicing"));
  const page = await openPage(context, `${server.url}/#/filing`);
  await page.getByLabel("From").fill("2026-04-01");
  const address = await page.getByRole("link", { name: "Save the file (CSV)" }).getAttribute("href");
  expect(address).toMatch(/from=2026-04-01&to=2026-05-12$/);
  const file = await fetch(server.url + address);
  expect(file.headers.get("content-type")).toContain("text/csv");
  expect((await file.text()).split("\n").length).toBeGreaterThan(2);
  await page.getByLabel("To", { exact: true }).fill("2026-03-01");
  await page.getByText("The last day lies before the first.").waitFor();
  await page.close();
});

it("works at the width of a phone", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "papers-phone"));
  const narrow = await phone(browser);
  const page = await openPage(narrow, `${server.url}/#/expiries`);
  await shown(page);
  await expectAccessible(page, "expiries at 390 px");
  await press(page, page.getByRole("button", { name: "Pages: Expiries" }));
  await expectAccessible(page, "the open navigation at 390 px");
  await press(page, page.getByRole("link", { name: "Filing", exact: true }));
  await page.getByRole("button", { name: "Pages: Filing" }).waitFor();
  await page.getByRole("link", { name: /^Test report of .*, / }).first().waitFor();
  await expectAccessible(page, "filing at 390 px");
  await page.getByRole("link", { name: /^Test report of (?!.*PDF$)/ }).first().click();
  await page.getByRole("heading", { level: 1, name: "Backflow assembly test report" }).waitFor();
  await expectAccessible(page, "a test report at 390 px");
  await narrow.close();
});
