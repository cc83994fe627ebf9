// @ts-check
// A trial while it is typed: every field is kept by itself, with what stood there before, so that two
// devices can write at once; then the parts of the page that follow it are fetched anew.

import { partsOf, put as putPart } from "./live.js";
import { followStrips } from "./strip.js";
import { Typing, isControl, put } from "./typing.js";

/** Rest after the last answer before the parts that follow are fetched, ms. */
const REST_MS = 450;

/** @typedef {{ version: number, status: string, notes: Record<string, string>, invalid: string[] }} Answer */

class TrialForm extends Typing {
  /** @param {HTMLFormElement} form */
  constructor(form) {
    super(form);
    /** What the server has in each field, as far as this page knows. @type {Map<string, string>} */
    this.known = new Map();
    /** @type {number | undefined} */
    this.rest = undefined;
    /** Parts that were not exchanged because they are being typed in. @type {Map<string, HTMLElement>} */
    this.stale = new Map();
    this.learn(form);
  }

  /** @override */
  follow() {
    super.follow();
    this.form.addEventListener("focusout", () => window.setTimeout(() => this.exchangeStale()));
    followStrips(this.form, (fields) => this.set(fields));
    this.form.addEventListener("submit", (event) => {
      this.pressed = event.submitter instanceof HTMLButtonElement ? event.submitter.value : "";
    });
  }

  /**
   * Remembers what stands in fields that came from the server.
   * @param {Element} within
   */
  learn(within) {
    for (const control of within.querySelectorAll("[name]")) {
      if (isControl(control) && this.isTyped(control.name)) this.known.set(control.name, valueOf(control));
    }
  }

  /**
   * @override
   * @param {string} name
   */
  isTyped(name) {
    return name.startsWith("t:") || name.startsWith("map.");
  }

  /**
   * Each field with what may have stood there before: what the server said last, and what was sent since
   * and has no answer.
   * @override
   * @param {Set<string>} names
   * @param {Map<string, string>} sent
   */
  letter(names, sent) {
    const letter = new URLSearchParams();
    letter.append("version", this.control("version")?.value ?? "");
    for (const name of names) {
      if (name.startsWith("map.")) {
        this.addMapping(letter, name.split(".").slice(0, 2).join("."), sent);
        continue;
      }
      const control = this.control(name);
      const value = control ? valueOf(control) : this.made.get(name) ?? "";
      letter.set(name, value);
      const before = [this.known.get(name) ?? "", ...[...this.underWay.values()].map((values) => values.get(name))];
      for (const was of new Set(before)) if (was !== undefined) letter.append(`was:${name.slice(2)}`, was);
      sent.set(name, value);
    }
    return letter;
  }

  /**
   * A button sends what is not yet kept, as a letter does, not the whole page: what stands in the other
   * fields may have been changed by another device since, or found anew.
   * @override
   * @param {FormData} data
   */
  complete(data) {
    for (const name of [...data.keys()]) if (this.isTyped(name)) data.delete(name);
    for (const name of ["whole", "switch", "version"]) data.delete(name);
    const names = new Set([...this.unacknowledged(), ...this.made.keys()]);
    const log = /^map:(\d+)$/.exec(this.pressed)?.[1];
    for (const control of this.form.elements) {
      if (!isControl(control) || !this.isTyped(control.name)) continue;
      const isWanted = log !== undefined && control.name.startsWith(`map.${log}.`);
      if (isWanted || valueOf(control) !== (this.known.get(control.name) ?? "")) names.add(control.name);
    }
    /** @type {Map<string, string>} */
    const sent = new Map();
    for (const [name, value] of this.letter(names, sent)) data.append(name, value);
    this.sign(data, sent);
  }

  /** What the button says that was pressed. */
  pressed = "";

  /**
   * The columns of a table are one whole.
   * @param {URLSearchParams} letter
   * @param {string} start
   * @param {Map<string, string>} sent
   */
  addMapping(letter, start, sent) {
    for (const control of this.form.elements) {
      if (!isControl(control) || !control.name.startsWith(`${start}.`)) continue;
      const value = valueOf(control);
      if (value || !(control instanceof HTMLInputElement && control.type === "checkbox")) letter.set(control.name, value);
      sent.set(control.name, value);
    }
  }

  /** Values of fields that the page does not show yet. @type {Map<string, string>} */
  made = new Map();

  /**
   * Types into fields as a hand would, whether the page shows them or not.
   * @param {[string, string][]} fields
   */
  set(fields) {
    for (const [name, value] of fields) {
      const control = this.control(name);
      if (control) control.value = value;
      else this.made.set(name, value);
      this.changed.add(name);
    }
    this.form.dataset.state = "typing";
    void this.send();
  }

  /**
   * @override
   * @param {unknown} got
   * @param {Map<string, string>} sent
   */
  answered(got, sent) {
    const answer = /** @type {Answer} */ (got);
    const version = this.control("version");
    if (version) version.value = String(answer.version);
    for (const [name, value] of sent) {
      // Columns that do not fit are not kept; they stay as they were chosen, until they do.
      const isMisfit = name.startsWith("map.") && answer.notes[`map-${name.split(".")[1] ?? ""}-note`];
      if (!isMisfit) this.known.set(name, value);
      this.made.delete(name);
    }
    for (const [id, html] of Object.entries(answer.notes)) put(id, html);
    const invalid = new Set(answer.invalid);
    for (const control of this.form.elements) {
      if (!isControl(control) || !this.isTyped(control.name)) continue;
      if (invalid.has(control.id)) control.setAttribute("aria-invalid", "true");
      else control.removeAttribute("aria-invalid");
    }
    this.say(answer.status);
    clearTimeout(this.rest);
    this.rest = window.setTimeout(() => void this.refresh(), REST_MS);
  }

  /** Fetches what follows what is typed. */
  async refresh() {
    const width = Math.round(document.querySelector("main")?.clientWidth ?? 720);
    this.form.setAttribute("aria-busy", "true");
    try {
      const response = await fetch(`${this.form.dataset.parts ?? ""}${this.form.dataset.parts?.includes("?") ? "&" : "?"}width=${width}`, { headers: { accept: "text/html" } });
      if (!response.ok) return;
      const template = document.createElement("template");
      template.innerHTML = await response.text();
      if (this.changed.size > 0) return;
      const shown = partsOf(document);
      for (const [name, part] of partsOf(template.content)) {
        const old = shown.get(name);
        if (old) this.exchange(name, old, part);
      }
      document.dispatchEvent(new CustomEvent("exchanged"));
    } catch {
      // The next letter finds out whether the program answers; what stands here is the last result.
    } finally {
      if (this.changed.size === 0) this.form.removeAttribute("aria-busy");
    }
  }

  /**
   * A part in which somebody types waits until he has left it; one with something that is not kept stays.
   * @param {string} name
   * @param {HTMLElement} old
   * @param {HTMLElement} part
   */
  exchange(name, old, part) {
    const active = document.activeElement;
    const isUnkept = [...old.querySelectorAll("[name]")].some((control) =>
      isControl(control) && this.isTyped(control.name) && valueOf(control) !== (this.known.get(control.name) ?? ""));
    if (isUnkept) return;
    if (isControl(active) && active.type !== "checkbox" && old.contains(active)) {
      this.stale.set(name, part);
      return;
    }
    this.stale.delete(name);
    /** What a fold says beside its name may have changed. @param {HTMLDetailsElement} details */
    const nameOf = (details) => details.dataset.fold ?? details.querySelector("summary")?.textContent;
    const open = new Map([...old.querySelectorAll("details")].map((details) => [nameOf(details), details.open]));
    putPart(old, part);
    for (const details of old.querySelectorAll("details")) {
      const was = open.get(nameOf(details));
      if (was !== undefined) details.open = was;
    }
    this.learn(old);
  }

  exchangeStale() {
    if (this.changed.size > 0 || this.sending > 0) return;
    const shown = partsOf(document);
    for (const [name, part] of [...this.stale]) {
      const old = shown.get(name);
      if (old) this.exchange(name, old, part);
    }
  }
}

/** @param {import("./typing.js").Control} control */
function valueOf(control) {
  if (control instanceof HTMLInputElement && control.type === "checkbox") return control.checked ? control.value : "";
  return control.value;
}

const form = document.querySelector("form[data-trial]");
if (form instanceof HTMLFormElement) new TrialForm(form).follow();
