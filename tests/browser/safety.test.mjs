// @ts-check
// The pages Wiring and Controls: verdict first, diagram and charts at both widths, everything moves together, kept and undone,
// readable by night and on paper.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { device, screenshotPath, startWithDemo } from "./harness.mjs";
import { arrowTo, seriousFaults, settled } from "./sliders.mjs";

/** @type {import("./harness.mjs").Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
const BOAT = "/boats/sea-campion";
const ROOMS = ["wiring", "controls"];
const WIDTHS = [{ width: 1280, height: 900 }, { width: 360, height: 740 }];

before(async () => {
  ({ program, browser } = await startWithDemo());
});
after(async () => {
  await browser?.close();
  await program?.stop();
});

/** @param {import("playwright-core").Page} page */
const sentence = (page) => page.locator("[data-finding]").innerText();

/**
 * Presses a key of scrolling until the page is there: what is folded gets its height while it scrolls, and a busy machine
 * drops a key that comes meanwhile.
 * @param {import("playwright-core").Page} page
 * @param {string} key
 * @param {() => boolean} isThere
 */
async function pressedUntil(page, key, isThere) {
  for (let press = 0; press < 20; press += 1) {
    await page.locator("body").press(key);
    const there = await page.waitForFunction(isThere, undefined, { timeout: 1500 }).then(() => true, () => false);
    if (there) return;
  }
  assert.fail(`${key} does not bring the page there`);
}

for (const viewport of WIDTHS) {
  const { width, height } = viewport;
  const isNarrow = width < 500;
  test(`verdict first, nothing sideways, no serious fault, by day and by night, at ${width} px`, async () => {
    const { page, context, faults } = await device(browser, { viewport, hasTouch: isNarrow });
    for (const room of ROOMS) {
      const at = program.url(`${BOAT}/${room}`);
      await page.goto(at);
      await page.goto(at); // The device has told its width by now, and has read the cautions once.
      assert.match(await sentence(page), /\d+ of \d+ (events and )?rules pass, \d+ fails?, \d+ cannot be told/, room);
      const seen = await page.evaluate(() => ({
        verdict: document.querySelector("[data-finding]")?.getBoundingClientRect().bottom ?? 9999,
        height: document.documentElement.scrollHeight,
        width: document.documentElement.scrollWidth,
      }));
      assert.ok(seen.verdict < height, `${room}: verdict ends at ${seen.verdict}`);
      assert.equal(seen.width, width, room);
      if (isNarrow) assert.ok(seen.height <= 4 * height, `${room}: ${seen.height} px`);
      assert.deepEqual(await seriousFaults(page), [], room);
      await page.screenshot({ path: screenshotPath(`${room}-${width}`), fullPage: true });
      await page.getByRole("button", { name: "night" }).click();
      assert.deepEqual(await seriousFaults(page), [], `${room} by night`);
      await page.screenshot({ path: screenshotPath(`${room}-${width}-night`), fullPage: true });
      await page.getByRole("button", { name: "device" }).click();
    }
    assert.deepEqual(faults, []);
    await context.close();
  });

  test(`the diagram reads at ${width} px: every word inside it, none on another, under thumb and keys`, async () => {
    const { page, context, faults } = await device(browser, { viewport, hasTouch: isNarrow });
    await page.goto(program.url(`${BOAT}/wiring`));
    await page.goto(program.url(`${BOAT}/wiring`));
    const found = await page.locator("#wiring").evaluate((svg) => {
      const frame = svg.getBoundingClientRect();
      const boxes = [...svg.querySelectorAll("text")].map((text) => ({ text: text.textContent ?? "", box: text.getBoundingClientRect() }));
      const out = boxes.filter(({ box }) => box.left < frame.left - 0.5 || box.right > frame.right + 0.5 || box.bottom > frame.bottom + 0.5);
      const over = boxes.flatMap((a, i) => boxes.slice(i + 1).filter((b) =>
        a.box.left < b.box.right - 1 && b.box.left < a.box.right - 1 && a.box.top < b.box.bottom - 3 && b.box.top < a.box.bottom - 3,
      ).map((b) => `${a.text} | ${b.text}`));
      return { words: boxes.length, height: Math.min(...boxes.map(({ box }) => box.height)), out: out.map((one) => one.text), over };
    });
    assert.ok(found.words > 10 && found.height > 9, JSON.stringify(found));
    assert.deepEqual([found.out, found.over], [[], []]);
    // It is as wide as the page, so that it moves with it: by key and by wheel or thumb.
    await pressedUntil(page, "End", () => scrollY + innerHeight > document.documentElement.scrollHeight - 200);
    await pressedUntil(page, "Home", () => scrollY === 0);
    const top = await page.locator("#wiring").evaluate((svg) => svg.getBoundingClientRect().top);
    await page.mouse.move(width / 2, height / 2);
    await page.mouse.wheel(0, 300);
    await page.waitForFunction((before) => (document.querySelector("#wiring")?.getBoundingClientRect().top ?? before) < before - 100, top);
    assert.deepEqual(faults, []);
    await context.close();
  });
}

test("a smaller size moves sentence, list and diagram together", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(`${BOAT}/wiring`));
  const [said, drawn] = [await sentence(page), await page.locator("#wiring").textContent()];
  await arrowTo(page, "size of the first run", "25 mm2");
  await settled(page);
  await page.waitForFunction((before) => document.querySelector("[data-finding]")?.textContent !== before, said);
  assert.notEqual(await sentence(page), said);
  assert.notEqual(await page.locator("#wiring").textContent(), drawn);
  assert.match((await page.locator("#wiring").textContent()) ?? "", /main cable: 25 mm2/);
  assert.match(await page.locator("details[data-fold=cables]").innerText(), /main cable\s+2\.40\s+25 mm2/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("a longer wait moves sentence, charts and figures; a stop that takes the torque first ends the finding", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(`${BOAT}/controls`));
  assert.match(await sentence(page), /the stop opens under the full current/);
  const [told, drawn] = [await page.locator("[data-live=further]").innerText(), await page.locator("#reversing").innerHTML()];
  await arrowTo(page, "wait on reversing", "3 s");
  await settled(page);
  await page.waitForFunction((before) => document.querySelector("[data-live=further]")?.textContent !== before, told);
  assert.notEqual(await page.locator("[data-live=further]").innerText(), told);
  assert.notEqual(await page.locator("#reversing").innerHTML(), drawn);
  await arrowTo(page, "what the stop does first", "torque first");
  await settled(page);
  await page.locator("[data-finding]").filter({ hasText: "the levers take over as they stand" }).waitFor();
  assert.deepEqual(faults, []);
  await context.close();
});

test("what is tried is kept as a revision and undone", async () => {
  const { page, context, faults } = await device(browser);
  for (const [room, set, words] of [
    ["wiring", "cable[1].size=95 mm2", /Kept as revision \d+: .*95 mm2 instead of 70 mm2/],
    ["controls", "controls.reversing_wait=2 s", /Kept as revision \d+: .*2 s instead of 0 s/],
  ]) {
    await page.goto(program.url(`${BOAT}/${room}?set=${encodeURIComponent(String(set))}`));
    await page.getByRole("button", { name: "Keep as her new revision" }).click();
    await page.waitForURL((url) => url.searchParams.has("revision"));
    assert.match(await page.locator(".notice").first().innerText(), /** @type {RegExp} */ (words));
    await page.getByRole("button", { name: "Undo" }).click();
    await page.getByText("Brought back as a new revision").waitFor();
  }
  assert.deepEqual(faults, []);
  await context.close();
});

test("diagram and charts stand whole on one sheet of A4 each, folds open", async () => {
  const { page, context } = await device(browser, { viewport: { width: 794, height: 1123 } });
  for (const room of ROOMS) {
    await page.goto(program.url(`${BOAT}/${room}`));
    await page.emulateMedia({ media: "print" });
    const figures = await page.locator("figure").evaluateAll((all) => all.map((one) => ({
      height: one.getBoundingClientRect().height,
      inside: getComputedStyle(one).breakInside,
    })));
    assert.ok(figures.length > 0, room);
    for (const one of figures) {
      // 297 mm less two margins of 15 mm, at 96 px to the inch.
      assert.ok(one.height < 1009 && /avoid/.test(one.inside), `${room}: ${JSON.stringify(one)}`);
    }
    assert.equal(await page.locator("details[data-fold=rules] table").isVisible(), true);
    await page.pdf({ path: screenshotPath(`${room}-paper`).replace(".png", ".pdf"), format: "A4" });
    await page.emulateMedia({ media: "screen" });
  }
  await context.close();
});
