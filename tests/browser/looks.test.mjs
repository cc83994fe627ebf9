// @ts-check
// Every page as it looks and as it is reached: colours, a phone, the keyboard alone, paper, and what
// axe-core finds. Writes screenshots of each page for people to look at.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { after, before, test } from "node:test";
import { Program, device, openBrowser, screenshotPath } from "./harness.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** @type {Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
/** Pages by the name of their screenshot. @type {Record<string, string>} */
const PAGES = {
  boats: "/",
  new: "/new",
  boat: "/boats/sea-campion/boat",
  text: "/boats/sea-campion/text",
  revisions: "/boats/sea-campion/history",
  compare: "/boats/sea-campion/compare?old=1&new=2",
  aside: "/boats/sea-campion/aside/1",
  fleet: "/fleet",
  nowhere: "/boats/see-campion/boat",
};

before(async () => {
  program = await new Program().start();
  browser = await openBrowser();
  // A boat with two revisions, a draft with a fault, and a text kept aside.
  const { page, context } = await device(browser);
  await page.goto(program.url("/"));
  await page.getByRole("button", { name: "invented boat" }).click();
  await page.goto(program.url(PAGES.boat));
  const other = await context.newPage();
  await other.goto(program.url(PAGES.boat));
  for (const [tab, pitch] of /** @type {const} */ ([[page, "13 in"], [other, "17 in"]])) {
    await tab.locator("#propeller-pitch").fill(pitch);
    await tab.getByRole("button", { name: "Keep as revision" }).click();
    await tab.waitForURL(/done|aside/);
  }
  // Every other page that her navigation leads to.
  const paths = await page.locator(".pages a").evaluateAll((links) => links.map((link) => /** @type {HTMLAnchorElement} */ (link).pathname));
  for (const path of paths.filter((path) => path.startsWith("/boats/"))) PAGES[path.split("/").pop() ?? ""] ??= path;
  await context.close();
});
after(async () => {
  await browser?.close();
  await program?.stop();
});

for (const { width, height } of [{ width: 360, height: 740 }, { width: 1280, height: 900 }]) {
  for (const colorScheme of /** @type {const} */ (["light", "dark"])) {
    test(`every page at ${width} px, ${colorScheme}`, async () => {
      const { page, context, faults } = await device(browser, { viewport: { width, height }, colorScheme, hasTouch: width < 500, reducedMotion: "reduce" });
      await page.goto(program.url("/"));
      for (const [name, path] of Object.entries(PAGES)) {
        await page.goto(program.url(path));
        if (name === "boat") {
          if (!(await page.locator("#hull-draught").isVisible())) await page.locator("#part-hull > summary").click();
          await page.locator("#hull-draught").fill("wet");
          await page.locator("#hull-draught-note .fault").waitFor();
        }
        assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${name} is wider than the window`);
        await page.screenshot({ path: screenshotPath(`${name}-${width}-${colorScheme}`), fullPage: true });
        assert.deepEqual(await grave(page), [], name);
        if (width < 500) assert.deepEqual(await smallTargets(page), [], name);
        // With every fold open, and by night.
        await page.evaluate(() => {
          for (const fold of document.querySelectorAll("details")) fold.open = true;
          document.documentElement.dataset.theme = "night";
        });
        assert.deepEqual(await grave(page), [], `${name}, all open, by night`);
        assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${name}, all open, is wider than the window`);
        if (width < 500) assert.deepEqual(await smallTargets(page), [], name);
      }
      assert.deepEqual(faults, []);
      await context.close();
    });
  }
}

/**
 * Serious and moderate faults that axe-core finds on the page.
 * @param {import("playwright-core").Page} page
 */
async function grave(page) {
  await page.evaluate(axe);
  return page.evaluate(async () => {
    // @ts-expect-error axe is put into the page by the line before
    const found = await window.axe.run(document, { resultTypes: ["violations"] });
    return found.violations
      .filter((/** @type {{impact: string}} */ v) => v.impact !== "minor")
      .map((/** @type {{id: string, nodes: {html: string}[]}} */ v) => `${v.id}: ${v.nodes.map((n) => n.html).slice(0, 3).join(" | ")}`);
  });
}

/**
 * Things to press that are too small for a cold thumb: below 44 px high, links in running text apart.
 * @param {import("playwright-core").Page} page
 */
function smallTargets(page) {
  return page.evaluate(() => {
    const all = [...document.querySelectorAll("button, input:not([type=hidden]), select, textarea, summary, .button, .pages a, label.tick")];
    return all
      .filter((thing) => !thing.closest("label.tick") || thing.matches("label.tick"))
      // What stands in a line of text has the line's height.
      .filter((thing) => getComputedStyle(thing).display !== "inline")
      .map((thing) => ({ thing, box: thing.getBoundingClientRect() }))
      .filter(({ thing, box }) => box.width > 1 && box.height < 43.5 && thing.checkVisibility() && !thing.matches("input[type=radio], .visually-hidden"))
      .map(({ thing, box }) => `${thing.outerHTML.slice(0, 80)} ${Math.round(box.height)} px`);
  });
}

test("in every state that a page can be in: tried, impossible, remedy taken, an origin open, menu open, other units, folded report", async () => {
  const { page, context } = await device(browser, { viewport: { width: 360, height: 740 }, hasTouch: true, reducedMotion: "reduce" });
  await page.goto(program.url("/"));
  const boat = "/boats/sea-campion";
  /** @type {[string, string][]} */
  const states = [
    [`${boat}/drive?set=propeller.pitch%3D11+in`, ""], [`${boat}/drive?set=propeller.pitch%3D26+in&set=propeller.diameter%3D9+in`, ""],
    [`${boat}/drive?set=propeller.diameter%3Dwet`, ""], [`${boat}/drive`, ".menu > summary"], [`${boat}/drive`, ".way-out a"],
    [`${boat}/wiring`, ".said .origin > summary"], [`${boat}/controls`, "details.caution > summary"], [`${boat}/report?for=fitter`, "#wiring summary"],
    [`${boat}/compare?old=1&new=1`, ""], [`${boat}/options`, "details[data-fold=figures] > summary"], [`${boat}/explain/speed`, ""],
    [`${boat}/tide?place=nowhere`, ""], [`${boat}/nothing`, ""], ["/new", "form button.main"],
  ];
  for (const units of ["trade", "US"]) {
    if (units === "US") await Promise.all([page.waitForEvent("framenavigated"), page.getByRole("button", { name: "US", exact: true }).tap()]);
    for (const [path, press] of states) {
      await page.goto(program.url(path));
      if (press) await page.locator(press).first().tap();
      await page.waitForLoadState("networkidle");
      await page.waitForTimeout(300);
      assert.deepEqual(await grave(page), [], `${path} ${press} ${units}`);
      assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${path} ${press} ${units} is wider than the window`);
    }
    await page.goto(program.url("/"));
  }
  await page.goto(program.url(`${boat}/drive`));
  assert.match(await page.locator("[data-slider='sea.head_wind'], [data-slider='propeller.pitch']").first().locator("output").innerText(), /in$/);
  await Promise.all([page.waitForEvent("framenavigated"), page.getByRole("button", { name: "metric", exact: true }).tap()]);
  assert.match(await page.locator("[data-slider='propeller.pitch'] output").innerText(), /^\d+ mm$/, "sliders follow the units");
  await context.close();
});

test("the night mode is kept and is red all over", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url(PAGES.boat));
  await page.getByRole("button", { name: "night" }).click();
  assert.equal(await page.locator("html").getAttribute("data-theme"), "night");
  await page.goto(program.url(PAGES.boat));
  assert.equal(await page.locator("html").getAttribute("data-theme"), "night", "kept for the next page");
  const ground = await page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
  assert.equal(ground, "rgb(11, 4, 3)");
  await page.screenshot({ path: screenshotPath("boat-night"), fullPage: true });
  await context.close();
});

test("with the keyboard alone", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url(PAGES.boat));
  await page.keyboard.press("Tab");
  assert.equal(await page.evaluate(() => document.activeElement?.textContent), "To the content");
  await page.keyboard.press("Enter");
  const reached = new Set();
  for (let i = 0; i < 900; i += 1) {
    await page.keyboard.press("Tab");
    const id = await page.evaluate(() => document.activeElement?.id || document.activeElement?.textContent?.trim() || "");
    if (id === "keep-note") break;
    reached.add(id);
  }
  for (const id of ["hull-draught", "propeller-pitch", "As text", "Revisions"]) assert.ok(reached.has(id), `${id} is reached`);
  await page.keyboard.type("by keyboard");
  await page.keyboard.press("Tab");
  assert.equal(await page.evaluate(() => document.activeElement?.textContent), "Keep as revision");
  await page.keyboard.press("Enter");
  await page.waitForURL(/done=unchanged/);
  await context.close();
});

test("on paper there are no buttons, and every part is open", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url(PAGES.boat));
  await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
  await page.emulateMedia({ media: "print" });
  assert.equal(await page.getByRole("button", { name: "Keep as revision" }).isVisible(), false);
  assert.equal(await page.locator("details.part:not([open])").count(), 0);
  await page.screenshot({ path: screenshotPath("boat-print"), fullPage: true });
  await context.close();
});

test("the forms work without a script", async () => {
  const { page, context } = await device(browser, { javaScriptEnabled: false });
  await page.goto(program.url(PAGES.boat));
  await page.locator("#propeller-pitch").fill("twelve");
  await page.getByRole("button", { name: "Check and keep as draft" }).click();
  assert.equal(await page.locator("#propeller-pitch").inputValue(), "twelve");
  assert.match(await page.locator("#propeller-pitch-note").innerText(), /does not begin with a number/);
  await page.getByRole("button", { name: "dark", exact: true }).click();
  assert.equal(await page.locator("html").getAttribute("data-theme"), "dark");
  await context.close();
});

test("the first page is light", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url("/"), { waitUntil: "networkidle" });
  const bytes = await page.evaluate(() => {
    const entries = [...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")];
    return entries.reduce((sum, entry) => sum + /** @type {PerformanceResourceTiming} */ (entry).transferSize, 0);
  });
  assert.ok(bytes < 200_000, `${bytes} bytes`);
  console.log(`# first page: ${bytes} bytes in all`);
  await context.close();
});
