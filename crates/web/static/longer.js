// @ts-check
// What takes long on a page: begun once the page is at rest, followed, stopped, and put in its place. Without a script a
// button begins it, and the page comes anew.

import { exchange } from "./live.js";
import { untilEnded } from "./search.js";

/** What is being looked for on this page. @type {AbortController | null} */
let running = null;

/** Leaves what is being looked for: something else is asked now. */
export function leave() {
  running?.abort();
  running = null;
}

/**
 * Looks for what the page says could be looked for too, and exchanges the parts once it is there.
 * @param {string} from address of the parts
 * @param {number} width for which they are laid out, px
 */
export async function lookFurther(from, width) {
  leave();
  const form = document.querySelector("form[data-longer]");
  if (!(form instanceof HTMLFormElement) || form.hasAttribute("data-stopped")) return;
  const mine = new AbortController();
  running = mine;
  const asked = new URLSearchParams();
  for (const [name, value] of new FormData(form)) asked.append(name, String(value));
  const job = form.dataset.job ?? (await begun(form.action, asked));
  if (!job) return;
  const place = form.querySelector(".running");
  const [ask, stop] = form.querySelectorAll("button");
  if (place instanceof HTMLElement) place.hidden = false;
  if (ask) ask.hidden = true;
  const leaveIt = () => {
    void fetch(stop?.formAction ?? "", { method: "POST", body: new URLSearchParams({ job }), redirect: "manual" }).catch(() => {});
  };
  stop?.addEventListener("click", (event) => { event.preventDefault(); leaveIt(); });
  mine.signal.addEventListener("abort", leaveIt);
  if (mine.signal.aborted) { leaveIt(); return; }
  await untilEnded(`${form.dataset.longer}?job=${job}`, form.querySelector("#longer-words span"), form.querySelector("progress"), mine.signal);
  try {
    asked.append("width", String(width));
    asked.append("job", job);
    const answer = await fetch(`${from}?${asked}`, { headers: { accept: "text/html" }, signal: mine.signal });
    const text = await answer.text();
    if (answer.ok && !mine.signal.aborted) exchange(text);
  } catch { /* Left, or the program is gone: what stands here stays. */ }
  if (running === mine) running = null;
}

/**
 * The name of the work that was begun; none where it could not be.
 * @param {string} action
 * @param {URLSearchParams} body what is asked
 */
async function begun(action, body) {
  try {
    const response = await fetch(action, { method: "POST", body, headers: { accept: "application/json" } });
    return response.ok ? /** @type {{ job: string }} */ (await response.json()).job : undefined;
  } catch {
    return undefined;
  }
}
