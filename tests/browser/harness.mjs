// @ts-check
// Starts the real program on a free port with a data folder of its own, and a browser to look at it.
// Cleans up what it started, and nothing else.

import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, mkdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

export const ROOT = join(dirname(fileURLToPath(import.meta.url)), "..", "..");
const PROGRAM = process.env.WAKEWRIGHT_PROGRAM ?? join(ROOT, "target", "release", "wakewright");
const BROWSERS = [process.env.CHROMIUM, "/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];

/** A running program with its data; may be killed and started again on the same port. */
export class Program {
  /** @param {string[]} more arguments of `serve` */
  constructor(...more) {
    this.more = more;
    /** What it said at its start. */
    this.said = "";
    this.folder = mkdtempSync(join(tmpdir(), "wakewright-test-"));
    this.port = 0;
    /** @type {import("node:child_process").ChildProcess | undefined} */
    this.child = undefined;
  }

  /** Starts it and waits until it says where it is. */
  async start() {
    if (!existsSync(PROGRAM)) throw new Error(`${PROGRAM} is missing: cargo build --release -p wakewright`);
    const child = spawn(PROGRAM, ["serve", "--port", String(this.port), ...this.more], {
      env: { ...process.env, WAKEWRIGHT_DATA: this.folder },
      stdio: ["ignore", "pipe", "pipe"],
    });
    this.child = child;
    this.said = await new Promise((resolve, reject) => {
      let text = "";
      const take = (/** @type {Buffer} */ chunk) => {
        text += chunk;
        if (/http:\/\/127\.0\.0\.1:\d+\//.test(text) && (!this.more.includes("--share") || text.includes("tried wrong codes"))) resolve(text);
      };
      child.stdout?.on("data", take);
      child.stderr?.on("data", take);
      child.on("exit", (code) => reject(new Error(`the program ended with ${code}: ${text}`)));
    });
    this.port = Number(/127\.0\.0\.1:(\d+)/.exec(this.said)?.[1]);
    return this;
  }

  /** @param {string} path */
  url(path = "/") {
    return `http://127.0.0.1:${this.port}${path}`;
  }

  /** Ends it as a crash or a power cut would. */
  async kill() {
    const child = this.child;
    if (!child || child.exitCode !== null || child.signalCode !== null) return;
    const ended = new Promise((resolve) => child.once("exit", resolve));
    child.kill("SIGKILL");
    await ended;
  }

  async stop() {
    await this.kill();
    rmSync(this.folder, { recursive: true, force: true });
  }
}

/** The browser; its absence is a failure, not a reason to skip. */
export async function openBrowser() {
  const executablePath = BROWSERS.find((path) => path && existsSync(path));
  if (!executablePath) throw new Error("No Chromium found: install the package chromium, or set CHROMIUM to one.");
  return chromium.launch({
    executablePath,
    args: [
      "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
      "--disable-background-networking", "--disable-component-update", "--disable-sync",
    ],
  });
}

/**
 * A page of its own device. Anything asked of another host, and any script error, fails the test
 * that calls `check`.
 * @param {import("playwright-core").Browser} browser
 * @param {import("playwright-core").BrowserContextOptions} [options]
 */
export async function device(browser, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, ...options });
  /** @type {string[]} */
  const faults = [];
  context.on("request", (request) => {
    if (!/^(http:\/\/(127\.0\.0\.1|10\.231\.77\.1):|data:|blob:)/.test(request.url())) faults.push(`asked for ${request.url()}`);
  });
  context.on("weberror", (error) => faults.push(String(error.error())));
  context.on("console", (message) => {
    if (message.type() === "error" && !/Failed to load resource/.test(message.text())) faults.push(message.text());
  });
  return { context, faults, page: await context.newPage() };
}

/** The program with the invented boat in it, and a browser. */
export async function startWithDemo() {
  const program = await new Program().start();
  const browser = await openBrowser();
  const { page, context } = await device(browser);
  await page.goto(program.url("/"));
  await page.getByRole("button", { name: "invented boat" }).click();
  await page.waitForURL(/drive/);
  await context.close();
  return { program, browser };
}

/**
 * Waits until everything typed on the page is kept.
 * @param {import("playwright-core").Page} page
 */
export async function kept(page) {
  await page.locator("#survey[data-state=kept]").waitFor();
}

/** @param {string} name */
export function screenshotPath(name) {
  const folder = join(ROOT, "screenshots");
  mkdirSync(folder, { recursive: true });
  return join(folder, `${name}.png`);
}
