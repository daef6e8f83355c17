// What somebody without a mouse can do.

import type { Locator, Page } from "playwright-core";

/** Presses Tab, or Shift and Tab when the control lies behind, until it has the focus; one that is not reached fails the test. */
export async function tabTo(page: Page, control: Locator, most = 400): Promise<void> {
  await control.first().waitFor();
  const where = () => control.first().evaluate((element) => {
    const active = document.activeElement;
    if (element === active) return "here";
    return active && active !== document.body && element.compareDocumentPosition(active) & Node.DOCUMENT_POSITION_FOLLOWING ? "behind" : "ahead";
  });
  for (let n = 0; n < most; n++) {
    const at = await where();
    if (at === "here") return;
    await page.keyboard.press(at === "ahead" ? "Tab" : "Shift+Tab");
  }
  throw new Error(`Tab does not reach ${control}`);
}

/** Goes to a field and types over what it holds. */
export async function typeInto(page: Page, field: Locator, text: string): Promise<void> {
  await tabTo(page, field);
  await page.keyboard.press("ControlOrMeta+a");
  await page.keyboard.type(text);
}

/** Goes to a list of choices and picks one by typing its words, as a screen reader's user does. */
export async function pick(page: Page, list: Locator, words: string): Promise<void> {
  await tabTo(page, list);
  await page.keyboard.type(words);
}

/** Goes to a button or link and presses it. */
export async function press(page: Page, control: Locator): Promise<void> {
  await tabTo(page, control);
  await page.keyboard.press("Enter");
}
