// @ts-check
// Parts that are folded away: what was opened or closed is remembered, a caution is read in full once in a visit.

/** Below this everything is folded as first opened, px; the server folds by the width that it was told. */
const NARROW_PX = 640;

/** @param {HTMLDetailsElement} fold */
const nameOf = (fold) => `fold:${location.pathname.split("/").pop()}:${fold.dataset.fold}`;

/** Whether something in it stands away from what is kept. @param {HTMLDetailsElement} fold */
function isTried(fold) {
  return fold.querySelector('[aria-invalid="true"]') !== null || [...fold.querySelectorAll("[data-kept]")].some((slider) =>
    slider instanceof HTMLElement && slider.querySelector("select")?.selectedIndex !== Number(slider.dataset.kept));
}

/**
 * Folds within `part` as they were left on this device.
 * @param {ParentNode} part
 */
export function recallFolds(part) {
  for (const fold of part.querySelectorAll("details[data-fold]")) {
    if (!(fold instanceof HTMLDetailsElement)) continue;
    const left = localStorage.getItem(nameOf(fold));
    if (left) fold.open = left === "open";
    else if (innerWidth < NARROW_PX && !isTried(fold)) fold.open = false;
  }
  for (const caution of part.querySelectorAll("details[data-caution]")) {
    if (!(caution instanceof HTMLDetailsElement)) continue;
    const name = `read:${caution.textContent?.length}:${caution.dataset.caution}`;
    const reader = sessionStorage.getItem(name);
    // Open for as long as the page stands on which it was first read.
    if (reader && reader !== String(performance.timeOrigin)) caution.open = false;
    else sessionStorage.setItem(name, String(performance.timeOrigin));
  }
}

/**
 * Opens the part that the way to the next leads to, and folds the one that is left.
 * @param {HTMLElement} way
 */
export function walkOn(way) {
  const next = document.getElementById(`part-${way.dataset.next}`);
  const left = way.closest("details");
  if (!(next instanceof HTMLDetailsElement) || !left) return;
  if (innerWidth < NARROW_PX) left.open = false;
  next.open = true;
  next.scrollIntoView();
  const first = next.querySelector(".sheet input:not([type=checkbox]), .sheet select, summary");
  if (first instanceof HTMLElement) first.focus({ preventScroll: true });
}

/** Remembers a fold that a hand has opened or closed. */
export function rememberFolds() {
  document.addEventListener("click", (event) => {
    const way = event.target instanceof Element ? event.target.closest("[data-next]") : null;
    if (way instanceof HTMLElement) {
      event.preventDefault();
      walkOn(way);
      return;
    }
    const summary = event.target instanceof Element ? event.target.closest("summary") : null;
    const fold = summary?.parentElement;
    if (!(fold instanceof HTMLDetailsElement) || !fold.dataset.fold) return;
    // The click opens or closes it after this.
    localStorage.setItem(nameOf(fold), fold.open ? "closed" : "open");
  });
}
