// @ts-check
// From the start of the program to the first byte of the first page.

import assert from "node:assert/strict";
import { get } from "node:http";
import { test } from "node:test";
import { Program } from "./harness.mjs";

test("the first byte comes within 150 ms", async () => {
  const times = [];
  const program = new Program();
  for (let i = 0; i < 5; i += 1) {
    const start = performance.now();
    await program.start();
    await new Promise((resolve, reject) => get(program.url("/"), (response) => response.once("data", resolve)).on("error", reject));
    times.push(performance.now() - start);
    await program.kill();
  }
  await program.stop();
  const worst = Math.max(...times);
  console.log(`# first byte after ${times.map((time) => time.toFixed(0)).join(", ")} ms`);
  assert.ok(worst < 150, `${worst} ms`);
});
