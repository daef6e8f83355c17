// Every page under the content policy of the server, signed in and over TLS; the pages of the door on a
// phone, and by keyboard.

import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { desk, expectAccessible, expectTargets, openPage, phone, picture } from "./browser";
import { press, typeInto } from "./keys";
import { administrator, holds, session, startSignedIn, type Secure } from "./secure";

let server: Secure;
let browser: Browser;

beforeAll(async () => {
  server = await startSignedIn("--at", "2026-05-12T15:00", "--sites", "60");
  browser = await server.openBrowser();
});
afterAll(async () => {
  await browser?.close();
  await server?.stop();
});

// Content policy of the OWASP "Content Security Policy" cheat sheet: no page needs what it forbids. Every page is opened with a
// listener for what the browser had to stop, and the listener is shown to hear.
it("keeps the content policy on every page, at both widths, and the door's pages are usable on a phone", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "policy-sweep"));
  type Stopped = { stopped?: string[] };
  const cookie = await session(server);
  const { body: assemblies } = await server.call<{ id: string }[]>("/api/registry/assemblies", { cookie });
  const { body: sites } = await server.call<{ id: string }[]>("/api/registry/sites", { cookie });
  const offices = ["tomorrow", "tomorrow/2026-05-13", "calls", "intake", "backlog", "left-off", "filing", "records", "records/sites", `site/${sites[0]!.id}`, `assembly/${assemblies[0]!.id}`, "expiries", "accounts", "me"];
  for (const narrow of [false, true]) {
    const context = narrow ? await phone(browser) : await desk(browser);
    await holds(context, server, cookie);
    await context.addInitScript(() => {
      addEventListener("securitypolicyviolation", (e) => ((window as Stopped).stopped ??= []).push(`${e.violatedDirective} ${e.blockedURI}`));
    });
    const page = await context.newPage();
    const stopped = () => page.evaluate(() => (window as Stopped).stopped ?? []);
    for (const path of [...offices.map((o) => `/#/${o}`), "/crew.html", "/crew.html#/c-01/2026-05-13", "/sign-in.html", "/sign-in.html#/phone", "/sign-in.html#/trust", "/sign-in.html#/welcome/x", "/sign-in.html#/set-up/x"]) {
      await page.goto("about:blank");
      await page.goto(server.url + path);
      await page.locator("h1, h2, ol, table").first().waitFor();
      await page.waitForTimeout(200);
      expect(await stopped(), `${path} at ${narrow ? 390 : 1280} px`).toEqual([]);
      if (/sign-in|accounts|#\/me/.test(path)) {
        await expectAccessible(page, `${path} at ${narrow ? 390 : 1280} px`);
        if (narrow) await expectTargets(page, path);
      }
    }
    await page.evaluate(() => document.body.setAttribute("style", "color: red"));
    await expect.poll(stopped).toEqual(["style-src-attr inline"]);
    await context.close();
  }
});

it("signs in, looks and signs out by keyboard", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "keys"));
  const context = await desk(browser);
  const page = await openPage(context, server.url);
  await page.getByRole("heading", { name: "Sign in" }).waitFor();
  await typeInto(page, page.getByLabel("Name to sign in with"), administrator.login);
  await typeInto(page, page.getByLabel("Password"), administrator.password);
  await page.keyboard.press("Enter");
  await page.getByRole("link", { name: `Signed in as ${administrator.name}` }).waitFor();
  await press(page, page.getByRole("link", { name: `Signed in as ${administrator.name}` }));
  await press(page, page.getByRole("button", { name: "Sign out" }));
  await page.getByRole("heading", { name: "Sign in" }).waitFor();
  await page.goto(`${server.url}/#/backlog`);
  await page.getByRole("heading", { name: "Sign in" }).waitFor();
  await context.close();
});
