// @ts-check
// What the tests of pages with sliders share.

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/**
 * Moves a slider with the arrow keys until it says `words`.
 * @param {import("playwright-core").Page} page
 * @param {string} name
 * @param {string} words
 */
export async function arrowTo(page, name, words) {
  const slider = page.getByRole("slider", { name });
  const slot = page.locator(".slider", { has: page.locator("label", { hasText: name }) });
  const wanted = await slot.first().evaluate((slot, text) => {
    const fold = slot.closest("details");
    if (fold) fold.open = true;
    const list = slot.querySelector("select");
    return [...(list?.options ?? [])].findIndex((option) => option.textContent === text);
  }, words);
  if (wanted < 0) throw new Error(`${name} has no place ${words}`);
  await slider.focus();
  for (let at = Number(await slider.inputValue()); at !== wanted; at += Math.sign(wanted - at)) {
    await page.keyboard.press(wanted > at ? "ArrowRight" : "ArrowLeft");
  }
}

/**
 * Waits until the page has been computed with all its samples.
 * @param {import("playwright-core").Page} page
 */
export async function settled(page) {
  await page.waitForTimeout(100);
  await page.locator(".workbench:not([aria-busy=true])").waitFor();
}

/**
 * Serious faults that axe-core finds.
 * @param {import("playwright-core").Page} page
 * @returns {Promise<string[]>}
 */
export async function seriousFaults(page) {
  await page.evaluate(axe);
  return page.evaluate(async () => {
    // @ts-expect-error axe is put into the page by the line before
    const found = await window.axe.run(document, { resultTypes: ["violations"] });
    return found.violations
      .filter((/** @type {{impact: string}} */ v) => v.impact === "serious" || v.impact === "critical")
      .map((/** @type {{id: string, nodes: {html: string}[]}} */ v) => `${v.id}: ${v.nodes.map((n) => n.html).slice(0, 3).join(" | ")}`);
  });
}
