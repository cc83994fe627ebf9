#!/usr/bin/env node
// @ts-check
// What a moved slider costs: from its input event to the repaint of what follows it, in a real browser,
// and what of it is the server's; what a whole page takes, and how many bytes it is with an empty cache; and from
// the start of the program to the first byte of its first page. What was answered before is answered from memory,
// so nothing is asked twice but where it says so. Build first: cargo build --release -p wakewright.
// Usage: node scripts/page-speed.mjs

import { readFileSync } from "node:fs";
import { get } from "node:http";
import { cpus, loadavg } from "node:os";
import { join } from "node:path";
import { Program, ROOT, device, openBrowser } from "../tests/browser/harness.mjs";

const example = (/** @type {string} */ name) => readFileSync(join(ROOT, "examples", name), "utf8");
const WATERS = { table: example("renn_sound_waters.txt"), zone: "UTC" };
const asked = (/** @type {Record<string, string>} */ replies) => `?${new URLSearchParams(replies)}`;
/** What is typed before a page of the water has an answer. @type {Record<string, string>} */
const TYPED = {
  tide: asked({ ...WATERS, day: "2026-09-20" }),
  dryout: asked({ ...WATERS, day: "2026-09-20", ground: "2.9 m ± 0.1 m", draught: "1.6 m" }),
  gethome: asked({ miles: "9", stream: "2 kn against until 00:30", charge: "61 %", now: "22:00" }),
  passage: asked({
    ...WATERS, route: example("renn_sound_to_port_aldis.gpx"), leave: "08:00", day: "2026-09-28",
    leg: "all: stream A", streams: example("renn_sound_streams.txt"), port: "Renn Sound",
  }),
};

const CHANGES = 60;

/** @param {number[]} times @param {number} share */
function quantile(times, share) {
  const sorted = [...times].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)] ?? NaN;
}

/** @param {string} what @param {number[]} times @param {number} target */
function report(what, times, target) {
  const p95 = quantile(times, 0.95);
  const verdict = p95 <= target ? "within" : "BEYOND";
  console.log(
    `${what.padEnd(44)} median ${quantile(times, 0.5).toFixed(1).padStart(6)} ms  p95 ${p95.toFixed(1).padStart(6)} ms  ${verdict} ${target} ms`,
  );
}

/**
 * Moves `slider` to and fro; gives the times of every repaint and of every answer, ms.
 * @param {import("playwright-core").Page} page @param {string} slider
 */
async function move(page, slider) {
  return page.evaluate(async ({ key, changes }) => {
    const range = document.querySelector(`[data-slider="${key}"] input[type=range]`);
    if (!(range instanceof HTMLInputElement)) throw new Error(`no slider ${key}`);
    const [low, high] = [Number(range.min), Number(range.max)];
    const places = Math.round((high - low) / (Number(range.step) || 1)) + 1;
    // Every place once, far from the one before, as long as there are any.
    let stride = Math.max(1, Math.round(places * 0.381966));
    const common = (/** @type {number} */ a, /** @type {number} */ b) => { while (b) [a, b] = [b, a % b]; return a; };
    while (common(stride, places) > 1) stride += 1;
    const repaints = [];
    for (let i = 1; i <= Math.min(changes, places - 1); i += 1) {
      const from = performance.now();
      const done = new Promise((resolve) => {
        document.addEventListener("exchanged", () => requestAnimationFrame(() => setTimeout(() => resolve(performance.now()))), { once: true });
      });
      range.value = String(low + ((i * stride) % places) * (Number(range.step) || 1));
      range.dispatchEvent(new Event("input", { bubbles: true }));
      repaints.push((await done) - from);
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
    const asked = performance.getEntriesByType("resource").filter((entry) => entry.name.includes("/live?") && entry.name.includes("quick"));
    const answers = asked.map((entry) => {
      const timing = /** @type {PerformanceResourceTiming} */ (entry);
      return timing.responseStart - timing.requestStart;
    });
    return { repaints, answers };
  }, { key: slider, changes: CHANGES });
}

/** From the start of the program to the first byte of its first page. */
async function firstBytes() {
  const times = [];
  const program = new Program();
  for (let i = 0; i < 12; i += 1) {
    const from = performance.now();
    await program.start();
    await new Promise((resolve, reject) => get(program.url("/"), (response) => response.once("data", resolve)).on("error", reject));
    times.push(performance.now() - from);
    await program.kill();
  }
  await program.stop();
  report("start of the program to the first byte", times, 150);
}

/** @param {string} when */
function load(when) {
  console.log(`load of the machine ${when}: ${loadavg().map((value) => value.toFixed(1)).join(", ")} on ${cpus().length} cores`);
}

/**
 * Whole answers to questions that were not asked before, by a width that nobody has, and to one asked again.
 * @param {import("playwright-core").Page} page @param {string} name
 */
async function whole(page, name) {
  const times = await page.evaluate(async (place) => {
    const took = async (/** @type {number} */ width) => {
      const from = performance.now();
      await (await fetch(`${place}${place.includes("?") ? "&" : "?"}width=${width}`)).text();
      return performance.now() - from;
    };
    const fresh = [];
    for (let i = 0; i < 12; i += 1) fresh.push(await took(700 + i / 16));
    const again = [];
    for (let i = 0; i < 12; i += 1) again.push(await took(700));
    return { fresh, again };
  }, `/boats/sea-campion/${name}${TYPED[name] ?? ""}`);
  report(`${name}: the whole page`, times.fresh, 150);
  report(`${name}: the same, asked again`, times.again, 20);
}

/**
 * What a page brings with an empty cache as it travels, scripts and fonts among it, heads of answers not.
 * @param {string} path @param {number} most kB
 */
async function bytesOf(path, most) {
  const { page, context } = await device(browser);
  let bytes = 0;
  page.on("requestfinished", (request) => { void request.sizes().then((sizes) => { bytes += sizes.responseBodySize; }, () => {}); });
  await page.goto(program.url(path), { waitUntil: "networkidle" });
  await page.waitForTimeout(200);
  console.log(`${`${path}: all of it`.padEnd(44)} ${(bytes / 1000).toFixed(0)} kB  ${bytes <= 1000 * most ? "within" : "BEYOND"} ${most} kB`);
  await context.close();
}

load("at first");
await firstBytes();
const program = await new Program().start();
const browser = await openBrowser();
try {
  for (const { width, height } of [{ width: 1280, height: 900 }, { width: 360, height: 740 }]) {
    const { page, context } = await device(browser, { viewport: { width, height } });
    await page.goto(program.url("/"));
    if (await page.getByRole("button", { name: "invented boat" }).count()) {
      await page.getByRole("button", { name: "invented boat" }).click();
    }
    const pages = /** @type {const} */ ([
      ["drive", "propeller.pitch"], ["range", "bank.state_of_charge"], ["sail", "week.sailing_speed"], ["energy", "week.motoring"],
      ["wiring", "cable[1].size"], ["gethome", "sea.head_wind"], ["passage", "sea.head_wind"],
    ]);
    for (const [name, slider] of pages) {
      await page.goto(program.url(`/boats/sea-campion/${name}${TYPED[name] ?? ""}`));
      await page.waitForTimeout(name === "passage" ? 4000 : 1000);
      const { repaints, answers } = await move(page, slider);
      report(`${name} at ${width} px: input to repaint`, repaints, 50);
      report(`${name} at ${width} px: the server's answer`, answers, 20);
    }
    await context.close();
  }
  const { page, context } = await device(browser);
  await page.goto(program.url("/"));
  for (const name of ["boat", "drive", "sail", "options", "range", "energy", "tide", "dryout", "gethome", "passage"]) await whole(page, name);
  await context.close();
  await bytesOf("/", 150);
  await bytesOf("/boats/sea-campion/drive", 150);
  await bytesOf("/boats/sea-campion/boat", 200);
  load("at last");
} finally {
  await browser.close();
  await program.stop();
}
