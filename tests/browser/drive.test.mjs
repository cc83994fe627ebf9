// @ts-check
// The Drive page: a slider moves sentence, chart and numbers together and keeps nothing by itself;
// what is tried can be kept; values are read off the chart; phone, night and paper.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { device, screenshotPath, startWithDemo } from "./harness.mjs";
import { arrowTo, seriousFaults, settled } from "./sliders.mjs";

/** @type {import("./harness.mjs").Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
const DRIVE = "/boats/sea-campion/drive";

before(async () => {
  ({ program, browser } = await startWithDemo());
});
after(async () => {
  await browser?.close();
  await program?.stop();
});

/** @param {import("playwright-core").Page} page */
const sentence = (page) => page.locator("[data-finding]").innerText();
/** @param {import("playwright-core").Page} page */
const bankVolts = (page) => page.locator("[data-live=rest] tr", { hasText: "bank volts under load" }).locator("td").first().innerText();

test("pitch moves sentence, chart and numbers together, and nothing is kept", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(DRIVE));
  const before = { sentence: await sentence(page), chart: await page.locator("#torque").innerHTML(), volts: await bankVolts(page) };
  assert.match(before.sentence, /At full throttle Sea Campion makes [56]\.\d kn at [\d,]+ rpm; the controller's limit on phase current stops her/);
  assert.equal(await page.locator(".sentence .binds").innerText(), "the controller's limit on phase current");
  const slider = page.getByRole("slider", { name: "pitch" });
  await slider.scrollIntoViewIfNeeded();
  const box = await slider.boundingBox();
  assert.ok(box);
  await page.mouse.move(box.x + box.width * 0.3, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width * 0.62, box.y + box.height / 2, { steps: 8 });
  await page.mouse.up();
  await settled(page);
  assert.notEqual(await sentence(page), before.sentence);
  assert.notEqual(await page.locator("#torque").innerHTML(), before.chart);
  assert.notEqual(await bankVolts(page), before.volts);
  await arrowTo(page, "pitch", "13 in");
  await settled(page);
  assert.match(await page.locator(".tried").innerText(), /Tried, not kept: pitch 13 in instead of 15 in/);
  assert.match(await page.locator(".gain").innerText(), /That is (\d\.\d kn (more|less) than as kept|the same as kept)\./);
  assert.ok(await page.locator(".slider.is-changed .kept").first().isVisible(), "the kept value stands on the track");
  const saved = await page.request.get(program.url((await page.locator("figure .save").first().getAttribute("href")) ?? ""));
  assert.match(saved.headers()["content-disposition"] ?? "", /sea-campion-drive-torque\.svg/);
  assert.match(await saved.text(), /^<svg.*as kept: 22 × 15 in/s);
  assert.match(page.url(), /set=propeller\.pitch/);
  assert.match(await page.locator("#torque").textContent() ?? "", /as kept: 22 × 15 in/);
  assert.ok(await slider.evaluate((it) => it === document.activeElement), "the focus stays on the slider");
  assert.equal(await page.locator("[data-announce]").innerText(), await sentence(page), "what was found is announced");
  const download = page.waitForEvent("download");
  await page.locator("figure [data-save=png]").first().click();
  assert.equal((await download).suggestedFilename(), "sea-campion-drive-torque.png");
  await page.screenshot({ path: screenshotPath("drive-tried-1280-light"), fullPage: true });
  await page.reload();
  assert.match(await page.locator(".tried").innerText(), /pitch 13 in/, "the address holds what is tried");
  await page.getByRole("link", { name: "Back to what is kept" }).click();
  await settled(page);
  assert.equal(await sentence(page), before.sentence);
  assert.equal(await page.locator(".tried").count(), 0);
  await page.goto(program.url("/boats/sea-campion/boat"));
  assert.equal(await page.locator("#propeller-pitch").inputValue(), "15 in");
  assert.deepEqual(faults, []);
  await context.close();
});

test("more pitch turns the shaft slower; shorter gears and a clean bottom make her faster", async () => {
  const { page, context } = await device(browser);
  const figures = async (/** @type {string} */ sets) => {
    await page.goto(program.url(`${DRIVE}?${sets}`));
    const found = /makes ([\d.]+) kn(?: at ([\d,]+) rpm)?/.exec(await sentence(page));
    return { speed: Number(found?.[1]), shaft: Number(found?.[2]?.replace(",", "")) };
  };
  const kept = await figures("");
  const coarse = await figures("set=propeller.pitch%3D18%20in");
  const geared = await figures("set=reduction.ratio%3D3%3A1");
  const clean = await figures("set=hull.bottom%3Dclean");
  assert.ok(coarse.shaft < kept.shaft && coarse.speed < kept.speed, JSON.stringify({ kept, coarse }));
  assert.ok(geared.shaft > kept.shaft && geared.speed > kept.speed, JSON.stringify({ kept, geared }));
  assert.ok(clean.speed > kept.speed, JSON.stringify({ kept, clean }));
  await context.close();
});

test("a propeller larger than its aperture keeps the last good result on view and says so", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(DRIVE));
  const before = await sentence(page);
  await arrowTo(page, "diameter", "28 in");
  // Sizes on the way there are impossible too and may be shown for a moment.
  await page.locator(".impossible", { hasText: "diameter 28 in" }).waitFor();
  const said = await page.locator(".impossible").innerText();
  assert.match(said, /This cannot be: diameter 28 in/);
  assert.match(said, /does not turn in an aperture/);
  assert.match(said, /last result that can be/);
  assert.match(await sentence(page), /^This cannot be: diameter 28 in/, "not the old answer as a headline");
  assert.equal(await page.locator("#torque").count(), 1);
  await page.screenshot({ path: screenshotPath("drive-impossible-1280-light"), fullPage: true });
  await arrowTo(page, "diameter", "22 in");
  await settled(page);
  assert.equal(await page.locator(".impossible").count(), 0);
  assert.equal(await sentence(page), before);
  await page.goto(program.url(`${DRIVE}?set=propeller.diameter%3D28%20in`));
  assert.match(await page.locator(".impossible").innerText(), /does not turn in an aperture/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("the throttle is shown on the chart and in the numbers", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url(DRIVE));
  await arrowTo(page, "throttle", "60 %");
  await settled(page);
  assert.match(await page.locator("[data-live=further]").innerText(), /At 60 % throttle she makes [\d.]+ kn/);
  assert.match(await page.locator("#torque").textContent() ?? "", /throttle 60 %/);
  assert.match(await page.locator("tr.looked-at").innerText(), /60 %/);
  assert.equal(await page.locator(".tried").count(), 0, "the throttle is no change to her");
  await context.close();
});

test("a bank above 60 V brings its caution, where it is chosen", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url(`${DRIVE}?set=controller.undervoltage%3D42%20V&set=pack.cells_in_series%3D16`));
  assert.equal(await page.locator(".under .caution", { hasText: "Above 60 V" }).count(), 0);
  await arrowTo(page, "bank", "77 V, 24 cells");
  await settled(page);
  assert.match(await page.locator(".under .caution", { hasText: "Above 60 V" }).innerText(), /licensed practice/);
  await context.close();
});

test("values are read off the chart by keys and by pointer", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(DRIVE));
  const chart = page.locator("#torque");
  await chart.focus();
  await page.keyboard.press("ArrowRight");
  const readout = page.locator("figure", { has: chart }).locator("[data-readout-text]");
  const first = await readout.innerText();
  assert.match(first, /^At [\d,]+ rpm: .*N m/);
  for (let i = 0; i < 6; i += 1) await page.keyboard.press("ArrowRight");
  assert.notEqual(await readout.innerText(), first);
  assert.equal(await page.locator("#torque .cursor line").count(), 1);
  await page.keyboard.press("Escape");
  assert.equal(await readout.innerText(), "");
  const box = await chart.boundingBox();
  assert.ok(box);
  await page.mouse.move(box.x + box.width * 0.4, box.y + box.height * 0.6);
  assert.match(await readout.innerText(), /rpm/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("a figure opens to its origin with the keyboard", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(DRIVE));
  await page.locator("[data-origin=resistance] > summary").focus();
  await page.keyboard.press("Enter");
  const basis = page.locator("[data-origin=resistance] .basis");
  await basis.locator("dt", { hasText: "Formula" }).waitFor();
  const said = await basis.innerText();
  for (const word of [/ITTC-1957/, /Keuning/, /measured/, /Holds for/]) assert.match(said, word);
  await page.screenshot({ path: screenshotPath("drive-origin-1280-light"), fullPage: true });
  await page.goto(program.url("/boats/sea-campion/explain/thrust"));
  assert.match(await page.locator("main").innerText(), /B-series/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("without a script the choices are lists and a button", async () => {
  const { page, context } = await device(browser, { javaScriptEnabled: false });
  await page.goto(program.url(DRIVE));
  await page.getByLabel("pitch").selectOption("13 in");
  await page.getByRole("button", { name: "Show" }).click();
  assert.match(await page.locator(".tried").innerText(), /pitch 13 in/);
  await context.close();
});

test("kept as an alternative, she stays as she is", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(`${DRIVE}?set=propeller.pitch%3D14%20in&set=pack.cells_in_series%3D28`));
  await page.getByRole("button", { name: "Keep as an alternative" }).click();
  await page.waitForURL((url) => url.pathname === DRIVE && url.searchParams.get("kept") === "14 in pitch, 28 cells in series");
  assert.match(await page.locator(".notice").first().innerText(), /“14 in pitch, 28 cells in series” is kept as an alternative; she herself stays as she is/);
  assert.match(await page.locator("#torque").textContent() ?? "", /22 × 15 in/);
  await page.goto(program.url("/boats/sea-campion/text"));
  const text = await page.locator("textarea").first().inputValue();
  assert.match(text, /\[\[alternative\]\]\nname = "14 in pitch, 28 cells in series"/);
  assert.match(text, /"propeller\.pitch" = "14 in", "pack\[1\]\.voltage" = "89\.6 V", "pack\[1\]\.cells_in_series" = 28/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("a gale that she cannot hold against keeps the last good result on view and says so", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(`${DRIVE}?set=sea.head_wind%3D50%20kn`));
  assert.match(await page.locator(".impossible").innerText(), /does not hold her ground against/);
  assert.match(await sentence(page), /^This cannot be: wind from ahead 50 kn/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("kept beside her, then as her new revision", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(`${DRIVE}?set=propeller.pitch%3D13%20in`));
  await page.getByRole("button", { name: "Keep beside her" }).click();
  await page.waitForURL(/13-in-pitch\/drive/);
  assert.match(await page.locator(".masthead").innerText(), /Sea Campion, 13 in pitch/);
  assert.match(await page.locator("#torque").textContent() ?? "", /22 × 13 in/);
  await page.goto(program.url(`${DRIVE}?set=propeller.pitch%3D14%20in`));
  await page.getByRole("button", { name: "Keep as her new revision" }).click();
  await page.waitForURL((url) => url.pathname === DRIVE && url.searchParams.has("revision"));
  assert.match(await page.locator(".notice").first().innerText(), /Kept as revision \d+: pitch 14 in instead of 15 in\./);
  assert.match(await page.locator("#torque").textContent() ?? "", /22 × 14 in/);
  await page.getByRole("button", { name: "Undo" }).click();
  await page.getByText("Brought back as a new revision").waitFor();
  await page.goto(program.url(DRIVE));
  assert.match(await page.locator("#torque").textContent() ?? "", /22 × 15 in/);
  await page.goto(program.url("/boats/sea-campion/history"));
  assert.match(await page.locator("main").innerText(), /pitch 14 in instead of 15 in/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("on a phone the chart is laid out anew and the slider last used is at the thumb", async () => {
  const { page, context, faults } = await device(browser, { viewport: { width: 360, height: 740 }, hasTouch: true });
  await page.goto(program.url(DRIVE));
  await settled(page);
  const { width, smallest } = await page.locator("#torque").evaluate((svg) => ({
    width: Number(svg.getAttribute("width")),
    smallest: Math.min(...[...svg.querySelectorAll("text")].map((text) => Number(text.getAttribute("font-size")))),
  }));
  assert.ok(width <= 360 && width >= 320, `chart of ${width} px`);
  assert.ok(smallest >= 12, `text of ${smallest} px`);
  await arrowTo(page, "diameter", "21 in");
  assert.equal(await page.locator(".slider.is-pinned").count(), 0, "in sight, it stays in its place");
  await page.evaluate(() => scrollTo(0, 0));
  await page.locator(".slider.is-pinned").waitFor();
  const pinned = page.locator(".slider.is-pinned");
  assert.match(await pinned.innerText(), /diameter/);
  const box = await pinned.boundingBox();
  assert.ok(box && Math.abs(box.y + box.height - 740) < 2, "it stands at the lower edge");
  await settled(page);
  await page.screenshot({ path: screenshotPath("drive-thumb-360-light") });
  assert.deepEqual(faults, []);
  await context.close();
});

test("night and paper", async () => {
  for (const width of [360, 1280]) {
    const { page, context } = await device(browser, { viewport: { width, height: 900 } });
    await page.goto(program.url(DRIVE));
    await page.getByRole("button", { name: "night" }).click();
    await settled(page);
    assert.equal(await page.locator("html").getAttribute("data-theme"), "night");
    await page.screenshot({ path: screenshotPath(`drive-${width}-night`), fullPage: true });
    assert.deepEqual(await seriousFaults(page), []);
    await page.emulateMedia({ media: "print" });
    assert.equal(await page.locator(".sliders").isVisible(), false);
    assert.equal(await page.locator("#torque").isVisible(), true);
    if (width > 1000) await page.pdf({ path: screenshotPath("drive-paper").replace(".png", ".pdf"), format: "A4" });
    await page.screenshot({ path: screenshotPath(`drive-${width}-paper`), fullPage: true });
    await context.close();
  }
});
