// @ts-check
// The page Under sail: figures, sliders, hazards where they arise, what cannot be.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { device, screenshotPath, startWithDemo } from "./harness.mjs";
import { arrowTo, settled } from "./sliders.mjs";

/** @type {import("./harness.mjs").Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
const SAIL = "/boats/sea-campion/sail";

before(async () => {
  ({ program, browser } = await startWithDemo());
});
after(async () => {
  await browser?.close();
  await program?.stop();
});

/** @param {import("playwright-core").Page} page */
const sentence = (page) => page.locator("[data-finding]").innerText();

test("what the propeller costs, takes and brings stands in the sentence and on both charts", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(SAIL));
  assert.match(await sentence(page), /^At [\d.]+ kn under sail the propeller costs Sea Campion [\d.]+ kn held/);
  assert.equal(await page.locator("#sail-drag").count(), 1);
  assert.equal(await page.locator("#sail-power").count(), 1);
  assert.match(await page.locator("[data-live=cautions]").innerText(), /starts to turn a shaft that is left free/);
  assert.match(await page.locator("[data-live=rest]").innerText(), /Tied to a quay she pulls .* ahead and .* astern/);
  await page.screenshot({ path: screenshotPath("sail-1280-light"), fullPage: true });
  assert.deepEqual(faults, []);
  await context.close();
});

test("faster, and something comes back; full or cold, and nothing does, with the reason", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(`${SAIL}?set=bank.state_of_charge%3D60%20%25`));
  await arrowTo(page, "boat speed", "8 kn");
  await settled(page);
  assert.match(await sentence(page), /turning the motor it puts [1-9]\d* W into the bank/);
  await page.goto(program.url(`${SAIL}?set=week.sailing_speed%3D8%20kn&set=bank.temperature%3D-5%20%C2%B0C`));
  assert.match(await sentence(page), /nothing comes back, because/);
  await page.goto(program.url(`${SAIL}?set=week.sailing_speed%3D8%20kn&set=bank.state_of_charge%3D100%20%25`));
  assert.match(await sentence(page), /nothing comes back, because/);
  await page.goto(program.url(`${SAIL}?set=propeller.pattern%3Dfolding`));
  assert.match(await sentence(page), /stowed blades cost her/);
  assert.equal(await page.locator("#sail-power").count(), 0);
  assert.deepEqual(faults, []);
  await context.close();
});

test("a figure opens to its formula, and what cannot be is said in the place of the finding", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(SAIL));
  const drag = page.locator("details.origin[data-origin=held_drag]");
  await drag.locator("summary").click();
  await drag.locator("dl").waitFor();
  assert.match(await drag.innerText(), /four-quadrant/);
  await page.goto(program.url(`${SAIL}?set=propeller.diameter%3D28%20in`));
  assert.match(await sentence(page), /^This cannot be: diameter 28 in/);
  assert.deepEqual(faults.filter((fault) => !/422/.test(fault)), []);
  await context.close();
});
