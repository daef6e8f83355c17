// A customer, site, feed and assembly entered and mended, a job by phone put
// where it fits, a crew off for a day and a helper swapped: by keyboard alone.

import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { CallList, Day, Entry, Office, Unplaced } from "../src/types";
import { desk, expectAccessible, openBrowser, openPage, picture, shown } from "./browser";
import { pick, press, tabTo, typeInto } from "./keys";
import { startServer, type Running } from "./server";

let server: Running;
let browser: Browser;
let context: BrowserContext;

beforeAll(async () => {
  [server, browser] = await Promise.all([startServer("--at", "2026-05-12T15:00", "--sites", "60"), openBrowser()]);
  context = await desk(browser);
});
afterAll(async () => {
  await browser?.close();
  await server?.stop();
});

const read = async <T>(path: string): Promise<T> => (await (await fetch(server.url + path)).json()) as T;
const button = (page: Page, name: string | RegExp) => page.getByRole("button", { name });
const field = (page: Page, name: string) => page.getByLabel(name, { exact: true });
const list = (page: Page, name: string) => page.getByRole("combobox", { name, exact: true });
const heading = (page: Page, name: string | RegExp) => page.getByRole("heading", { level: 1, name }).waitFor();

it("enters a customer, site, feed and assembly, and loses nothing on the way", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "records"));
  const page = await openPage(context, `${server.url}/#/records/customers`);
  await shown(page);
  await expectAccessible(page, "the table of customers");
  await press(page, page.getByRole("link", { name: "Enter a new customer" }));
  await heading(page, "A new customer");

  // Nothing typed: the fault is said at the field, which has the focus.
  await press(page, button(page, "Enter the customer"));
  await page.getByText("Some fields need a look").waitFor();
  expect(await field(page, "Name").evaluate((e) => e === document.activeElement && e.getAttribute("aria-invalid") === "true")).toBe(true);
  await expectAccessible(page, "a form with a fault");
  await page.keyboard.type("Harrow Lane Bakery");
  await page.reload();
  await shown(page);
  await page.waitForFunction(() => [...document.querySelectorAll("input")].some((i) => i.value === "Harrow Lane Bakery"));
  await press(page, button(page, "Enter the customer"));
  await heading(page, "Harrow Lane Bakery");
  await page.getByText("The customer is entered.").waitFor();

  await press(page, page.getByRole("link", { name: "Enter a new site" }));
  await heading(page, "A new site");
  await typeInto(page, field(page, "Name"), "Bakery, Harrow Lane");
  await typeInto(page, field(page, "Position"), "41.2 N, 37.9 W");
  await typeInto(page, field(page, "When a crew may be there"), "early");
  await press(page, button(page, "Enter the site"));
  // What the hours lack is said by the server, at the field.
  const hours = field(page, "When a crew may be there");
  await page.getByText("Some fields need a look").waitFor();
  expect(await hours.getAttribute("aria-invalid")).toBe("true");
  await expectAccessible(page, "hours that cannot be read");
  await typeInto(page, hours, "Mo-Fr 05:00-09:00,13:00-15:00");
  await page.getByText("Reads: Monday to Friday 05:00–09:00, 13:00–15:00; Saturday and Sunday closed.").waitFor();
  await press(page, button(page, "Add: whom to ask"));
  await pick(page, list(page, "Who"), "a person not");
  await pick(page, list(page, "May"), "lets in");
  await typeInto(page, page.getByRole("group", { name: "Whom to ask 1" }).getByLabel("Name"), "Ada Welbeck");
  await press(page, button(page, "Enter the site"));
  await heading(page, "Bakery, Harrow Lane");
  await page.getByText("The site is entered.").waitFor();
  await expectAccessible(page, "a site");

  await press(page, page.getByRole("link", { name: "Enter a new feed" }));
  await heading(page, "A new feed");
  await typeInto(page, field(page, "Name"), "kitchen");
  await typeInto(page, field(page, "When the water may be off"), "24/7");
  await press(page, button(page, "Enter the feed"));
  await heading(page, "kitchen");
  await page.goBack();
  await page.goBack();
  await heading(page, "Bakery, Harrow Lane");
  await page.getByRole("link", { name: "kitchen", exact: true }).waitFor();

  await press(page, page.getByRole("link", { name: "Enter a new assembly" }));
  await heading(page, "A new assembly");
  await pick(page, list(page, "Purveyor"), "Orrinvale");
  await typeInto(page, field(page, "Size"), "big");
  await press(page, button(page, "Enter the assembly"));
  await page.getByText(/Some fields need a look|It was not saved/).waitFor();
  await typeInto(page, field(page, "Size"), "3/4");
  await typeInto(page, field(page, "Serial"), "HL-0042");
  await press(page, button(page, "Enter the assembly"));
  await heading(page, /^RP, 3\/4 in/);
  await page.getByText(/serial HL-0042/).first().waitFor();

  await typeInto(page, field(page, "Where at the site"), "behind the flour store");
  await press(page, button(page, "Save the changes"));
  await heading(page, /behind the flour store/);
  await page.getByText("Saved. What stood before stays in the log.").waitFor();
  const found = (await read<Entry[]>("/api/registry/assemblies?limit=5000")).find((a) => a.facts.serial === "HL-0042")!;
  expect(found.facts).toMatchObject({ size: "3/4 in", place: "behind the flour store", type: "RP" });

  await jobByPhone(page, found);
  await page.close();
});

async function jobByPhone(page: Page, assembly: Entry): Promise<void> {
  await typeInto(page, field(page, "Who called, and why"), "Ada Welbeck: water at the relief port");
  await press(page, button(page, "Open the job and see where it fits"));
  await page.getByRole("heading", { name: "Where it fits" }).waitFor();
  const put = button(page, /^Put it on [A-Z]'s route on (?!Today)/);
  await put.first().waitFor({ timeout: 60_000 });
  await expectAccessible(page, "where a job fits");
  const name = (await put.first().getAttribute("aria-label"))!;
  await press(page, put);
  await page.getByText(/^It is held for/).waitFor();
  const { tomorrow, crews } = await read<Office>("/api/office");
  const wish = (await read<Day>(`/api/days/${tomorrow}`)).wishes!.find((x) => x.site === assembly.facts.site)!;
  const letter = /on ([A-Z])'s/.exec(name)![1];
  expect(wish).toMatchObject({ hold: true, crew: crews!.find((c) => c.letter === letter)!.id });
}

it("records a crew off, back, and a helper swapped", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "crews"));
  const office = await read<Office>("/api/office");
  const crew = office.crews!.find((c) => c.people!.length > 1) ?? office.crews![0]!;
  const page = await openPage(context, `${server.url}/#/records/crews`);
  await press(page, page.getByRole("link", { name: crew.name }));
  await heading(page, crew.name);
  await expectAccessible(page, "a crew");
  await typeInto(page, field(page, "Why"), "flu");
  await press(page, button(page, "Record: crew off that day"));
  await page.getByText(/^Recorded: off on/).waitFor();
  const off = async () => (await read<Day>(`/api/days/${office.tomorrow}`)).crews!.find((c) => c.id === crew.id)?.off;
  expect(await off()).toMatch(/flu/);
  await press(page, button(page, "Record: crew works that day after all"));
  await page.getByText(/^Recorded: works on/).waitFor();
  expect(await off()).toBeFalsy();

  const hours = page.locator("form").filter({ has: button(page, "Record: works these hours that day") });
  await hours.getByLabel("Day", { exact: true }).fill("2026-05-16");
  await hours.getByLabel("From", { exact: true }).fill("07:00");
  await hours.getByLabel("To", { exact: true }).fill("11:30");
  await press(page, button(page, "Record: works these hours that day"));
  await page.getByText("Recorded: works 07:00–11:30 on Sat 16 May.", { exact: true }).waitFor();
  expect((await read<Entry>(`/api/registry/crews/${crew.id}`)).facts.hours).toMatch(/; 2026 May 16 07:00-11:30$/);

  const before = (await read<Entry>(`/api/registry/crews/${crew.id}`)).facts.people as string[];
  const box = page.getByRole("group", { name: "People" }).getByRole("checkbox", { checked: false }).first();
  await tabTo(page, box);
  await page.keyboard.press("Space");
  await typeInto(page, field(page, "Why it is changed (goes into the log)"), "helper swapped");
  await press(page, button(page, "Save the changes"));
  await page.getByText("Saved. What stood before stays in the log.").waitFor();
  expect((await read<Entry>(`/api/registry/crews/${crew.id}`)).facts.people).toHaveLength(before.length + 1);
  await page.close();
});

it("finds things by any part, and opens them with their history", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "search"));
  const [assembly] = (await read<Entry[]>("/api/registry/assemblies?limit=5000")).filter((a) => String(a.facts.serial ?? "").length > 6);
  const page = await openPage(context, `${server.url}/#/backlog`);
  await shown(page);
  const box = page.getByRole("combobox", { name: "Find anything" });
  await typeInto(page, box, String(assembly!.facts.serial));
  await page.getByRole("listbox").getByRole("option").first().waitFor();
  await page.keyboard.press("ArrowDown");
  await page.locator('[role="option"][aria-selected="true"]').waitFor();
  await expectAccessible(page, "what was found");
  await page.keyboard.press("Enter");
  await page.getByRole("heading", { name: "History" }).waitFor();
  await page.locator("ol.history > li").first().waitFor();
  expect(page.url()).toContain(assembly!.id);
  await typeInto(page, box, "qqqzzz");
  await page.getByText(/^Nothing found/).waitFor();
  await page.close();
});

it("books what others bring, says what is wanted and not booked, and takes a booking back", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "bookings"));
  const [feed] = await read<Entry[]>("/api/registry/feeds?limit=1");
  const site = String(feed!.facts.site);
  const put = await fetch(`${server.url}/api/registry/feeds/${feed!.id}`, { method: "PUT", headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ command_id: "b".repeat(32), facts: { ...feed!.facts, needs: [{ what: "street-valve", whom: "valve desk" }] } }) });
  expect(put.ok, await put.text()).toBe(true);
  const page = await openPage(context, `${server.url}/#/site/${site}`);
  const part = page.locator("section", { has: page.getByRole("heading", { name: "What others bring, and when" }) }).last();
  await part.getByText("Wanted, and nobody is booked: The purveyor at the street valve (valve desk) for").waitFor();
  await part.getByLabel("Day", { exact: true }).fill("2026-05-20");
  await part.getByLabel("From", { exact: true }).fill("10:00");
  await part.getByLabel("To", { exact: true }).fill("09:00");
  await press(page, part.getByRole("button", { name: "Record: booked" }));
  await part.getByText("The end must be after the beginning.").waitFor();
  await part.getByLabel("To", { exact: true }).fill("12:00");
  await typeInto(page, part.getByLabel("Desk or firm"), "valve desk");
  await press(page, part.getByRole("button", { name: "Record: booked" }));
  await part.getByText("from 10:00 on 20 May 2026 to 12:00: booked").waitFor();
  await part.getByText("Wanted, and nobody is booked").waitFor({ state: "hidden" });
  await expectAccessible(page, "a booking");
  // 20 May 2026, 10:00 to 12:00 by the clocks of America/Chicago, five hours behind UTC in summer.
  const { booked } = await read<{ booked: { from: string; to: string }[] }>(`/api/sites/${site}/bookings`);
  expect(booked.map((b) => [Date.parse(b.from), Date.parse(b.to)])).toEqual([[Date.parse("2026-05-20T15:00:00Z"), Date.parse("2026-05-20T17:00:00Z")]]);
  await press(page, part.getByRole("button", { name: /^Does not hold: The purveyor at the street valve/ }));
  await typeInto(page, part.getByLabel("Why it does not hold"), "their valve crew is short");
  await press(page, part.getByRole("button", { name: "Record: does not hold" }));
  await part.getByText("Wanted, and nobody is booked").waitFor();
  await page.close();
});

it("records what is not used, and what is tested before it is used again", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "disuse"));
  const [unit] = (await read<Entry[]>("/api/registry/assemblies?limit=50")).filter((a) => a.facts.type === "RP");
  const site = String(unit!.facts.site);
  // A purveyor with a rule of three months (codes of Ankeny IA and Clive IA).
  const purveyor = (await read<Entry[]>("/api/registry/purveyors?limit=50")).find((p) => p.id === unit!.facts.purveyor)!;
  const put = await fetch(`${server.url}/api/registry/purveyors/${purveyor.id}`, { method: "PUT", headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ command_id: "d".repeat(32), facts: { ...purveyor.facts, vacancy: { months: 3, source: "town code" } } }) });
  expect(put.ok, await put.text()).toBe(true);
  const page = await openPage(context, `${server.url}/#/site/${site}`);
  const part = page.locator("section", { has: page.getByRole("heading", { name: "Not in use" }) }).last();
  await part.getByText("All of it is in use.").waitFor();
  await part.getByLabel("First day without use").fill("2026-01-05");
  await press(page, part.getByRole("button", { name: "Record: not in use" }));
  await part.getByText("The site stands empty from 5 Jan 2026 on, nobody knows yet when it is used again, says owner.").waitFor();
  await part.getByText(/before it is used again: ask when/).first().waitFor();
  await press(page, part.getByRole("button", { name: /^When it is used again: The site stands empty/ }));
  await part.getByLabel("Used again on", { exact: true }).fill("2026-06-01");
  await press(page, part.getByRole("button", { name: "Record the day" }));
  await part.getByText(/before use on 1 Jun 2026/).first().waitFor();
  await expectAccessible(page, "what is not used");
  const history = await read<{ job: { due?: string; before_use?: string } }>(`/api/assemblies/${unit!.id}/history`);
  expect(history.job.before_use).toBe("before use on 1 Jun 2026");
  expect(history.job.due! <= "2026-05-31").toBe(true);
  await press(page, part.getByRole("button", { name: /^Noted by mistake: The site stands empty/ }));
  await typeInto(page, part.getByLabel("Why it is taken back"), "it was the neighbour");
  await press(page, part.getByRole("button", { name: "Record: taken back" }));
  await part.getByText("All of it is in use.").waitFor();
  await part.getByText("Tested before use").waitFor({ state: "hidden" });
  await page.close();
});

it("records notice, an agreed time, and what happened to a gauge", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "promises"));
  const calls = (await read<CallList>("/api/calls?weeks=4")).customers!;
  const { site } = calls.flatMap((c) => c.sites!).find((s) => (s.agreed ?? []).length === 0)!;
  const page = await openPage(context, `${server.url}/#/site/${site.id}`);
  await heading(page, site.name);
  await press(page, button(page, "Record: notice given"));
  await page.getByText("The notice is recorded.").waitFor();
  const agree = page.locator("form").filter({ has: button(page, "Record: time agreed") });
  await agree.getByLabel("Day", { exact: true }).fill("2026-05-20");
  await agree.getByLabel("From", { exact: true }).fill("10:00");
  await agree.getByLabel("To", { exact: true }).fill("09:00");
  await press(page, button(page, "Record: time agreed"));
  await page.getByText("The end must be after the beginning.").waitFor();
  await expectAccessible(page, "a time that ends before it begins");
  await agree.getByLabel("To", { exact: true }).fill("12:00");
  await press(page, button(page, "Record: time agreed"));
  await page.getByText("The time is recorded; the planner keeps it.").waitFor();
  const after = (await read<CallList>("/api/calls?weeks=4")).customers!.flatMap((c) => c.sites!).find((s) => s.site.id === site.id)!;
  // 20 May 2026, 10:00 to 12:00 by the clocks of America/Chicago, five hours behind UTC in summer.
  expect(after.agreed!.map((a) => [Date.parse(a.from), Date.parse(a.to)])).toContainEqual([Date.parse("2026-05-20T15:00:00Z"), Date.parse("2026-05-20T17:00:00Z")]);

  const [gauge] = await read<Entry[]>("/api/registry/gauges?limit=1");
  await page.goto(`${server.url}/#/records/gauges/${gauge!.id}`);
  await heading(page, String(gauge!.facts.serial));
  await typeInto(page, field(page, "What happened"), "fell off the tailgate");
  await press(page, button(page, "Record: gauge is not to be trusted"));
  await page.getByText(/^Recorded: no test is planned with this gauge/).waitFor();
  await page.getByLabel("New certificate valid until").fill("2027-05-01");
  await press(page, button(page, "Record: certified anew"));
  await page.getByText("Recorded: certified anew.").waitFor();
  expect((await read<Entry>(`/api/registry/gauges/${gauge!.id}`)).facts.certified_until).toBe("2027-05-01");
  await page.close();
});

it("sets a position by a click on the map, as approximate, and throws it away again", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "map"));
  const [site] = (await read<Entry[]>("/api/registry/sites?limit=5000")).filter((s) => s.facts.position && s.facts.position_source === "address-point");
  const page = await openPage(context, `${server.url}/#/records/sites/${site!.id}`);
  await page.locator(".leaflet-marker-icon.here").waitFor();
  const before = await field(page, "Position").inputValue();
  await page.locator(".small-map").click({ position: { x: 300, y: 60 } });
  await page.waitForFunction((old) => (document.getElementById("sites-position") as HTMLInputElement).value !== old, before);
  expect(await list(page, "How sure the position is").inputValue()).toBe("approximate");
  await page.getByText(/^Not saved yet/).waitFor();
  await press(page, button(page, "Throw away what I typed"));
  await page.waitForFunction((old) => (document.getElementById("sites-position") as HTMLInputElement).value === old, before);
  expect(await list(page, "How sure the position is").inputValue()).toBe("address-point");
  await page.close();
});

it("finds positions in a file of address points", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "positions"));
  const before = await read<Unplaced>("/api/positions");
  const site = before.sites!.find((s) => s.address)!;
  const page = await openPage(context, `${server.url}/#/records/positions`);
  await shown(page);
  const rows = ["Address,Latitude,Longitude", `"${site.address}",41.2345,-37.9123`, '"1 Nowhere Road",41.3,-37.8'];
  await page.getByLabel("File").setInputFiles({ name: "points.csv", mimeType: "text/csv", buffer: Buffer.from(rows.join("\r\n")) });
  await press(page, button(page, "Read the file"));
  await page.getByRole("heading", { name: "What points.csv says" }).waitFor();
  await expectAccessible(page, "positions as read");
  const box = page.getByRole("checkbox", { name: `Take the position of ${site.name}` }).first();
  if (!(await box.isChecked())) { await tabTo(page, box); await page.keyboard.press("Space"); }
  await press(page, button(page, /^Take \d+ positions?$/));
  await page.getByText(/^\d+ positions? taken/).waitFor();
  expect((await read<Entry>(`/api/registry/sites/${site.id}`)).facts).toMatchObject({ position_source: "address-point", position: { lat: 41.2345, lon: -37.9123 } });
  await page.close();
});
