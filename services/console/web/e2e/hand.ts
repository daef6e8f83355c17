// The two ways in which somebody works at the desk: with a mouse, and with the keys alone. A run of the day is written
// once and done by either.

import type { BrowserContext, Locator, Page } from "playwright-core";
import { tabTo } from "./keys";

export interface Hand {
  readonly how: "mouse" | "keyboard";
  /** A button, a link, the head of something that opens. */
  press(control: Locator): Promise<void>;
  /** A field of text or numbers: what it held goes. */
  type(field: Locator, text: string): Promise<void>;
  /** A date as 2026-05-11. */
  date(field: Locator, date: string): Promise<void>;
  /** A time of the day as 09:40. */
  time(field: Locator, time: string): Promise<void>;
  /** A list of choices, by the choice's words. */
  choose(list: Locator, words: string | RegExp): Promise<void>;
  /** A box that is not ticked yet, or one of several buttons of which one holds. */
  tick(box: Locator): Promise<void>;
  attach(field: Locator, file: { name: string; mimeType: string; buffer: Buffer }): Promise<void>;
  /** Types into the search box and opens what was found. */
  find(text: string, hit: string | RegExp): Promise<void>;
}

/** The words of the choice that a list offers and that fits, once it is offered. */
async function choiceOf(list: Locator, words: string | RegExp): Promise<string> {
  const option = list.locator("option", { hasText: words }).first();
  await option.waitFor({ state: "attached" });
  return (await option.textContent())!;
}

const searchBox = (page: Page) => page.getByRole("combobox", { name: "Find anything" });
const found = (page: Page, hit: string | RegExp) => page.getByRole("listbox", { name: "What was found" }).getByRole("option").filter({ hasText: hit }).first();

/** From now on file choosers come to the test. Asked for only when a key opens one, that can be too late by a moment. */
const catchChoosers = (page: Page) => { page.on("filechooser", () => {}); };

export function mouse(page: Page): Hand {
  catchChoosers(page);
  const fill = (field: Locator, text: string) => field.click().then(() => field.fill(text));
  return {
    how: "mouse",
    press: (control) => control.first().click(),
    type: fill,
    date: fill,
    time: fill,
    choose: async (list, words) => void (await list.selectOption({ label: await choiceOf(list, words) })),
    tick: (box) => box.click(),
    attach: async (field, file) => {
      const [chooser] = await Promise.all([page.waitForEvent("filechooser"), field.click()]);
      await chooser.setFiles(file);
    },
    find: async (text, hit) => {
      await fill(searchBox(page), text);
      await found(page, hit).click();
    },
  };
}

/** Keys alone. Whatever is used has the focus, shows it, and is in view. */
export function keyboard(page: Page): Hand {
  catchChoosers(page);
  const keys = page.keyboard;
  const at = async (control: Locator) => {
    await tabTo(page, control, 900);
    const fault = await control.first().evaluate(whyNotSeen);
    if (fault) throw new Error(`${control}: ${fault}`);
  };
  // A date or time is typed part by part, from the first part on.
  const parts = async (field: Locator, value: string, typed: string[]) => {
    for (const text of typed) {
      await at(field);
      for (let i = 0; i < 3; i++) await keys.press("ArrowLeft");
      await keys.type(text);
      if ((await field.inputValue()) === value) return;
    }
    throw new Error(`${field} took ${await field.inputValue()} for ${value}`);
  };
  return {
    how: "keyboard",
    press: async (control) => { await at(control); await keys.press("Enter"); },
    type: async (field, text) => { await at(field); await keys.press("ControlOrMeta+a"); await keys.type(text); },
    date: (field, date) => {
      const [y, m, d] = date.split("-") as [string, string, string];
      return parts(field, date, [m + d + y, d + m + y]); // as the browser's own language orders them
    },
    time: (field, time) => {
      const hour = Number(time.slice(0, 2));
      return parts(field, time, [`${String(hour % 12 || 12).padStart(2, "0")}${time.slice(3)}${hour < 12 ? "AM" : "PM"}`, time.replace(":", "")]);
    },
    choose: async (list, words) => {
      const want = await choiceOf(list, words);
      await at(list);
      // The page may follow each choice on the way, and set the list again when it has: so look before each key.
      for (let left = 2; left > 1;) {
        const step = await list.evaluate((e: HTMLSelectElement, text) => [...e.options].findIndex((o) => o.text === text) - e.selectedIndex, want);
        if (step !== 0) await keys.press(step > 0 ? "ArrowDown" : "ArrowUp");
        left = Math.abs(step);
      }
    },
    tick: async (box) => { await at(box); await keys.press("Space"); },
    attach: async (field, file) => {
      await at(field);
      const [chooser] = await Promise.all([page.waitForEvent("filechooser"), keys.press("Space")]);
      await chooser.setFiles(file);
    },
    find: async (text, hit) => {
      await at(searchBox(page));
      await keys.press("ControlOrMeta+a");
      await keys.type(text);
      const option = found(page, hit);
      await option.waitFor();
      const id = await option.getAttribute("id");
      for (let i = 0; i < 20 && (await searchBox(page).getAttribute("aria-activedescendant")) !== id; i++) await keys.press("ArrowDown");
      await keys.press("Enter");
    },
  };
}

/**
 * Why somebody at the screen would not see that this has the focus; empty when they would. WCAG 2.2, 2.4.7 Focus
 * Visible and 2.4.11 Focus Not Obscured (Minimum).
 */
function whyNotSeen(control: Element): string {
  if (!control.matches(":focus-visible")) return "has not the visible focus";
  const style = getComputedStyle(control);
  if (style.outlineStyle === "none" || parseFloat(style.outlineWidth) < 2) return "has the focus and no outline";
  const box = control.getClientRects()[0];
  if (!box || box.bottom <= 0 || box.right <= 0 || box.top >= innerHeight || box.left >= innerWidth) return "has the focus out of view";
  const inside = (from: number, size: number, end: number) => Math.min(Math.max(from + size / 2, 0), end - 1);
  const hit = document.elementFromPoint(inside(box.left, box.width, innerWidth), inside(box.top, box.height, innerHeight));
  return !hit || control.contains(hit) || hit.contains(control) ? "" : `has the focus under ${hit.outerHTML.slice(0, 80)}`;
}

/** Counts the presses of a pointer, in the browser, over all pages of a context. */
export async function countClicks(context: BrowserContext): Promise<() => number> {
  let clicks = 0;
  await context.exposeBinding("pointerPressed", () => { clicks++; });
  await context.addInitScript(() => addEventListener("pointerdown", (event) => event.isTrusted && (window as unknown as { pointerPressed: () => void }).pointerPressed(), true));
  return () => clicks;
}
