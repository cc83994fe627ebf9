// @ts-check
// The survey sheet while it is typed: every change is kept as a draft, and what the server read of it
// stands beside the field. Nothing is judged here.

import { walkOn } from "./folds.js";
import { Typing, put } from "./typing.js";

/** Rest after which a verdict is asked for, ms. */
const REST_MS = 600;

/**
 * @typedef {{ note: string, invalid: boolean, mark: string }} FieldAnswer
 * @typedef {{ text: string, status: string, sentence: string, findings: string, picture?: string | null,
 *   fields: Record<string, FieldAnswer>, summaries: Record<string, [string, string]> }} DraftAnswer
 */

/** Follows the sheet, if there is one on the page. */
export function followSheet() {
  const form = document.querySelector("form#survey:not([data-trial])");
  if (!(form instanceof HTMLFormElement)) return;
  const sheet = new Sheet(form);
  sheet.follow();
  sheet.askVerdict(0);
  form.addEventListener("keydown", nextByEnter);
}

/**
 * Enter goes to the next field, behind the last to the next part; it never sends half a boat.
 * @param {KeyboardEvent} event
 */
function nextByEnter(event) {
  const from = event.target;
  if (event.key !== "Enter" || !(from instanceof HTMLInputElement || from instanceof HTMLSelectElement)) return;
  if (from.closest(".marks")) return;
  const part = from.closest("details.part");
  if (!part) return;
  event.preventDefault();
  const fields = [...part.querySelectorAll(".field > input, .field > select, .field > textarea")]
    .filter((field) => field instanceof HTMLElement && field.checkVisibility());
  const next = fields[fields.indexOf(from) + 1];
  const way = part.querySelector("[data-next]");
  if (next instanceof HTMLElement) next.focus();
  else if (way instanceof HTMLElement) walkOn(way);
}

class Sheet extends Typing {
  /** The question for a verdict that is under way. */
  asking = new AbortController();
  resting = 0;

  /**
   * @override
   * @param {string} name
   */
  isTyped(name) {
    return name !== "note";
  }

  /**
   * Who and where, the whole text, what changed.
   * @override
   * @param {Set<string>} names
   * @param {Map<string, string>} sent
   */
  letter(names, sent) {
    const letter = new URLSearchParams();
    for (const name of ["view", "draft", "base", "from", "from_time", "text"]) {
      const control = this.control(name);
      if (control) letter.append(name, control.value);
    }
    for (const name of names) {
      sent.set(name, this.control(name)?.value ?? "");
      const address = name.replace(/^[mf]:/, "");
      if (address === name) continue;
      const value = this.control(`f:${address}`);
      const mark = this.control(`m:${address}`);
      if (value) letter.set(`f:${address}`, value.value);
      if (mark) letter.set(`m:${address}`, mark.value);
    }
    return letter;
  }

  /**
   * Shows what the server read. What is being typed is never touched.
   * @override
   * @param {unknown} got
   * @param {Map<string, string>} sent
   */
  answered(got, sent) {
    const answer = /** @type {DraftAnswer} */ (got);
    const text = this.control("text");
    if (text && !sent.has("text")) text.value = answer.text;
    for (const [id, field] of Object.entries(answer.fields)) {
      put(`${id}-note`, field.note);
      const control = document.getElementById(id);
      if (!control) continue;
      if (field.invalid) control.setAttribute("aria-invalid", "true");
      else control.removeAttribute("aria-invalid");
      this.mark(control, field.mark);
    }
    for (const [name, [count, chief]] of Object.entries(answer.summaries)) {
      for (const [place, words] of [["count", count], ["chief", chief]]) {
        const shown = document.querySelector(`#part-${name} > summary > .${place}`);
        if (shown && shown.textContent !== words) shown.textContent = words ?? "";
      }
    }
    put("sentence", answer.sentence);
    put("findings", answer.findings);
    if (answer.picture) put("picture", answer.picture);
    else sayLastGood();
    this.say(answer.status);
    this.rememberDraft();
    this.askVerdict(REST_MS);
  }

  /**
   * Asks for the verdict once the hand rests; what stands there meanwhile is faint.
   * @param {number} rest
   */
  askVerdict(rest) {
    const place = document.getElementById("verdict");
    if (!place) return;
    place.setAttribute("aria-busy", "true");
    this.asking.abort();
    clearTimeout(this.resting);
    this.resting = window.setTimeout(async () => {
      this.asking = new AbortController();
      const { signal } = this.asking;
      const query = new URLSearchParams({ draft: this.control("draft")?.value ?? "" });
      try {
        const response = await fetch(`${place.dataset.from}?${query}`, { signal, headers: { accept: "text/html" } });
        const text = response.ok ? await response.text() : "";
        if (signal.aborted) return;
        place.innerHTML = text;
        place.removeAttribute("aria-busy");
      } catch {
        // No verdict stands there rather than an old one.
        if (!signal.aborted) place.replaceChildren();
      }
    }, rest);
  }

  /**
   * @param {Element} control
   * @param {string} word
   */
  mark(control, word) {
    const marks = control.closest(".field")?.querySelector(".marks");
    if (!marks) return;
    const from = marks.querySelector("select");
    if (from && !this.changed.has(from.name) && [...from.options].some((one) => one.value === word)) from.value = word;
    const shown = marks.querySelector(".stand-in");
    const wanted = word === "estimated" || word === "usual" ? word : "";
    if ((shown?.textContent ?? "") === wanted) return;
    shown?.remove();
    if (wanted) marks.append(Object.assign(document.createElement("span"), { className: `mark stand-in ${word}`, textContent: word }));
  }

  /** Loading the page again, even after the browser was closed, finds this page's own draft. */
  rememberDraft() {
    const draft = this.control("draft")?.value;
    const address = new URL(location.href);
    if (!draft || address.searchParams.get("draft") === draft) return;
    address.search = "";
    address.searchParams.set("draft", draft);
    history.replaceState(history.state, "", address);
    for (const link of document.querySelectorAll("a[data-way]")) {
      if (link instanceof HTMLAnchorElement) link.search = address.search;
    }
    for (const name of ["from", "from_time"]) this.control(name)?.remove();
  }
}

/** A drawing that no longer follows the numbers says so. */
function sayLastGood() {
  const place = document.getElementById("picture");
  if (!place?.querySelector("figure") || place.querySelector(".notice")) return;
  const words = "The last good drawing: one of the numbers typed since cannot be read.";
  place.prepend(Object.assign(document.createElement("p"), { className: "notice", textContent: words }));
}
