// A result keyed in from a signed paper, its readings corrected by the tester, and what was recorded wrongly mended from
// the thing's own history: by keyboard alone, except for choosing the file.

import { createHash } from "node:crypto";
import type { Browser, BrowserContext, Locator, Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { Backlog, CallList, Entry, History, JobForm } from "../src/types";
import { desk, expectAccessible, openBrowser, openPage, phone, picture, shown } from "./browser";
import { pick, press, typeInto } from "./keys";
import { startServer, type Running } from "./server";

let server: Running;
let browser: Browser;
let context: BrowserContext;
let unit: { assembly: string; job: string; site: string };

const read = async <T>(path: string): Promise<T> => (await (await fetch(server.url + path)).json()) as T;
const history = () => read<History>(`/api/assemblies/${unit.assembly}/history`);
const newest = async (name: string) => ((await history()).entries ?? []).filter((e) => e.name === name).at(-1);

beforeAll(async () => {
  [server, browser] = await Promise.all([startServer("--at", "2026-05-12T15:00", "--sites", "150"), openBrowser()]);
  context = await desk(browser);
  const calls = await read<CallList>("/api/calls?weeks=8");
  const found = (calls.customers ?? []).flatMap((c) => (c.sites ?? []).flatMap((s) => (s.feeds ?? []).filter((f) => !f.fire).flatMap((f) => (f.jobs ?? []).map((j) => ({ ...j, site: s.site.id })))));
  unit = found.find((j) => j.type === "DC" && j.stage === "due")!;
  expect(unit).toBeTruthy();
});
afterAll(async () => {
  await browser?.close();
  await server?.stop();
});

const scan = Buffer.from("%PDF-1.7\nsigned by the tester\n");

/** Opens the panel of the newest entry that says something, and chooses how it is mended. */
async function mend(page: Page, entry: RegExp, how: string): Promise<Locator> {
  const button = page.getByRole("button", { name: entry });
  await button.first().waitFor();
  await press(page, button.last());
  const form = page.locator("form.desk");
  await form.waitFor();
  await pick(page, form.getByLabel("What is to be mended"), how);
  return form;
}

it("keys in a failed test from paper", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "paper"));
  const form = await read<JobForm>(`/api/assemblies/${unit.assembly}/jobs/${unit.job}/form?on=2026-05-11`);
  const tester = form.people!.find((p) => !p.lacks)!, gauge = form.gauges!.find((g) => g.valid && !g.words)!;
  const page = await openPage(context, `${server.url}/#/assembly/${unit.assembly}`);
  await press(page, page.getByRole("link", { name: "Key in a result from paper" }));
  await page.getByRole("heading", { level: 1, name: /^Result from paper/ }).waitFor();
  const record = page.getByRole("button", { name: /^Key i/ });
  await press(page, record);
  await page.getByText("Attach the signed paper.").waitFor();
  await expectAccessible(page, "a paper that lacks everything");

  await page.getByLabel("Scan or PDF of it").setInputFiles({ name: "report.pdf", mimeType: "application/pdf", buffer: scan });
  await page.getByText(createHash("sha256").update(scan).digest("hex")).waitFor();
  await page.getByLabel("Signed on").fill("2026-05-11");
  await page.getByLabel("Time of the test").fill("09:40");
  await page.getByLabel("Keyed in by").selectOption({ index: 1 });
  await page.getByLabel("Tester").selectOption(tester.id);
  await page.getByLabel("Gauge").selectOption(gauge.id);
  await typeInto(page, page.getByRole("textbox", { name: "check 1" }), "0.8");
  await pick(page, page.getByLabel("check 1: in a word"), "leaked");
  await typeInto(page, page.getByRole("textbox", { name: "check 2" }), "2.1");
  await page.getByText("By these readings it fails.").waitFor();
  await page.getByRole("radio", { name: "failed", exact: true }).focus();
  await page.keyboard.press("Space");
  await page.getByRole("checkbox", { name: "The paper says how the feed was left" }).focus();
  await page.keyboard.press("Space");
  for (const valve of ["No. 1 shut-off", "No. 2 shut-off"]) await page.locator("fieldset", { hasText: "As left" }).getByLabel(valve).selectOption("open");
  await page.getByLabel("The feed is").selectOption("in-service");
  await page.getByLabel("Left at").fill("10:05");
  await expectAccessible(page, "a paper keyed in");
  await press(page, page.getByRole("button", { name: "Key in: failed" }));
  await page.getByText("Keyed in: failed.").waitFor();
  await page.getByText(`signed Mon 11 May 2026 by ${tester.name}`).waitFor();

  expect((await newest("keyed-in"))!.words).toContain(tester.name);
  expect((await newest("as-left"))!.happened).toBe("2026-05-11T10:05:00-05:00");
  expect(((await read<Backlog>("/api/backlog")).rows ?? []).find((r) => r.assembly === unit.assembly && r.job === unit.job)?.failed_on).toBe("2026-05-11");
  await page.close();
});

it("lets only the tester correct a reading, the first entry staying visible", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "readings"));
  const { tests, people } = await read<JobForm>(`/api/assemblies/${unit.assembly}/jobs/${unit.job}/form`);
  const test = tests!.at(-1)!;
  const page = await openPage(context, `${server.url}/#/assembly/${unit.assembly}`);
  const panel = await mend(page, /^Mend the entry of .*check 1.*0\.8/, "The readings");
  await expectAccessible(page, "mending an entry");
  await press(page, panel.getByRole("link", { name: "Correct the readings" }));
  await page.getByText("Only the tester changes a reading. This test").waitFor();
  await typeInto(page, page.getByRole("textbox", { name: "check 1" }), "0.3");
  await page.getByLabel("I am").selectOption(people!.find((p) => p.id !== test.tester)!.id);
  await typeInto(page, page.getByLabel("Why they are corrected"), "a 3 read as an 8");
  await press(page, page.getByRole("button", { name: "Record the corrected readings" }));
  await page.getByText("ask whoever made this test").waitFor();
  await page.getByLabel("I am").selectOption(test.tester);
  await press(page, page.getByRole("button", { name: "Record the corrected readings" }));
  await page.getByText("Recorded. The first entry stays").waitFor();
  await page.getByText("check 1: 0.3 psid").waitFor();
  await expectAccessible(page, "readings corrected");
  await press(page, page.getByRole("link", { name: "The assembly and its history" }));
  const first = page.locator("ol.history > li", { hasText: "0.8 psid" });
  await first.getByText("a mistaken entry: readings corrected by the tester: a 3 read as an 8").waitFor();
  await page.close();
});

it("takes a result back and notes a mistaken entry", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "taken-back"));
  const page = await openPage(context, `${server.url}/#/assembly/${unit.assembly}`);
  let panel = await mend(page, /^Mend the entry of Mon 11 May: Left in service/, "This entry");
  await typeInto(page, panel.getByLabel("What is wrong, and what is right"), "it was the unit next door");
  await press(page, panel.getByRole("button", { name: "Record: mistaken entry" }));
  await page.locator("ol.history > li", { hasText: "Left in service" }).getByText("a mistaken entry: it was the unit next door").waitFor();
  panel = await mend(page, /^Mend the entry of .*: Failed/, "The result");
  await typeInto(page, panel.getByLabel("Why it does not count"), "the unit next door");
  await press(page, panel.getByRole("button", { name: "Record: does not count" }));
  await page.getByText("The job stands again where it stood before this result.").waitFor();
  await page.locator("ol.history > li", { hasText: "Failed" }).getByText("a mistaken entry: does not count: the unit next door").first().waitFor();
  await expectAccessible(page, "a result taken back");
  expect(((await read<Backlog>("/api/backlog")).rows ?? []).find((r) => r.assembly === unit.assembly && r.job === unit.job)).toBeUndefined();
  await page.close();
});

it("withdraws a time from the site's own history", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "withdrawn"));
  const page = await openPage(context, `${server.url}/#/site/${unit.site}`);
  await shown(page);
  const promises = page.locator("section", { has: page.getByRole("heading", { name: "Notice and agreed times" }) }).last();
  await promises.locator('input[type="date"]').last().fill("2026-05-20");
  await promises.locator('input[type="time"]').first().fill("06:00");
  await promises.locator('input[type="time"]').last().fill("08:00");
  await press(page, promises.getByRole("button", { name: "Record: time agreed" }));
  const panel = await mend(page, /^Mend the entry of .*Agreed that the water may be off from 06:00 on 20 May 2026/, "The time agreed");
  await typeInto(page, panel.getByLabel("Why it holds no more"), "they called it off");
  await press(page, panel.getByRole("button", { name: "Record: holds no more" }));
  await page.getByText("holds no more: they called it off").waitFor();
  await expectAccessible(page, "a site with its history");
  const site = await read<{ entries: { thing?: string }[] }>(`/api/history/site/${unit.site}`);
  expect(site.entries.some((e) => e.thing)).toBe(true);
  await page.close();
});

it("sets a part free, finds it wrong, and sends the kit back", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "kit"));
  const row = (await read<Backlog>("/api/backlog")).rows![0]!;
  const ask = async (body: object) => {
    const answer = await fetch(`${server.url}/api/desk`, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ command_id: crypto.randomUUID().replaceAll("-", ""), assembly: row.assembly, job: row.job, ...body }) });
    expect(answer.status, await answer.clone().text()).toBe(200);
  };
  await ask({ kind: "want-parts", parts: [{ code: "K-BACK" }] });
  await ask({ kind: "receive-part", code: "K-BACK", item: "kit-back-1" });
  await ask({ kind: "reserve-part", code: "K-BACK" });
  const step = async () => (await read<Backlog>("/api/backlog")).rows!.find((r) => r.assembly === row.assembly && r.job === row.job)!.part_states!.find((p) => p.code === "K-BACK")!.step;
  expect(await step()).toBe("reserved");
  const page = await openPage(context, `${server.url}/#/assembly/${row.assembly}`);
  let panel = await mend(page, /^Mend the entry of .*K-BACK.*reserved/i, "The part is not");
  await typeInto(page, panel.getByLabel("Why it is not for this job"), "the other job is sooner");
  await press(page, panel.getByRole("button", { name: "Record: set free" }));
  await expect.poll(step, { timeout: 15_000 }).toBe("needed");
  await page.close();

  await ask({ kind: "reserve-part", code: "K-BACK", item: "kit-back-1" });
  const kit = await openPage(context, `${server.url}/#/records/kits/kit-back-1`);
  panel = await mend(kit, /^Mend the entry of .*/, "It is the wrong part");
  await typeInto(kit, panel.getByLabel("What is wrong with it"), "for the 1 in");
  await press(kit, panel.getByRole("button", { name: "Record: wrong part" }));
  await expect.poll(step, { timeout: 15_000 }).toBe("needed");
  panel = await mend(kit, /^Mend the entry of .*for the 1 in/, "The repair kit goes back");
  await typeInto(kit, panel.getByLabel("Why it goes back, and how"), "by the supplier's van");
  await press(kit, panel.getByRole("button", { name: "Record: sent back" }));
  await kit.locator("ol.history > li", { hasText: "by the supplier's van" }).waitFor();
  await expectAccessible(kit, "a repair kit with its history");
  expect((await read<Entry>("/api/registry/kits/kit-back-1")).id).toBe("kit-back-1");
  await kit.close();
});

it("is usable at a phone's width", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "paper-narrow"));
  const narrow = await phone(browser);
  for (const at of [`paper/${unit.assembly}/${unit.job}`, `site/${unit.site}`, `assembly/${unit.assembly}`]) {
    const page = await openPage(narrow, `${server.url}/#/${at}`);
    await shown(page);
    await expectAccessible(page, `${at} at 390 px`);
    await page.close();
  }
  await narrow.close();
});
