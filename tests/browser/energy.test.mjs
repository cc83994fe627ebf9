// @ts-check
// The page Energy: a year, a day, the bank; sliders, what cannot be, a boat without a place.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { device, screenshotPath, startWithDemo } from "./harness.mjs";
import { arrowTo, settled } from "./sliders.mjs";

/** @type {import("./harness.mjs").Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
const ENERGY = "/boats/sea-campion/energy";

before(async () => {
  ({ program, browser } = await startWithDemo());
});
after(async () => {
  await browser?.close();
  await program?.stop();
});

/** @param {import("playwright-core").Page} page */
const sentence = (page) => page.locator("[data-finding]").innerText();

/** Hours on shore in the year. @param {import("playwright-core").Page} page */
async function shoreHours(page) {
  const said = await sentence(page);
  const found = /([\d,]+) h of the year/.exec(said);
  return found ? Number(String(found[1]).replace(",", "")) : 0;
}

test("a year and a day stand as strips, every month in the table, the bank on a page of its own", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(ENERGY));
  assert.match(await sentence(page), /^Lived on as stated, Sea Campion on 615 W of panels/);
  assert.equal(await page.locator("#year").count(), 1);
  assert.equal(await page.locator("#day").count(), 1);
  const rest = page.locator("[data-live=rest]");
  for (const words of ["Dec", "one more panel", "one more pack"]) {
    assert.ok((await rest.innerText()).includes(words), words);
  }
  await page.screenshot({ path: screenshotPath("energy-1280-light"), fullPage: true });
  await page.goto(program.url(ENERGY.replace(/energy$/, "bank")));
  for (const words of ["One pack lost", "Charging from", "As the years go by"]) {
    assert.ok((await page.locator("[data-live=rest]").innerText()).includes(words), words);
  }
  await page.screenshot({ path: screenshotPath("bank-1280-light"), fullPage: true });
  assert.deepEqual(faults, []);
  await context.close();
});

test("less motoring asks for fewer hours on shore, and the slider says so by itself", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(ENERGY));
  const before = await shoreHours(page);
  await arrowTo(page, "motoring in a week", "0 h");
  await settled(page);
  assert.ok((await shoreHours(page)) < before, `${await shoreHours(page)} after ${before}`);
  assert.match(await page.locator(".tried").innerText(), /motoring in a week 0 h/);
  await arrowTo(page, "the day", "under way");
  await settled(page);
  assert.match(await page.locator("[data-live=rest]").innerText(), /Under way for/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("what cannot be is said: a load that gives, a panel larger than the boat carries, another hemisphere", async () => {
  const { page, context } = await device(browser);
  for (const [set, said] of [
    ["house[1].power=-50 W", /mean power cannot be/i],
    ["panel[1].power=5 kW", /panel/i],
    ["place.latitude=90 deg", /climate .* does not hold at latitude/],
    ["pack[1].voltage=0 V", /voltage/i],
  ]) {
    await page.goto(program.url(`${ENERGY}?set=${encodeURIComponent(String(set))}`));
    const text = await page.locator("main").innerText();
    assert.match(text, /** @type {RegExp} */ (said), String(set));
    assert.match(text, /This cannot be/, String(set));
  }
  await context.close();
});

test("a figure of the year opens to its formula", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(ENERGY));
  const hours = page.locator("details.origin[data-origin=shore_hours]");
  await hours.locator("summary").click();
  await hours.locator("dl").waitFor();
  assert.match(await hours.innerText(), /8,760/);
  assert.deepEqual(faults, []);
  await context.close();
});
