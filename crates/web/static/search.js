// @ts-check
// A search while it runs, and the frame on the front that it found: slid, or drawn on the picture. Both
// work without a script, by a page that comes anew and by the form's button.

/** Time between two questions for the progress, ms. */
const PACE_MS = 400;
/** Rest of a slider after which the list follows, ms. */
const REST_MS = 120;
/** A pointer that moved less has pressed a point, not drawn a frame, px. */
const PRESS_PX = 6;
/** How near to a point it must be pressed, px. */
const REACH_PX = 14;

/** Follows a search or its result, if there is one on the page. */
export function followSearch() {
  const running = document.querySelector("[data-progress]");
  if (running instanceof HTMLElement) void watch(running);
  const front = document.querySelector("[data-front-from]");
  if (front instanceof HTMLElement) new Front(front).follow();
}

/**
 * Shows how far the search is, and its result once it is there.
 * @param {HTMLElement} running
 */
async function watch(running) {
  await untilEnded(running.dataset.progress ?? "", running.querySelector("#progress-words"), running.querySelector("progress"));
  location.reload();
}

/**
 * Shows how far long work is until it ends, or is left.
 * @param {string} from where it says so
 * @param {Element | null} words
 * @param {HTMLProgressElement | null} bar
 * @param {AbortSignal} [left]
 */
export async function untilEnded(from, words, bar, left) {
  while (!left?.aborted) {
    try {
      const response = await fetch(from, { headers: { accept: "application/json" } });
      if (!response.ok) break;
      const answer = /** @type {{ is_running: boolean, done: number, total: number, words: string }} */ (await response.json());
      if (!answer.is_running) break;
      if (words && words.textContent !== answer.words) words.textContent = answer.words;
      if (bar) { bar.value = answer.done; bar.max = Math.max(answer.total, 1); }
    } catch {
      if (words) words.textContent = "The program does not answer. What was asked is in this page’s address: load it again once the program runs.";
    }
    await new Promise((resolve) => { setTimeout(resolve, PACE_MS); });
  }
}

class Front {
  /** @param {HTMLElement} place */
  constructor(place) {
    this.place = place;
    this.chosen = new URLSearchParams(location.search).get("chosen") ?? "";
    /** @type {AbortController | null} */
    this.running = null;
    /** @type {ReturnType<typeof setTimeout> | undefined} */
    this.rest = undefined;
    /** Where a frame was begun on the picture. @type {{ x: number, y: number, svg: SVGSVGElement } | null} */
    this.start = null;
  }

  follow() {
    this.place.classList.add("is-live");
    this.place.addEventListener("input", (event) => this.slid(event.target));
    this.place.addEventListener("change", (event) => {
      if (event.target instanceof HTMLSelectElement) void this.ask(true);
    });
    this.place.addEventListener("submit", (event) => {
      if (!(event.target instanceof Element && event.target.matches("[data-frame]"))) return;
      event.preventDefault();
      void this.ask(false);
    });
    document.addEventListener("click", (event) => this.pressed(event));
    this.place.addEventListener("pointerdown", (event) => this.begin(event));
    addEventListener("pointermove", (event) => this.draw(event));
    addEventListener("pointerup", (event) => this.end(event));
    addEventListener("pointercancel", () => this.drop());
    document.addEventListener("keydown", (event) => { if (event.key === "Escape") this.drop(); });
  }

  get form() {
    return /** @type {HTMLFormElement} */ (this.place.querySelector("form[data-frame]"));
  }

  /** @param {string} id */
  slider(id) {
    return /** @type {HTMLInputElement} */ (this.form.querySelector(`#${id}`));
  }

  /** @param {EventTarget | null} target */
  slid(target) {
    if (!(target instanceof HTMLInputElement) || target.type !== "range") return;
    this.say(target);
    clearTimeout(this.rest);
    this.rest = setTimeout(() => void this.ask(false), REST_MS);
  }

  /**
   * The figure of a slider beside it.
   * @param {HTMLInputElement} slider
   */
  say(slider) {
    const words = `${Number(slider.value).toFixed(Number(slider.dataset.decimals))} ${slider.dataset.unit ?? ""}`.trim();
    slider.setAttribute("aria-valuetext", words);
    const output = this.form.querySelector(`output[for="${slider.id}"]`);
    if (output) output.textContent = words;
  }

  /**
   * Exchanges what follows the frame; the form too when it is about other merits now.
   * @param {boolean} isOther
   */
  async ask(isOther) {
    this.running?.abort();
    const mine = new AbortController();
    this.running = mine;
    const query = new URLSearchParams(/** @type {[string, string][]} */ ([...new FormData(this.form)]));
    if (this.chosen) query.set("chosen", this.chosen);
    const address = `${location.pathname}?${query}`;
    query.set("width", String(Math.round(document.querySelector("main")?.clientWidth ?? 720)));
    query.set("part", "front");
    try {
      const response = await fetch(`${location.pathname}?${query}`, { signal: mine.signal, headers: { accept: "text/html" } });
      if (!response.ok) { location.assign(address); return; }
      const template = document.createElement("template");
      template.innerHTML = await response.text();
      if (mine.signal.aborted) return;
      this.exchange(template.content, isOther);
      history.replaceState(null, "", address);
    } catch {
      if (!mine.signal.aborted) location.assign(address);
    }
  }

  /**
   * @param {DocumentFragment} fresh
   * @param {boolean} isOther
   */
  exchange(fresh, isOther) {
    const focus = document.activeElement?.id ?? "";
    for (const part of fresh.querySelectorAll("[data-live]")) {
      const old = this.place.querySelector(`[data-live="${part.getAttribute("data-live")}"]`);
      const scrolled = old?.querySelector(".scroll")?.scrollLeft ?? 0;
      old?.replaceChildren(...part.childNodes);
      const scroll = old?.querySelector(".scroll");
      if (scroll) scroll.scrollLeft = scrolled;
    }
    const form = fresh.querySelector("form[data-frame]");
    if (isOther && form) this.form.replaceWith(form);
    if (isOther && focus) document.getElementById(focus)?.focus();
  }

  /** @param {MouseEvent} event */
  pressed(event) {
    const link = event.target instanceof Element ? event.target.closest("a[data-choose], a[data-whole]") : null;
    if (!(link instanceof HTMLAnchorElement)) return;
    event.preventDefault();
    if (link.dataset.choose !== undefined) { void this.choose(link.dataset.choose); return; }
    for (const id of ["x-from", "x-to", "y-from", "y-to"]) {
      const slider = this.slider(id);
      slider.value = id.endsWith("from") ? slider.min : slider.max;
      this.say(slider);
    }
    void this.ask(false);
  }

  /**
   * Looks at a candidate.
   * @param {string} key
   */
  async choose(key) {
    this.chosen = key;
    await this.ask(false);
    const chosen = document.getElementById("chosen");
    chosen?.scrollIntoView({ block: "nearest" });
    chosen?.focus({ preventScroll: true });
  }

  /** @param {PointerEvent} event */
  begin(event) {
    const svg = event.target instanceof Element ? event.target.closest("svg#front-picture") : null;
    if (!(svg instanceof SVGSVGElement) || event.button !== 0) return;
    this.start = { ...inPicture(svg, event), svg };
    if (event.pointerType === "mouse") event.preventDefault();
  }

  /** @param {PointerEvent} event */
  draw(event) {
    if (!this.start) return;
    const { svg, x, y } = this.start;
    const here = inPicture(svg, event);
    let frame = svg.querySelector("rect.frame");
    if (!frame) {
      frame = document.createElementNS("http://www.w3.org/2000/svg", "rect");
      frame.setAttribute("class", "frame");
      svg.append(frame);
    }
    const sides = { x: Math.min(x, here.x), y: Math.min(y, here.y), width: Math.abs(here.x - x), height: Math.abs(here.y - y) };
    for (const [name, value] of Object.entries(sides)) frame.setAttribute(name, String(value));
  }

  /** @param {PointerEvent} event */
  end(event) {
    const start = this.start;
    if (!start) return;
    this.drop();
    const here = inPicture(start.svg, event);
    if (Math.hypot(here.x - start.x, here.y - start.y) < PRESS_PX) {
      const key = nearest(start.svg, here);
      if (key) void this.choose(key);
      return;
    }
    const group = start.svg.querySelector("g.candidates");
    const area = numbers(group, "data-area");
    if (area.length !== 4) return;
    const [left, top, right, bottom] = /** @type {[number, number, number, number]} */ (area);
    this.frameAxis("x", numbers(group, "data-x-range"), [start.x, here.x].map((px) => (px - left) / (right - left)));
    this.frameAxis("y", numbers(group, "data-y-range"), [start.y, here.y].map((px) => (bottom - px) / (bottom - top)));
    void this.ask(false);
  }

  /**
   * Puts the sliders of an axis where a frame was drawn.
   * @param {string} axis
   * @param {number[]} range
   * @param {number[]} shares
   */
  frameAxis(axis, range, shares) {
    const [low = 0, high = 0] = range;
    const values = shares.map((share) => low + share * (high - low));
    for (const [end, value] of [["from", Math.min(...values)], ["to", Math.max(...values)]]) {
      const slider = this.slider(`${axis}-${end}`);
      slider.value = String(value);
      this.say(slider);
    }
  }

  drop() {
    this.start?.svg.querySelector("rect.frame")?.remove();
    this.start = null;
  }
}

/**
 * @param {Element | null} element
 * @param {string} name
 */
function numbers(element, name) {
  return (element?.getAttribute(name) ?? "").split(" ").map(Number);
}

/**
 * @param {SVGSVGElement} svg
 * @param {PointerEvent} event
 */
function inPicture(svg, event) {
  const box = svg.getBoundingClientRect();
  const scale = svg.viewBox.baseVal.width / box.width;
  return { x: (event.clientX - box.left) * scale, y: (event.clientY - box.top) * scale };
}

/**
 * Key of the candidate at a place; none for the boat as she is.
 * @param {SVGSVGElement} svg
 * @param {{ x: number, y: number }} here
 */
function nearest(svg, here) {
  let key = "";
  let reach = REACH_PX;
  for (const circle of svg.querySelectorAll("g.candidates circle[data-key]")) {
    const away = Math.hypot(Number(circle.getAttribute("cx")) - here.x, Number(circle.getAttribute("cy")) - here.y);
    const own = circle.getAttribute("data-key") ?? "";
    if (away < reach && /^\d+$/.test(own)) { key = own; reach = away; }
  }
  return key;
}
