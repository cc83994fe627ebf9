// @ts-check
// The Range page: what a slider does to miles, hours and chart; carried over from the Drive page.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { device, screenshotPath, startWithDemo } from "./harness.mjs";
import { arrowTo, seriousFaults, settled } from "./sliders.mjs";

/** @type {import("./harness.mjs").Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
const RANGE = "/boats/sea-campion/range";

before(async () => {
  ({ program, browser } = await startWithDemo());
});
after(async () => {
  await browser?.close();
  await program?.stop();
});

/** Miles of the sentence. @param {import("playwright-core").Page} page */
async function miles(page) {
  const said = await page.locator("[data-finding]").innerText();
  const found = /At [\d.]+ kn (?:Sea Campion|she) goes ([\d.]+) nm in [\d.]+ h down to a reserve of/.exec(said);
  assert.ok(found, said);
  return Number(found[1]);
}

test("less charge, fewer miles; more reserve, fewer still", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(RANGE));
  const full = await miles(page);
  const chart = await page.locator("#range").innerHTML();
  await arrowTo(page, "state of charge", "60 %");
  await settled(page);
  const less = await miles(page);
  assert.ok(less < 0.75 * full, `${less} of ${full}`);
  assert.notEqual(await page.locator("#range").innerHTML(), chart);
  assert.match(await page.locator("[data-live=rest]").innerText(), /Charge 60 % to/);
  await arrowTo(page, "reserve", "40 %");
  await settled(page);
  assert.ok((await miles(page)) < less);
  assert.match(await page.locator(".tried").innerText(), /state of charge 60 %.*reserve 40 %/);
  await page.screenshot({ path: screenshotPath("range-tried-1280-light"), fullPage: true });
  assert.deepEqual(faults, []);
  await context.close();
});

test("a head wind and a standing load cost miles", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url(RANGE));
  const calm = await miles(page);
  await page.goto(program.url(`${RANGE}?set=sea.head_wind%3D15%20kn`));
  assert.ok((await miles(page)) < calm);
  await page.goto(program.url(`${RANGE}?set=bank.house_load%3D600%20W`));
  assert.ok((await miles(page)) < calm);
  await context.close();
});

test("a charge below the reserve cannot be, and what was found before stays", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(`${RANGE}?set=bank.state_of_charge%3D20%20%25`));
  const said = await page.locator(".impossible, [data-finding]").allInnerTexts();
  assert.match(said.join(" "), /reserve/);
  assert.equal(await page.locator("#range").count(), 1);
  assert.deepEqual(faults, []);
  await context.close();
});

test("what is tried on Drive goes along to Range", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url("/boats/sea-campion/drive"));
  await arrowTo(page, "pitch", "13 in");
  await settled(page);
  await page.getByRole("navigation", { name: "Pages" }).getByRole("link", { name: "Range" }).click();
  assert.match(await page.locator(".tried").innerText(), /pitch 13 in instead of 15 in/);
  await context.close();
});

test("miles are read off by keyboard, also on a phone in the night", async () => {
  for (const width of [360, 1280]) {
    const { page, context, faults } = await device(browser, { viewport: { width, height: 800 } });
    await page.goto(program.url(RANGE));
    await page.getByRole("button", { name: "night" }).click();
    await settled(page);
    const chart = page.locator("#range");
    assert.ok(Number(await chart.getAttribute("width")) <= width);
    await chart.focus();
    await page.keyboard.press("End");
    await page.keyboard.press("ArrowLeft");
    const said = await page.locator("figure", { has: chart }).locator("[data-readout-text]").innerText();
    assert.match(said, /^At [\d.]+ kn: .*kW/);
    await page.keyboard.press("Escape");
    await page.screenshot({ path: screenshotPath(`range-${width}-night`), fullPage: true });
    assert.deepEqual(await seriousFaults(page), []);
    await page.emulateMedia({ media: "print" });
    await page.screenshot({ path: screenshotPath(`range-${width}-paper`), fullPage: true });
    assert.deepEqual(faults, []);
    await context.close();
  }
});
