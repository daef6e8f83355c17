// The first day of an office, over TLS: the set-up link, signing in, an account
// for somebody else, a phone by a code, and taking it off again.

import type { Browser, BrowserContext } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { desk, expectAccessible, expectTargets, openBrowser, openPage, phone, picture, shown } from "./browser";
import { pick, press, typeInto } from "./keys";
import { administrator, startSecure, type Secure } from "./secure";

let server: Secure;
let browser: Browser;
let office: BrowserContext;

beforeAll(async () => {
  server = await startSecure("--at", "2026-05-12T15:00", "--sites", "60");
  browser = await server.openBrowser();
  office = await desk(browser);
});
afterAll(async () => {
  await browser?.close();
  await server?.stop();
});

it("refuses the connection to a browser that has not been told to trust it", async () => {
  const stranger = await openBrowser();
  const page = await stranger.newPage();
  await expect(page.goto(server.url)).rejects.toThrow(/ERR_CERT_AUTHORITY_INVALID/);
  await stranger.close();
});

it("lets nothing but the set-up page answer before it is set up", async () => {
  for (const path of ["/api/office", "/api/registry/people", "/openapi.json", "/api/live"]) expect((await server.call(path)).status, path).toBe(403);
  const page = await openPage(office, server.url);
  await page.getByRole("heading", { level: 1, name: "Set up this office" }).waitFor();
  await page.getByText("Open the link that the server printed").waitFor();
  await expectAccessible(page, "before set-up");
  await page.close();
});

it("makes the first administrator by the printed link, by keyboard, once", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "set-up"));
  const page = await openPage(office, server.setUpLink);
  await shown(page);
  await expectAccessible(page, "set-up");
  await typeInto(page, page.getByLabel("Your name"), administrator.name);
  await typeInto(page, page.getByLabel("Name to sign in with"), administrator.login);
  const passwords = page.getByLabel(/password/i);
  await typeInto(page, passwords.nth(0), "ann ann ann ann ann");
  await typeInto(page, passwords.nth(1), "ann ann ann ann ann");
  await press(page, page.getByRole("button", { name: "Make the first administrator" }));
  await page.getByRole("alert").getByText(/The password is/).waitFor();
  await typeInto(page, passwords.nth(0), administrator.password);
  await typeInto(page, passwords.nth(1), administrator.password);
  await press(page, page.getByRole("button", { name: "Make the first administrator" }));
  await page.getByText("The office is set up.").waitFor();
  const again = await server.call("/api/set-up", { body: { token: server.setUpLink.split("/").at(-1), ...administrator, login: "eve" } });
  expect(again.status).toBe(422);

  await typeInto(page, page.getByLabel("Name to sign in with"), administrator.login);
  await typeInto(page, page.getByLabel("Password"), "not the password at all");
  await press(page, page.getByRole("button", { name: "Sign in" }));
  await page.getByRole("alert").getByText("The name or the password is not right.").waitFor();
  await expectAccessible(page, "sign-in refused");
  await typeInto(page, page.getByLabel("Password"), administrator.password);
  await press(page, page.getByRole("button", { name: "Sign in" }));
  await page.getByRole("link", { name: `Signed in as ${administrator.name}` }).waitFor();
  const cookies = await office.cookies();
  expect(cookies.map(({ name, secure, httpOnly, sameSite }) => ({ name, secure, httpOnly, sameSite })))
    .toEqual([{ name: "__Host-session", secure: true, httpOnly: true, sameSite: "Strict" }]);
  await page.close();
});

it("plans under the content policy, the map included", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "policy"));
  const page = await openPage(office, `${server.url}/#/tomorrow`);
  await press(page, page.getByRole("button", { name: "Plan tomorrow" }));
  await page.getByRole("button", { name: /^Send out/ }).waitFor({ timeout: 60_000 });
  await page.locator(".map .arrow").first().waitFor({ state: "attached" });
  expect(await page.locator(".map .arrow").first().evaluate((arrow) => getComputedStyle(arrow).transform)).not.toBe("none");
  await press(page, page.getByRole("button", { name: /^Send out/ }));
  await page.getByText(/^Sent out \d\d:\d\d/).waitFor();
  await page.close();
});

it("enrols a phone by a code, which works for its crew alone until it is taken off", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "enrol"));
  const page = await openPage(office, `${server.url}/#/accounts`);
  await shown(page);
  const person = page.getByRole("combobox", { name: "Person", exact: true });
  await person.locator("option:nth-child(2)").waitFor({ state: "attached" });
  await expectAccessible(page, "accounts");
  await pick(page, person, "Nadia");
  await pick(page, page.getByRole("combobox", { name: "Crew", exact: true }), "A");
  await press(page, page.getByRole("button", { name: "Make a code" }));
  const code = await page.locator("strong.code").textContent();
  expect(code).toMatch(/^[0-9A-Z]{4}-[0-9A-Z]{4}$/);

  const pocket = await phone(browser);
  const hand = await openPage(pocket, `${server.url}/crew.html`);
  await hand.getByRole("alert").getByRole("link", { name: "Enrol this phone" }).click();
  await hand.getByRole("heading", { name: "Enrol this phone" }).waitFor();
  await expectAccessible(hand, "enrolling, 390 px");
  await expectTargets(hand, "enrolling, 390 px");
  await hand.getByLabel("Code").fill(code!.toLowerCase().replace("-", " "));
  await hand.getByLabel("What to call this phone").fill("blue phone");
  await hand.getByRole("button", { name: "Enrol this phone" }).click();
  await hand.waitForURL(/crew\.html/);
  await hand.getByText("Whose day").or(hand.getByRole("heading", { level: 1 })).first().waitFor();
  const status = (path: string) => hand.evaluate(async (p) => (await fetch(p)).status, path);
  expect(await status("/api/crews/c-01/days/2026-05-13")).toBe(200);
  expect(await status("/api/crews/c-02/days/2026-05-13")).toBe(403);
  expect(await status("/api/backlog")).toBe(403);
  expect(await status("/api/accounts")).toBe(403);

  await page.getByRole("cell", { name: /^blue phone/ }).waitFor();
  await expectAccessible(page, "a phone enrolled");
  await page.getByText("Take this phone off").first().click();
  await page.getByLabel("Why").last().fill("lost in a vault");
  await page.getByRole("button", { name: "Take this phone off" }).click();
  await page.getByRole("cell", { name: "taken off" }).waitFor();
  expect(await status("/api/crews/c-01/days/2026-05-13")).toBe(401);
  await pocket.close();
  await page.close();
});

it("lets somebody else in by a link, with a role of their own", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "invite"));
  const page = await openPage(office, `${server.url}/#/accounts`);
  await shown(page);
  await typeInto(page, page.getByLabel("Name", { exact: true }), "Max Reader");
  await typeInto(page, page.getByLabel("Name to sign in with"), "max");
  const chosen = page.getByRole("group", { name: "Roles", exact: true });
  await chosen.getByLabel("dispatcher").uncheck();
  await chosen.getByLabel("manager").check();
  await press(page, page.getByRole("button", { name: "Open the account and make a link" }));
  const link = await page.locator(".said .code").first().textContent();
  const other = await desk(browser);
  const theirs = await openPage(other, link!);
  await theirs.getByRole("heading", { name: "Choose your password" }).waitFor();
  await expectAccessible(theirs, "choosing a password");
  await theirs.getByLabel(/password/i).nth(0).fill("reading is what I do");
  await theirs.getByLabel(/password/i).nth(1).fill("reading is what I do");
  await theirs.getByRole("button", { name: "Keep this password" }).click();
  await theirs.getByText("Your password is kept.").waitFor();
  await theirs.getByLabel("Name to sign in with").fill("max");
  await theirs.getByLabel("Password").fill("reading is what I do");
  await theirs.getByRole("button", { name: "Sign in" }).click();
  await theirs.getByRole("link", { name: "Signed in as Max Reader" }).click();
  await theirs.getByRole("heading", { name: "Your account: Max Reader" }).waitFor();
  await theirs.getByRole("heading", { name: "Sessions" }).waitFor();
  await expectAccessible(theirs, "one's own account");
  expect(await theirs.evaluate(async () => (await fetch("/api/accounts")).status)).toBe(403);
  await theirs.getByRole("button", { name: "Sign out" }).click();
  await theirs.getByRole("heading", { name: "Sign in" }).waitFor();
  expect(await theirs.evaluate(async () => (await fetch("/api/office")).status)).toBe(401);
  await other.close();
  await page.close();
});

it("shows how to trust the certificate, with the fingerprint that the server printed", async () => {
  for (const [context, width] of [[office, 1280], [await phone(browser), 390]] as const) {
    const page = await openPage(context, `${server.url}/sign-in.html#/trust`);
    await page.getByText(/Fingerprint: |^Fingerprint/).first().waitFor();
    expect(server.said()).toContain((await page.locator("dd.code").textContent())!);
    await expectAccessible(page, `trust, ${width} px`);
    if (width === 390) await expectTargets(page, `trust, ${width} px`);
    await page.close();
  }
  const file = await server.call<string>("/api/trust/authority.pem");
  expect(file.body).toBe(server.authority);
});
