// @ts-check
// The survey sheet while it is typed: every change is kept as a draft within a fraction of a second,
// and what the server read of it stands beside the field. Nothing is judged here.

/** Longest time that a letter waits before it is sent, ms. */
const PATIENCE_MS = 350;
/** Time between attempts while the program does not answer, ms. */
const RETRY_MS = 1000;

/**
 * @typedef {{ note: string, invalid: boolean, mark: string }} FieldAnswer
 * @typedef {{ text: string, status: string, sentence: string, findings: string, picture?: string | null,
 *   fields: Record<string, FieldAnswer>, counts: Record<string, string> }} DraftAnswer
 * @typedef {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} Control
 */

/** Follows the sheet, if there is one on the page. */
export function followSheet() {
  const form = document.querySelector("form#survey");
  if (form instanceof HTMLFormElement) new Sheet(form).follow();
}

class Sheet {
  /** @param {HTMLFormElement} form */
  constructor(form) {
    this.form = form;
    /** Names of the fields that changed and are not yet acknowledged. @type {Set<string>} */
    this.changed = new Set();
    /** @type {number | undefined} */
    this.timer = undefined;
    this.isSending = false;
    this.isLeaving = false;
  }

  follow() {
    this.form.addEventListener("input", (event) => this.note(event.target));
    this.form.addEventListener("change", (event) => this.note(event.target));
    this.form.addEventListener("focusout", () => this.send());
    // The whole form goes with a button; nothing is pending then.
    this.form.addEventListener("submit", () => { this.isLeaving = true; clearTimeout(this.timer); });
    document.addEventListener("visibilitychange", () => { if (document.visibilityState === "hidden") this.send(true); });
    addEventListener("pagehide", () => this.send(true));
    // A page that comes back from the browser's memory goes on.
    addEventListener("pageshow", () => { this.isLeaving = false; });
  }

  /** @param {EventTarget | null} target */
  note(target) {
    if (!isControl(target) || !target.name || target.name === "note") return;
    this.changed.add(target.name);
    this.form.dataset.state = "typing";
    this.timer ??= window.setTimeout(() => this.send(), PATIENCE_MS);
  }

  /** @param {string} name */
  control(name) {
    const found = this.form.elements.namedItem(name);
    return isControl(found) ? found : undefined;
  }

  /** The form as far as it matters now: who and where, the whole text, what changed. */
  letter() {
    const letter = new URLSearchParams();
    for (const name of ["view", "draft", "base", "from", "from_time", "text"]) {
      const control = this.control(name);
      if (control) letter.append(name, control.value);
    }
    for (const name of this.changed) {
      const address = name.replace(/^[af]:/, "");
      if (address === name) continue;
      const value = this.control(`f:${address}`);
      const assumed = this.control(`a:${address}`);
      if (value) letter.set(`f:${address}`, value.value);
      if (assumed instanceof HTMLInputElement && assumed.checked) letter.set(`a:${address}`, "on");
    }
    return letter;
  }

  /** Sends what changed; `last` when the page may be gone before an answer. */
  async send(last = false) {
    clearTimeout(this.timer);
    this.timer = undefined;
    if (this.changed.size === 0 || this.isLeaving || (this.isSending && !last)) return;
    const sent = new Set(this.changed);
    const letter = this.letter();
    const isText = sent.has("text");
    this.changed.clear();
    this.isSending = true;
    try {
      const body = letter.toString();
      const response = await fetch(this.form.dataset.draft ?? "", {
        method: "POST",
        headers: { "Content-Type": "application/x-www-form-urlencoded" },
        body,
        // Browsers refuse larger bodies that are to outlive the page.
        keepalive: last && body.length < 60_000,
      });
      if (!response.ok) throw new Refusal(await response.text());
      this.show(await response.json(), isText);
    } catch (error) {
      for (const name of sent) this.changed.add(name);
      this.complain(error instanceof Refusal ? error.message : "The program does not answer.");
      this.timer = window.setTimeout(() => this.send(), RETRY_MS);
    } finally {
      this.isSending = false;
    }
    if (this.changed.size > 0) this.timer ??= window.setTimeout(() => this.send(), PATIENCE_MS);
  }

  /**
   * Shows what the server read. What is being typed is never touched.
   * @param {DraftAnswer} answer
   * @param {boolean} isText
   */
  show(answer, isText) {
    const text = this.control("text");
    if (text && !isText) text.value = answer.text;
    for (const [id, field] of Object.entries(answer.fields)) {
      put(`${id}-note`, field.note);
      const control = document.getElementById(id);
      if (!control) continue;
      if (field.invalid) control.setAttribute("aria-invalid", "true");
      else control.removeAttribute("aria-invalid");
      this.mark(control, field.mark);
    }
    for (const [name, words] of Object.entries(answer.counts)) {
      const count = document.querySelector(`#part-${name} > summary > .count`);
      if (count && count.textContent !== words) count.textContent = words;
    }
    put("sentence", answer.sentence);
    put("findings", answer.findings);
    if (answer.picture) put("picture", answer.picture);
    else sayLastGood();
    this.say(answer.status);
    if (this.changed.size === 0) this.form.dataset.state = "kept";
    this.rememberDraft();
  }

  /**
   * @param {Element} control
   * @param {string} word
   */
  mark(control, word) {
    const marks = control.closest(".field")?.querySelector(".marks");
    if (!marks) return;
    const tick = marks.querySelector("input");
    if (tick && !this.changed.has(tick.name)) tick.checked = word === "assumed";
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

  /** @param {string} words */
  say(words) {
    const status = document.getElementById("status");
    if (!status) return;
    status.classList.remove("fails");
    status.textContent = words;
  }

  /** @param {string} why */
  complain(why) {
    const status = document.getElementById("status");
    if (!status) return;
    status.classList.add("fails");
    status.textContent = `${why} What you typed is still here and is sent again every second; leave this page open.`;
  }
}

class Refusal extends Error {
  /** @param {string} page what the server said, a page or a line */
  constructor(page) {
    const sentence = new DOMParser().parseFromString(page, "text/html").querySelector(".sentence");
    super((sentence?.textContent ?? page).slice(0, 300));
  }
}

/** A drawing that no longer follows the numbers says so. */
function sayLastGood() {
  const place = document.getElementById("picture");
  if (!place?.querySelector("figure") || place.querySelector(".notice")) return;
  const words = "The last good drawing: one of the numbers typed since cannot be read.";
  place.prepend(Object.assign(document.createElement("p"), { className: "notice", textContent: words }));
}

/**
 * @param {unknown} thing
 * @returns {thing is Control}
 */
function isControl(thing) {
  return thing instanceof HTMLInputElement || thing instanceof HTMLSelectElement || thing instanceof HTMLTextAreaElement;
}

/**
 * Puts HTML that the server made and escaped into the element of that id, if it is another than before.
 * @param {string} id
 * @param {string} html
 */
function put(id, html) {
  const place = document.getElementById(id);
  if (!place) return;
  const made = document.createElement("template");
  made.innerHTML = html;
  if (made.innerHTML !== place.innerHTML) place.replaceChildren(made.content);
}
