// @ts-check
// Parts that take a while to compute are asked for once the page stands. Until then, and without a script,
// a link leads to them.

/** Asks for all such parts, and for those of the trial again once its runs have changed. */
export function fetchLater() {
  for (const part of document.querySelectorAll("[data-later]")) {
    if (!(part instanceof HTMLElement)) continue;
    const link = part.innerHTML;
    void fill(part);
    // The runs changed: what was found for others is taken back; the link finds it anew.
    if (document.querySelector("form[data-trial]")) document.addEventListener("exchanged", () => { part.innerHTML = link; });
  }
}

/** @param {HTMLElement} part */
async function fill(part) {
  part.setAttribute("aria-busy", "true");
  const before = part.innerHTML;
  try {
    const response = await fetch(part.dataset.later ?? "", { headers: { accept: "text/html" } });
    const text = await response.text();
    const template = document.createElement("template");
    template.innerHTML = text;
    if (response.ok) {
      // Runs that changed meanwhile are not those that were looked into.
      if (part.innerHTML === before) part.replaceChildren(template.content);
    } else {
      say(part, template.content.querySelector("h1")?.textContent ?? "The program did not answer.");
    }
  } catch {
    say(part, "The program does not answer. Load the page again once it runs.");
  } finally {
    part.removeAttribute("aria-busy");
    const target = part.querySelector(location.hash.length > 1 ? `[id="${CSS.escape(location.hash.slice(1))}"]` : ":not(*)");
    target?.scrollIntoView();
  }
}

/**
 * @param {HTMLElement} part
 * @param {string} words
 */
function say(part, words) {
  const note = document.createElement("p");
  note.className = "caution";
  note.setAttribute("role", "alert");
  note.textContent = words;
  part.append(note);
}
