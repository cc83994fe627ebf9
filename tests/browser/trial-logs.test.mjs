// @ts-check
// Logs of a trial on its page: brought in as files, their columns given, their questions answered, their
// runs set on the strip and by keys; kept through a kill.

import assert from "node:assert/strict";
import { gzipSync } from "node:zlib";
import { after, before, test } from "node:test";
import { device, kept, screenshotPath, startWithDemo } from "./harness.mjs";
import { seriousFaults } from "./sliders.mjs";

/** @type {import("./harness.mjs").Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
const TRIALS = "/boats/sea-campion/trials";

before(async () => {
  ({ program, browser } = await startWithDemo());
});
after(async () => {
  await browser?.close();
  await program?.stop();
});

/** An invented afternoon: four runs, two each way at two settings, in a stream of half a knot. */
const LEGS = [
  { rpm: 350, over: 4.1, course: 90 }, { rpm: 350, over: 3.1, course: 270 },
  { rpm: 450, over: 5.1, course: 90 }, { rpm: 450, over: 4.1, course: 270 },
];

/**
 * The afternoon as a table: a run of 200 s each, with a minute of turning between.
 * @param {string} head
 * @param {(time: string, leg: typeof LEGS[number], isTurning: boolean, second: number) => (string | number)[]} row
 */
function table(head, row) {
  const rows = [head];
  let second = 0;
  for (const leg of LEGS) {
    for (const [length, isTurning] of /** @type {[number, boolean][]} */ ([[60, true], [200, false]])) {
      for (let i = 0; i < length; i += 1, second += 1) {
        const time = new Date(Date.UTC(2026, 4, 2, 14, 0, second)).toISOString().slice(0, 19);
        rows.push(row(time, leg, isTurning, second).join(","));
      }
    }
  }
  return rows.join("\n") + "\n";
}

const wobble = (/** @type {number} */ second) => 0.02 * Math.sin(second / 3);
const amps = (/** @type {number} */ rpm) => 26 * (rpm / 350) ** 3;
const AFTERNOON = table("time,SOG (kn),COG (deg),shaft speed (rpm),voltage (V),current (A)", (time, leg, turning, second) => [
  time.replace("T", " "),
  ((turning ? 1.5 : leg.over) + wobble(second)).toFixed(2),
  turning ? (second * 7) % 360 : leg.course,
  turning ? 150 : leg.rpm,
  (78.2 + wobble(second)).toFixed(2),
  (amps(turning ? 150 : leg.rpm) + 10 * wobble(second)).toFixed(1),
]);

/**
 * @param {import("playwright-core").Page} page
 * @param {{ name: string, buffer: Buffer }[]} files
 */
async function bringIn(page, files) {
  await page.locator("#log-files").setInputFiles(files.map((file) => ({ mimeType: "text/plain", ...file })));
  await page.locator("form.bring-in button").click();
}

/** @param {import("playwright-core").Page} page */
async function settled(page) {
  await page.locator("#title").focus();
  await kept(page);
  await page.waitForFunction(() => !document.querySelector("form[data-trial]")?.hasAttribute("aria-busy"));
  await page.waitForTimeout(700);
  await page.waitForFunction(() => !document.querySelector("form[data-trial]")?.hasAttribute("aria-busy"));
}

test("a log becomes a trial with runs, pairs and points on the band", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(TRIALS));
  assert.match(await page.locator(".sentence").innerText(), /No trial of Sea Campion yet/);
  await bringIn(page, [{ name: "afternoon.csv", buffer: Buffer.from(AFTERNOON) }]);
  await page.waitForURL(/trials\/1/);
  assert.match(await page.locator("[data-finding]").innerText(), /Sea Campion makes 4\.6 kn (\(four times in five [^)]*\) )?at 450 rpm, .*(what she should do|as she should) at those revolutions/);
  assert.equal(await page.locator(".mark-row").count(), 5, "four runs and one line for another");
  assert.match(await page.locator("[data-live=results]").innerText(), /1\+2[\s\S]*3\.60[\s\S]*0\.50/);
  assert.equal(await page.locator("#band-speed").count(), 1);
  assert.equal(await page.locator("#band-power").count(), 1);
  assert.deepEqual(await seriousFaults(page), []);
  await page.screenshot({ path: screenshotPath("trial-logs-1280-light"), fullPage: true });
  assert.deepEqual(faults, []);
  await context.close();
});

test("the columns are given once, and are known the next time", async () => {
  const { page, context, faults } = await device(browser);
  const odd = table("t,v,k,n,U,I", (time, leg, turning, second) => [
    time.replace("T", " "), ((turning ? 1.5 : leg.over) + wobble(second)).toFixed(2), turning ? (second * 7) % 360 : leg.course,
    turning ? 150 : leg.rpm, (78.2 + wobble(second)).toFixed(2), amps(turning ? 150 : leg.rpm).toFixed(1),
  ]);
  await page.goto(program.url(TRIALS));
  await bringIn(page, [{ name: "odd.csv", buffer: Buffer.from(odd) }]);
  await page.waitForURL(/trials\/2/);
  assert.match(await page.locator("#map-0 h4").innerText(), /as they are taken until said otherwise/);
  const choose = async (/** @type {string} */ column, /** @type {string} */ measured, /** @type {string} */ unit) => {
    await page.getByLabel(`${column} measures`, { exact: true }).selectOption(measured);
    await page.getByLabel(`${column}, unit`, { exact: true }).fill(unit);
  };
  await choose("v", "speed-over-ground", "kn");
  await choose("k", "course-over-ground", "deg");
  await choose("n", "shaft-speed", "parrots");
  await page.getByLabel("I, unit").focus();
  await page.locator("#map-0-note .fault").waitFor();
  assert.match(await page.locator("#map-0-note").innerText(), /parrots is no unit of speed of the shaft; one of rpm/i);
  await choose("n", "shaft-speed", "rpm");
  await choose("U", "voltage", "V");
  await choose("I", "current", "A");
  await page.getByRole("button", { name: "Yes, take them so" }).click();
  await page.waitForURL(/done=answered/, { timeout: 8000 }).catch(async () => assert.fail(await page.locator("main").innerText()));
  assert.equal(await page.locator(".mark-row").count(), 5);
  await page.goto(program.url(TRIALS));
  await bringIn(page, [{ name: "odd-again.csv.gz", buffer: gzipSync(odd.replaceAll("78.2", "78.3")) }]);
  await page.waitForURL(/trials\/\d+/);
  assert.match(await page.locator("#map-0 h4").innerText(), /as they were given/);
  assert.equal(await page.locator(".mark-row").count(), 5);
  assert.deepEqual(faults, []);
  await context.close();
});

test("a question is answered by a button, and the answer is remembered for the source", async () => {
  const { page, context } = await device(browser);
  const turned = AFTERNOON.replaceAll(/,([\d.]+)$/gm, ",-$1").replace("current (A)", "shunt current (A)");
  await page.goto(program.url(TRIALS));
  await bringIn(page, [{ name: "turned.csv", buffer: Buffer.from(turned) }]);
  await page.waitForURL(/trials\/\d+/);
  assert.match(await page.locator(".questions").innerText(), /The amps are negative while most flows/);
  const sign = page.getByRole("button", { name: /she was driven|written negative|turn its sign/ });
  await page.getByRole("button", { name: /she was driven/ }).click();
  await page.waitForURL(/done=answered/);
  assert.equal(await sign.count(), 0);
  await page.goto(program.url(TRIALS));
  await bringIn(page, [{ name: "turned-2.csv", buffer: Buffer.from(turned.replaceAll("78.2", "78.1")) }]);
  await page.waitForURL(/trials\/\d+/);
  assert.equal(await sign.count(), 0, "it was answered before");
  await context.close();
});

test("a clock without a zone is asked about, and said once", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url(TRIALS));
  await bringIn(page, [{ name: "zone.csv", buffer: Buffer.from(AFTERNOON.replace("SOG (kn)", "GPS speed (kn)")) }]);
  await page.waitForURL(/trials\/\d+/);
  assert.match(await page.locator(".questions").innerText(), /carry no zone/);
  await page.getByRole("button", { name: "The clock is UTC" }).click();
  await page.waitForURL(/done=answered/);
  assert.doesNotMatch(await page.locator("main").innerText(), /carry no zone/);
  assert.match(await page.locator("#map-0 h4").innerText(), /as they were given/);
  await context.close();
});

test("at 360 px each question stands with its choices and what each would give, and is answered there", async () => {
  const { page, context, faults } = await device(browser, { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true });
  const phone = AFTERNOON.replaceAll(/,([\d.]+)$/gm, ",-$1").replace("current (A)", "meter current (A)").replace("SOG (kn)", "speed");
  await page.goto(program.url(TRIALS));
  await bringIn(page, [{ name: "phone.csv", buffer: Buffer.from(phone) }]);
  await page.waitForURL(/trials\/\d+/);
  const questions = page.locator(".questions");
  const asked = await questions.innerText();
  assert.match(asked, /In which unit is "speed"/);
  assert.match(asked, /then she made [\d.]+ kn/, "what each choice would give stands beside it");
  assert.match(asked, /The amps are negative while most flows/);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= 360), "scrolls sideways");
  for (const button of await questions.locator(".choices button").all()) {
    const box = await button.boundingBox();
    assert.ok(box && box.x >= 0 && box.x + box.width <= 360 && box.height >= 24, JSON.stringify(box));
  }
  assert.deepEqual(await seriousFaults(page), []);
  await page.screenshot({ path: screenshotPath("trial-questions-360-light"), fullPage: true });
  await questions.getByRole("button", { name: /^kn\b/ }).click();
  await page.waitForURL(/done=answered/);
  assert.doesNotMatch(await questions.innerText(), /In which unit/);
  await questions.getByRole("button", { name: /she was driven/ }).click();
  await page.waitForURL(/done=answered/);
  assert.equal(await page.locator(".choices").count(), 0, "nothing is left to choose");
  await page.goto(program.url(TRIALS));
  await bringIn(page, [{ name: "phone-2.csv", buffer: Buffer.from(phone.replaceAll("78.2", "78.1")) }]);
  await page.waitForURL(/trials\/\d+/);
  assert.equal(await page.locator(".choices").count(), 0, "both were answered before");
  assert.deepEqual(faults, []);
  await context.close();
});

test("clocks in two zones are offered the shift that lays them over each other", async () => {
  const { page, context } = await device(browser);
  const half = (/** @type {number[]} */ columns) => AFTERNOON.trim().split("\n").map((line) => columns.map((at) => line.split(",")[at]).join(",")).join("\n") + "\n";
  const ahead = half([0, 3, 4, 5]).replaceAll(/2026-05-02 (\d\d)/g, (_, hour) => `2026-05-02 ${Number(hour) + 2}`);
  await page.goto(program.url(TRIALS));
  await bringIn(page, [
    { name: "track.csv", buffer: Buffer.from(half([0, 1, 2]).replace("time", "time (UTC)")) },
    { name: "meter.csv", buffer: Buffer.from(ahead.replace("time", "time (UTC)")) },
  ]);
  await page.waitForURL(/trials\/\d+/);
  assert.match(await page.getByRole("region", { name: "Questions about the logs" }).innerText(), /lie 2 h apart: a zone\?/);
  await page.getByRole("button", { name: /Yes: add -2 h to its clock/ }).click();
  await page.waitForURL(/done=answered/);
  assert.doesNotMatch(await page.locator("main").innerText(), /a zone\?/);
  assert.equal(await page.locator(".mark-row").count(), 5);
  await context.close();
});

test("runs are added, trimmed and dropped by keys", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(`${TRIALS}/1`));
  await page.getByLabel("run 1, to", { exact: true }).fill("2026-05-02 14:03:30");
  await settled(page);
  assert.match(await page.locator("[data-live=marks]").innerText(), /Set by hand/);
  await page.getByLabel("run 4, drop", { exact: true }).check();
  await settled(page);
  assert.match(await page.locator("[data-live=marks]").innerText(), /dropped/);
  assert.equal(await page.locator("[data-live=results] table").first().locator("tbody tr").count(), 3);
  await page.getByLabel("new, from", { exact: true }).fill("14:16:00");
  await page.getByLabel("new, to", { exact: true }).fill("nonsense");
  await settled(page);
  assert.match(await page.locator("#marks-4-note").innerText(), /nonsense.*is no time; write it like 2026-05-02/i);
  await page.locator("#marks-4-to").fill("14:17:20");
  await settled(page);
  assert.equal(await page.locator("[data-live=results] table").first().locator("tbody tr").count(), 4);
  await page.reload();
  assert.equal(await page.locator("#marks-0-to").inputValue(), "2026-05-02 14:03:30");
  assert.equal(await page.locator("#marks-4-to").inputValue(), "14:17:20");
  assert.deepEqual(faults, []);
  await context.close();
});

test("runs are trimmed and added by pointer", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(TRIALS));
  await bringIn(page, [{ name: "drag.csv", buffer: Buffer.from(AFTERNOON.replaceAll("78.2", "78.6")) }]);
  await page.waitForURL(/trials\/\d+/);
  const look = () => page.locator("#strip-0").evaluate((svg) => {
    svg.scrollIntoView({ block: "center" });
    const { left, right, from, to } = JSON.parse(svg.getAttribute("data-strip") ?? "{}");
    const box = svg.getBoundingClientRect();
    const scale = box.width / /** @type {SVGSVGElement} */ (svg).viewBox.baseVal.width;
    return { left: box.left + left * scale, perSecond: ((right - left) * scale) / (to - from), y: box.top + box.height / 2 };
  });
  let place = await look();
  const x = (/** @type {number} */ second) => place.left + second * place.perSecond;
  const text = (/** @type {string} */ id) => page.locator(id).inputValue();
  const seconds = (/** @type {string} */ time) => (Date.parse(`${time.replace(" ", "T")}Z`) - Date.UTC(2026, 4, 2, 14)) / 1000;
  const end = seconds(await text("#marks-0-to"));
  await page.mouse.move(x(end), place.y);
  await page.mouse.down();
  await page.mouse.move(x(end - 60), place.y, { steps: 5 });
  await page.mouse.up();
  await settled(page);
  assert.ok(Math.abs(seconds(await text("#marks-0-to")) - (end - 60)) < 5, await text("#marks-0-to"));
  place = await look();
  await page.mouse.move(x(end + 5), place.y);
  await page.mouse.down();
  await page.mouse.move(x(end + 45), place.y, { steps: 5 });
  assert.match(await page.locator("[data-strip-text]").innerText(), /A new run from .* to /);
  await page.mouse.up();
  await settled(page);
  assert.equal(await page.locator(".mark-row").count(), 6, "one more");
  assert.ok(Math.abs(seconds(await text("#marks-4-from")) - (end + 5)) < 5);
  assert.deepEqual(faults, []);
  await context.close();
});

test("what is no log is refused by name, and the rest is kept", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url(TRIALS));
  await bringIn(page, [
    { name: "picture.png", buffer: Buffer.from([0x89, 0x50, 0x4e, 0x47, 0, 1, 2, 3, 0, 0, 0]) },
    { name: "good.csv", buffer: Buffer.from(AFTERNOON.replaceAll("78.2", "78.4")) },
  ]);
  await page.getByRole("heading", { name: /One log was kept/ }).waitFor();
  assert.match(await page.locator("main").innerText(), /Picture\.png: /i);
  await context.close();
});

test("a kill while logs come in leaves the store whole", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url(TRIALS));
  const before = await page.locator(".trials > li").count();
  const large = AFTERNOON + AFTERNOON.split("\n").slice(1).join("\n").repeat(60);
  const sending = page.evaluate(async ({ to, text }) => {
    const form = new FormData();
    form.append("file", new File([text], "large.csv"));
    await fetch(to, { method: "POST", body: form }).catch(() => undefined);
  }, { to: "/bring-in/sea-campion", text: large });
  await page.waitForTimeout(60);
  await program.kill();
  await sending;
  await program.start();
  await page.goto(program.url(TRIALS));
  const after = await page.locator(".trials > li").count();
  assert.ok(after === before || after === before + 1, `${before} then ${after}`);
  await page.goto(program.url(`${TRIALS}/1`));
  assert.equal(await page.locator("#marks-0-to").inputValue(), "2026-05-02 14:03:30");
  await context.close();
});

test("at 360 px nothing is wider than the page, in the dark too", async () => {
  for (const colorScheme of /** @type {const} */ (["light", "dark"])) {
    const { page, context, faults } = await device(browser, { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true, colorScheme });
    await page.goto(program.url(`${TRIALS}/1`));
    await page.reload();
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= 360), "scrolls sideways");
    assert.deepEqual(await seriousFaults(page), []);
    await page.screenshot({ path: screenshotPath(`trial-logs-360-${colorScheme}`), fullPage: true });
    assert.deepEqual(faults, []);
    await context.close();
  }
});
