// @ts-check
// A form that is kept while it is typed: every change is sent within a fraction of a second, and again
// until it is taken. What is in a letter, and what is done with the answer, each form says for itself.

/** Longest time that a letter waits before it is sent, ms. */
const PATIENCE_MS = 350;
/** Time between attempts while the program does not answer, ms. */
const RETRY_MS = 1000;

/** This page among all that write, those of this device too. */
const PAGE = [...crypto.getRandomValues(new Uint8Array(8))].map((byte) => byte.toString(16).padStart(2, "0")).join("");

/** @typedef {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} Control */

export class Typing {
  /** @param {HTMLFormElement} form */
  constructor(form) {
    this.form = form;
    /** Names of the fields that changed and are not yet acknowledged. @type {Set<string>} */
    this.changed = new Set();
    /** @type {number | undefined} */
    this.timer = undefined;
    /** Letters that are on their way. */
    this.sending = 0;
    this.isLeaving = false;
    /** Letters are taken in the order of their turns, however they arrive. */
    this.turn = 0;
    /** Turn of the latest letter that was answered. */
    this.acknowledged = 0;
    /** What was sent and is not acknowledged: by turn, value by name. @type {Map<number, Map<string, string>>} */
    this.underWay = new Map();
  }

  follow() {
    this.form.addEventListener("input", (event) => this.note(event.target));
    this.form.addEventListener("change", (event) => this.note(event.target));
    this.form.addEventListener("focusout", () => this.send());
    // What is not acknowledged goes with the button, as the latest letter; nothing is pending then.
    this.form.addEventListener("submit", () => { this.isLeaving = true; clearTimeout(this.timer); });
    this.form.addEventListener("formdata", (event) => this.complete(event.formData));
    document.addEventListener("visibilitychange", () => { if (document.visibilityState === "hidden") this.send(true); });
    addEventListener("pagehide", () => this.send(true));
    // A page that comes back from the browser's memory goes on.
    addEventListener("pageshow", () => { this.isLeaving = false; });
  }

  /** @param {EventTarget | null} target */
  note(target) {
    if (!isControl(target) || !target.name || !this.isTyped(target.name)) return;
    this.changed.add(target.name);
    this.form.dataset.state = "typing";
    this.timer ??= window.setTimeout(() => this.send(), PATIENCE_MS);
  }

  /** Whether a field of this name is kept while it is typed. @param {string} name */
  isTyped(name) {
    return name !== "";
  }

  /** @param {string} name */
  control(name) {
    const found = this.form.elements.namedItem(name);
    return isControl(found) ? found : undefined;
  }

  /** Names of what the server may not have: what changed, and what no answer has come to. */
  unacknowledged() {
    return new Set([...this.changed, ...[...this.underWay.values()].flatMap((sent) => [...sent.keys()])]);
  }

  /**
   * A letter that says all of `names`.
   * @param {Set<string>} names
   * @param {Map<string, string>} sent filled with what it says, value by name
   * @returns {URLSearchParams}
   */
  letter(names, sent) {
    for (const name of names) sent.set(name, this.control(name)?.value ?? "");
    return new URLSearchParams([...sent]);
  }

  /**
   * Which letter of this page this is.
   * @param {URLSearchParams | FormData} letter
   * @param {Map<string, string>} sent
   */
  sign(letter, sent) {
    this.turn += 1;
    this.underWay.set(this.turn, sent);
    letter.set("page", PAGE);
    letter.set("turn", String(this.turn));
  }

  /**
   * Completes what a button sends.
   * @param {FormData} data
   */
  complete(data) {
    this.sign(data, new Map());
  }

  /**
   * What is done with the answer to what was sent; kept, if the form has nothing else to show.
   * @param {unknown} answer
   * @param {Map<string, string>} sent
   */
  answered(answer, sent) {
    if (answer !== null && sent.size > 0) this.say("Kept.");
  }

  /** Sends what changed; `last` when the page may be gone before an answer. */
  async send(last = false) {
    clearTimeout(this.timer);
    this.timer = undefined;
    if (this.changed.size === 0 || this.isLeaving || (this.sending > 0 && !last)) return;
    const names = this.unacknowledged();
    /** @type {Map<string, string>} */
    const sent = new Map();
    const letter = this.letter(names, sent);
    this.sign(letter, sent);
    const turn = this.turn;
    this.changed.clear();
    this.sending += 1;
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
      const answer = /** @type {unknown} */ (await response.json());
      // A later letter said all of it.
      if (turn < this.acknowledged) return;
      this.acknowledged = turn;
      for (const earlier of [...this.underWay.keys()]) if (earlier <= turn) this.underWay.delete(earlier);
      this.answered(answer, sent);
      if (this.changed.size === 0) this.form.dataset.state = "kept";
    } catch (error) {
      if (turn < this.acknowledged) return;
      for (const name of names) this.changed.add(name);
      this.complain(error instanceof Refusal ? error.message : "The program does not answer.");
      this.timer = window.setTimeout(() => this.send(), RETRY_MS);
    } finally {
      this.sending -= 1;
    }
    if (this.changed.size > 0) this.timer ??= window.setTimeout(() => this.send(), PATIENCE_MS);
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

/**
 * @param {unknown} thing
 * @returns {thing is Control}
 */
export function isControl(thing) {
  return thing instanceof HTMLInputElement || thing instanceof HTMLSelectElement || thing instanceof HTMLTextAreaElement;
}

/**
 * Puts HTML that the server made and escaped into the element of that id, if it is another than before.
 * @param {string} id
 * @param {string} html
 */
export function put(id, html) {
  const place = document.getElementById(id);
  if (!place) return;
  const made = document.createElement("template");
  made.innerHTML = html;
  if (made.innerHTML !== place.innerHTML) place.replaceChildren(made.content);
}
