// @ts-check
// The pages that ask by fields to type in: tide, dry-out, the way home. What is typed is asked while it is typed, and stays.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { ROOT, device, kept, screenshotPath, startWithDemo } from "./harness.mjs";

/** @type {import("./harness.mjs").Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
const BOAT = "/boats/sea-campion";
const WATERS = readFileSync(join(ROOT, "examples", "renn_sound_waters.txt"), "utf8");

before(async () => {
  ({ program, browser } = await startWithDemo());
});
after(async () => {
  await browser?.close();
  await program?.stop();
});

/**
 * Waits until the finding says so.
 * @param {import("playwright-core").Page} page
 * @param {RegExp} words
 */
async function says(page, words) {
  await page.locator("[data-finding]").filter({ hasText: words }).waitFor();
}

/**
 * @param {import("playwright-core").Page} page
 * @param {string} name
 */
async function fits(page, name) {
  const width = page.viewportSize()?.width ?? 0;
  assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), width, name);
  await page.screenshot({ path: screenshotPath(`${name}-${width}`), fullPage: true });
}

for (const [width, height] of [[1280, 900], [360, 740]]) {
  test(`a place, a dry-out and a way home at ${width} px`, async () => {
    const { page, context, faults } = await device(browser, { viewport: { width: width ?? 0, height: height ?? 0 } });
    await page.goto(program.url(`${BOAT}/tide`));
    await says(page, /No station of the built-in set lies within 20 nm/);
    await page.getByLabel("Place: station or position").fill("Boston");
    await page.getByLabel("First day").fill("2026-10-02");
    await says(page, /high water at 03:50 with 2\.83 m/);
    assert.match(await page.locator("[data-live=further]").innerText(), /^Not for navigation/);
    await fits(page, "tide");

    await page.goto(program.url(`${BOAT}/dryout`));
    await page.getByLabel("Ground above datum").fill("2.20 m ± 0.10 m");
    await page.getByLabel("Place: station or position").fill("Renn Sound");
    await page.getByText("More to say").click();
    await page.getByLabel("Waters from the official table").fill(WATERS);
    await page.getByLabel("Time of the table").fill("UTC");
    await says(page, /low water .* gives .* dry by daylight/);
    assert.match(await page.locator("[data-live=cautions]").innerText(), /somebody aboard and at the lines/);
    await fits(page, "dryout");

    await page.goto(program.url(`${BOAT}/gethome`));
    await says(page, /Give the miles home/);
    await page.getByLabel("Miles home").fill("9");
    await page.getByLabel("Stream", { exact: true }).fill("2 kn against until 00:30");
    await page.getByLabel("In the bank").fill("61 %");
    await page.getByLabel("Now").fill("22:00");
    await says(page, /(leave now|wait until|is home)/);
    await page.getByLabel("In the bank").fill("52.4 V");
    await says(page, /52\.4 V.*iron-phosphate/);
    assert.equal(await page.getByLabel("In the bank").inputValue(), "52.4 V");
    await fits(page, "gethome");
    await page.getByLabel("In the bank").fill("61 %");
    await says(page, /(leave now|wait until|is home)/);
    // Opened anew, none stands over four screens of a phone, the caution in full.
    for (const room of width === 360 ? ["tide", "dryout", "gethome"] : []) {
      await page.evaluate(() => { for (const name of Object.keys(localStorage)) if (/caution|fold/.test(name)) localStorage.removeItem(name); sessionStorage.clear(); });
      await page.goto(program.url(`${BOAT}/${room}`));
      await page.locator(".workbench:not([aria-busy]) .chart svg").first().waitFor();
      const tall = await page.evaluate(() => document.documentElement.scrollHeight);
      assert.ok(tall <= 4 * 740, `${room}: ${tall} px`);
    }
    assert.deepEqual(faults, []);
    await context.close();
  });
}

test("what was typed comes back when the page is opened anew", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url(`${BOAT}/gethome`));
  await page.getByLabel("Miles home").fill("4");
  await says(page, /she is home/);
  await page.goto(program.url(`${BOAT}/gethome`));
  await page.getByText("As typed here before.").waitFor();
  assert.equal(await page.getByLabel("Miles home").inputValue(), "4");
  await says(page, /she is home/);
  await context.close();
});

/** What each of the three pages is asked, by the labels of its fields. */
const ROUTE = "from Renn pier\n6 nm to the Narrows\n5 nm to Port Aldis";
const THREE = [
  ["dryout", [["Draught today", "1.72 m"], ["Place: station or position", "Renn pier"], ["First day", "2026-09-20"]], /low water .* gives .* dry by daylight/],
  ["gethome", [["Miles home", "9"], ["Stream", "2 kn against until 00:30"], ["In the bank", "61 %"], ["Now", "22:00"]], /(leave now|wait until|is home)/],
  ["passage", [["Route: points, legs or GPX", ROUTE], ["She leaves at", "09:00"], ["To arrive", "by 13:00"]], /she is at Port Aldis by 1[123]:/],
];

for (const [width, height] of [[1280, 900], [360, 740]]) {
  test(`by keyboard, in night colours and on paper at ${width} px`, async () => {
    const { page, context, faults } = await device(browser, { viewport: { width: width ?? 0, height: height ?? 0 } });
    await page.goto(program.url("/"));
    await page.getByRole("button", { name: "night" }).click();
    for (const [name, fields, words] of /** @type {[string, string[][], RegExp][]} */ (THREE)) {
      await page.goto(program.url(`${BOAT}/${name}`));
      assert.equal(await page.locator("html").getAttribute("data-theme"), "night");
      for (const [label, text] of /** @type {[string, string][]} */ (fields)) {
        const field = page.getByLabel(label, { exact: true });
        await field.focus();
        await page.keyboard.press("Control+A");
        await page.keyboard.insertText(text);
        // From one field to the next by the key alone.
        await page.keyboard.press("Tab");
        assert.notEqual(await field.evaluate((own) => document.activeElement === own), true, label);
      }
      await says(page, words);
      await fits(page, `${name}-night`);
      // Red all over: no blue or green light stands out, in words, lines or fields.
      const bright = await page.evaluate(() => [...document.querySelectorAll("main *")].filter((part) => {
        const own = getComputedStyle(part);
        return [own.color, own.backgroundColor].some((colour) => {
          const [red, green, blue, alpha] = (/rgba?\((.+)\)/.exec(colour)?.[1] ?? "0,0,0,0").split(",").map(Number);
          return (alpha ?? 1) > 0 && Math.max(green ?? 0, blue ?? 0) > 0.8 * Math.max(red ?? 0, 40);
        });
      }).map((part) => part.outerHTML.slice(0, 90)));
      assert.deepEqual(bright.slice(0, 5), [], name);
      await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
      await page.emulateMedia({ media: "print" });
      // Dark words on the paper's own white, whatever colours the screen has.
      const [ground, ink] = await page.evaluate(() => [getComputedStyle(document.body).backgroundColor, getComputedStyle(document.body).color]);
      assert.match(ground ?? "", /rgba\(0, 0, 0, 0\)|rgb\(255, 255, 255\)/, name);
      assert.ok((ink?.match(/\d+/g) ?? []).slice(0, 3).every((part) => Number(part) < 90), `${name}: ${ink} on paper`);
      const paper = await page.locator("main").innerText();
      assert.match(paper, /Not for navigation|official tables/, `${name}: cautions on paper`);
      if (name === "dryout") {
        for (const part of ["How she stands", "To take along", "Latest hour to give up", "allowed by the harbour office", "Every tide on which"]) {
          assert.ok(paper.includes(part), `${part} on the plan sheet`);
        }
        assert.ok(await page.locator("main svg").first().isVisible(), "the tide's curve on the plan sheet");
      }
      await page.screenshot({ path: screenshotPath(`${name}-print-${width}`), fullPage: true });
      await page.emulateMedia({ media: null });
      await page.evaluate(() => dispatchEvent(new Event("afterprint")));
    }
    assert.deepEqual(faults, []);
    await context.close();
  });
}

test("two tabs on one place lose nothing, nor does a kill in mid-typing", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url(`${BOAT}/dryout`));
  await page.getByRole("link", { name: /[Pp]laces/ }).or(page.getByRole("button", { name: "Begin a place" })).first().click();
  if (!/kept\/dryout\/\d+/.test(page.url())) await page.getByRole("button", { name: "Begin a place" }).click();
  await page.waitForURL(/kept\/dryout\/\d+/);
  const here = page.url();
  const other = await context.newPage();
  await other.goto(here);
  await page.locator("#name").fill("Creek quay");
  await kept(page);
  await other.locator("#said-ground").fill("1.20 m ± 0.20 m");
  await other.locator("#note").fill("soft towards the steps");
  // Who comes second is told, and neither loses what was typed.
  await other.waitForTimeout(1500);
  const told = await other.locator("main").innerText();
  const texts = [told, await other.locator("#note").inputValue(), await other.locator("#name").inputValue()].join(" ");
  assert.match(texts, /soft towards the steps/);
  await page.reload();
  const after = [await page.locator("#name").inputValue(), await page.locator("#note").inputValue()].join(" ");
  assert.match(after, /Creek quay/, after);
  await page.locator("#said-allowed").pressSequentially("the warden of the creek", { delay: 20 });
  await page.waitForTimeout(900);
  await program.kill();
  await page.locator("#said-bottom").selectOption("hard").catch(() => undefined);
  await program.start();
  const anew = await context.newPage();
  await anew.goto(here);
  assert.equal(await anew.locator("#said-allowed").inputValue(), "the warden of the creek");
  assert.equal(await anew.locator("#name").inputValue(), "Creek quay");
  await context.close();
});

test("killed while a way home is typed, what was typed is there", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url(`${BOAT}/gethome`));
  await page.getByLabel("Miles home").fill("7");
  await says(page, /home/);
  await page.getByLabel("Stream", { exact: true }).pressSequentially("1 kn with", { delay: 30 });
  await page.waitForTimeout(900);
  await program.kill();
  await program.start();
  const anew = await context.newPage();
  await anew.goto(program.url(`${BOAT}/gethome`));
  assert.equal(await anew.getByLabel("Miles home").inputValue(), "7");
  assert.equal(await anew.getByLabel("Stream", { exact: true }).inputValue(), "1 kn with");
  await context.close();
});
