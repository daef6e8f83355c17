// The call list: whom to call, what to say, and how the call ended, by keyboard
// alone; what was agreed is a promise that the site keeps on record.

import type { Browser, BrowserContext } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { Call, CallList, Day, Office } from "../src/types";
import { desk, expectAccessible, openBrowser, openPage, phone, picture, shown } from "./browser";
import { press, tabTo, typeInto } from "./keys";
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
const list = async () => (await read<CallList>("/api/calls?weeks=2")).customers!;
const find = (calls: Call[], id: string) => calls.find((c) => c.id === id);

/** Plans tomorrow, so that it is known which calls would let more in. */
async function planTomorrow(): Promise<void> {
  const { tomorrow } = await read<Office>("/api/office");
  await fetch(`${server.url}/api/days/${tomorrow}/plan`, { method: "POST", headers: { "Content-Type": "application/json" }, body: "{}" });
  while ((await read<Day>(`/api/days/${tomorrow}`)).status !== "proposed") await new Promise((wait) => setTimeout(wait, 300));
}

it("says whom to call first, and keeps what was agreed", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "calls"));
  await planTomorrow();
  const calls = await list();
  const page = await openPage(context, `${server.url}/#/calls`);
  await shown(page);
  await expectAccessible(page, "the call list");
  const heads = await page.locator("ul.calls:not(.parties)").first().locator("h3").allTextContents();
  const letting = calls.filter((c) => c.needed && c.jobs_let_in_tomorrow);
  if (letting.length > 0) {
    expect(heads).toHaveLength(letting.length);
    expect(heads[0]).toMatch(/May let \d+ jobs? into/);
  }

  // One tap: word was left, and the call stays on the list with what was last said.
  const needed = calls.filter((c) => c.needed);
  const [wordLeft, agreed, posted] = [needed[0]!, needed.find((c) => c.sites!.some((s) => s.notice_days) && c !== needed[0])!, needed.at(-1)!];
  await press(page, page.getByRole("button", { name: `Left word ${wordLeft.name}`, exact: true }));
  await page.getByRole("status").filter({ hasText: `${wordLeft.name}: left word, recorded` }).waitFor();
  expect(find(await list(), wordLeft.id)!.sites![0]!.last!.join(" ")).not.toBe("");
  // Who works by keyboard goes on with the next call.
  expect(await page.evaluate(() => document.activeElement?.tagName)).toBe("H3");

  // Agreed: the end before the beginning is said at the field and nothing typed is lost.
  await press(page, page.getByRole("button", { name: `Agreed a day and time… ${agreed.name}`, exact: true }));
  const form = page.locator("form.desk");
  await form.waitFor();
  await expectAccessible(page, "a call that was agreed");
  await form.getByLabel("Day", { exact: true }).fill("2026-05-20");
  await form.getByLabel("From", { exact: true }).fill("09:00");
  await form.getByLabel("To", { exact: true }).fill("08:00");
  await press(page, form.getByRole("button", { name: "Record: agreed" }));
  await form.getByText("The end must be after the beginning.").waitFor();
  expect(await form.getByLabel("From", { exact: true }).inputValue()).toBe("09:00");
  await form.getByLabel("To", { exact: true }).fill("11:00");
  await typeInto(page, form.getByLabel("What was said"), "back door");
  await press(page, form.getByRole("button", { name: "Record: agreed" }));
  await page.getByRole("status").filter({ hasText: `${agreed.name}: agreed, recorded` }).waitFor();
  const after = find(await list(), agreed.id)!;
  expect(after.sites!.every((s) => (s.agreed ?? []).some((a) => /09:00.*11:00/.test(a.words)))).toBe(true);
  expect((after.asks ?? []).some((a) => a.rule === "notice")).toBe(false);

  await press(page, page.getByRole("button", { name: `Refused… ${posted.name}`, exact: true }));
  await form.getByText("Their jobs stop until somebody says otherwise.").waitFor();
  await press(page, form.getByRole("button", { name: "Record: refused" }));
  await page.getByRole("status").filter({ hasText: `${posted.name}: refused, recorded` }).waitFor();

  // A yes to the repair is one more thing that a call may bring.
  const repair = (await list()).find((c) => c.needed && c.id !== posted.id && (c.asks ?? []).some((a) => a.rule === "repair-yes"));
  if (repair) {
    await press(page, page.getByRole("button", { name: `Yes to the repair… ${repair.name}`, exact: true }));
    await expectAccessible(page, "a yes to the repair");
    await press(page, form.getByRole("button", { name: /^Record: yes to \d+ repairs?$/ }));
    await page.getByRole("status").filter({ hasText: `${repair.name}: yes to` }).waitFor();
    expect((find(await list(), repair.id)?.asks ?? []).some((a) => a.rule === "repair-yes")).toBe(false);
  }

  const weeks = page.getByLabel("Look ahead");
  await tabTo(page, weeks);
  await page.keyboard.press("ArrowDown");
  await page.waitForURL(/#\/calls\/3$/);
  await shown(page);
  await page.close();
});

it("says whom to book, and keeps what they answered", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "parties"));
  const parties = async () => (await read<CallList>("/api/calls?weeks=3")).parties!;
  const before = await parties();
  const party = before.find((p) => p.places!.some((place) => place.open!.length > 0))!;
  const place = party.places!.find((x) => x.open!.length > 0)!;
  const page = await openPage(context, `${server.url}/#/calls/3`);
  await shown(page);
  const section = page.getByRole("region", { name: "Others to book" });
  const item = section.locator("li.call").filter({ hasText: party.say });
  await item.getByText(party.say).waitFor();
  if (party.phone) await item.getByRole("link", { name: party.phone }).waitFor();

  // Word was left: it stays on the list with what was said last.
  await press(page, item.getByRole("button", { name: /^Left word / }));
  await page.getByRole("status").filter({ hasText: `${party.name}: left word, recorded` }).waitFor();
  expect((await parties()).find((p) => p.id === party.id)!.places![0]!.last!.join(" ")).toContain("word was left");

  // Booked: the first open day and hours stand there; the place then leaves the list and the booking is on record.
  await press(page, item.getByRole("button", { name: /^Booked a day and time… / }));
  const form = item.locator("form.desk");
  await form.waitFor();
  await expectAccessible(page, "a booking of others");
  await form.getByLabel("Day", { exact: true }).fill(place.open![0]!.date);
  await form.getByLabel("From", { exact: true }).fill("09:00");
  await form.getByLabel("To", { exact: true }).fill("08:00");
  await press(page, form.getByRole("button", { name: "Record: booked" }));
  await form.getByText("The end must be after the beginning.").waitFor();
  await form.getByLabel("To", { exact: true }).fill("11:00");
  await typeInto(page, form.getByLabel("Their reference"), "W 7781");
  await press(page, form.getByRole("button", { name: "Record: booked" }));
  await page.getByRole("status").filter({ hasText: `${party.name}: booked, recorded` }).waitFor();
  const { booked } = await read<{ booked: { what: string; words: string }[] }>(`/api/sites/${party.places![0]!.site.id}/bookings`);
  expect(booked.some((b) => b.what === party.what && b.words.includes("reference W 7781"))).toBe(true);
  await page.close();
});

it("fits a phone", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "calls-phone"));
  const small = await phone(browser);
  const page = await openPage(small, `${server.url}/#/calls`);
  await shown(page);
  await page.locator(".call details > summary").first().click();
  await page.getByRole("button", { name: /^Posted notice…/ }).first().click();
  await page.getByLabel("For which day (empty: any later day)").waitFor();
  await expectAccessible(page, "the call list on a phone");
  await small.close();
});
