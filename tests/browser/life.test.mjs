// @ts-check
// The pages of a boat's life with the drive: fleet, growth, masses, shaft, commissioning and call, over and kept, on a phone, at a desk, by keyboard
// alone, and on paper.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { device, kept, screenshotPath, startWithDemo } from "./harness.mjs";
import { seriousFaults } from "./sliders.mjs";

/** @type {import("./harness.mjs").Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
const HERS = "/boats/sea-campion";
const PHONE = { viewport: { width: 360, height: 740 }, hasTouch: true };
const DESK = { viewport: { width: 1280, height: 800 } };

before(async () => {
  ({ program, browser } = await startWithDemo());
});
after(async () => {
  await browser?.close();
  await program?.stop();
});

/**
 * @param {import("playwright-core").Page} page
 * @param {string} name
 */
async function look(page, name) {
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${name} is wider than the window`);
  await page.screenshot({ path: screenshotPath(name), fullPage: true });
  assert.deepEqual(await seriousFaults(page), [], name);
}

for (const [width, screen] of /** @type {const} */ ([[360, PHONE], [1280, DESK]])) {
  test(`fleet, growth, shaft, commissioning and call at ${width} px`, async () => {
    const { page, context, faults } = await device(browser, screen);
    await page.goto(program.url("/fleet"));
    await page.locator("h1", { hasText: "Sea Campion" }).waitFor();
    assert.ok(await page.locator("main details.fold table").first().isVisible(), "the table of the fleet stands open");
    await look(page, `fleet-${width}`);
    for (const room of ["growth", "weights", "shaft", "commission", "call"]) {
      await page.goto(program.url(`${HERS}/${room}`));
      await look(page, `${room}-over-${width}`);
    }
    for (const room of ["commission", "call"]) {
      await page.goto(program.url(`${HERS}/${room}`));
      await page.locator("ol.trials a").first().click();
      await page.waitForURL(new RegExp(`kept/${room}/1`));
      await look(page, `${room}-kept-${width}`);
    }
    assert.deepEqual(faults, []);
    await context.close();
  });
}

test("from the fleet to the check-ups of a boat, and a call by keyboard alone", async () => {
  const { page, context, faults } = await device(browser, DESK);
  await page.goto(program.url("/fleet"));
  await page.getByRole("link", { name: "Check-ups of Sea Campion" }).focus();
  await page.keyboard.press("Enter");
  await page.waitForURL(/sea-campion\/checkup/);
  await page.goto(program.url(`${HERS}/call`));
  await page.getByRole("button", { name: "Begin a call" }).focus();
  await page.keyboard.press("Enter");
  await page.waitForURL(/kept\/call\/2/);
  // Every field is come to with the tab key alone, in the order in which it stands.
  const names = await page.locator("form.trial input:visible, form.trial select:visible, form.trial textarea:visible").evaluateAll((all) => all.map((one) => one.id));
  await page.locator(`#${names[0]}`).focus();
  const come = [names[0]];
  for (let k = 0; k < 3 * names.length && come.length < names.length; k++) {
    await page.keyboard.press("Tab");
    const id = await page.evaluate(() => document.activeElement?.id ?? "");
    if (names.includes(id) && !come.includes(id)) come.push(id);
  }
  assert.deepEqual(come, names);
  await page.locator("#note").focus();
  await page.keyboard.type("rang at ten at night");
  await kept(page);
  await page.reload();
  assert.equal(await page.locator("#note").inputValue(), "rang at ten at night");
  assert.deepEqual(faults, []);
  await context.close();
});

test("masses are entered on her page and weighed, without a word of the file", async () => {
  const { page, context, faults } = await device(browser, PHONE);
  await page.goto(program.url(`${HERS}/boat`));
  const part = page.locator("#part-mass");
  await part.locator("summary").first().tap();
  await part.getByRole("button", { name: /Begin the first|Add another/ }).click();
  await page.waitForURL(/boat/);
  const place = await page.locator("#part-mass h3").count();
  await page.evaluate(() => { for (const more of document.querySelectorAll("#part-mass, #part-mass details")) /** @type {HTMLDetailsElement} */ (more).open = true; });
  for (const [name, text] of [["what", "packs in the lazarette"], ["mass", "90 kg"], ["aft", "8 m"], ["height", "0.4 m"]]) {
    await page.locator(`#mass-${place}-${name}`).fill(/** @type {string} */ (text));
  }
  await kept(page);
  await page.getByRole("button", { name: "Keep as revision" }).click();
  await page.getByText(/Kept as revision \d/).waitFor();
  await page.goto(program.url(`${HERS}/weights`));
  assert.match((await page.locator("main").textContent()) ?? "", /packs in the lazarette/);
  const said = await page.locator("main").innerText();
  assert.doesNotMatch(said, /\[\[|bottom_cleaned|\w+\.\w+_\w+/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("on paper a kept commissioning has its readings and no buttons", async () => {
  const { page, context } = await device(browser, DESK);
  await page.goto(program.url(`${HERS}/commission`));
  await page.locator("ol.trials a").first().click();
  await page.waitForURL(/kept\/commission\/1/);
  await page.emulateMedia({ media: "print" });
  assert.equal(await page.locator("nav.pages").isVisible(), false);
  assert.equal(await page.locator("button:visible").count(), 0);
  await page.getByText("All 13 readings of Sea Campion pass.").waitFor();
  await page.screenshot({ path: screenshotPath("commission-print"), fullPage: true });
  await context.close();
});
