// @ts-check
// What is typed into a form that is sent as a whole is held by the browser until it is sent, so that a
// page that is left, or a program that ends, loses none of it.

const START = "wakewright:typed:";

/** Remembers the forms of the page that ask for it, and fills in what was typed and never sent. */
export function rememberForms() {
  for (const form of document.querySelectorAll("form[data-remember]")) {
    if (form instanceof HTMLFormElement) remember(form);
  }
}

/** @param {HTMLFormElement} form */
function remember(form) {
  const name = `${START}${location.pathname}:${form.dataset.remember}`;
  const written = entries(form);
  const held = read(name);
  // What was typed on another revision's form is still what was typed; what the page shows now goes first
  // when it came back with faults.
  if (held && !form.querySelector("[aria-invalid=true]") && JSON.stringify(held) !== JSON.stringify(written)) restore(form, held, name, written);
  form.addEventListener("input", () => {
    const typed = entries(form);
    if (JSON.stringify(typed) === JSON.stringify(written)) forget(name);
    else keep(name, typed);
  });
  form.addEventListener("submit", () => forget(name));
}

/**
 * What can be typed or chosen in the form, in order.
 * @param {HTMLFormElement} form
 * @returns {(HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement)[]}
 */
function controls(form) {
  return [...form.elements].filter((control) => control instanceof HTMLSelectElement || control instanceof HTMLTextAreaElement || (control instanceof HTMLInputElement && control.type !== "hidden" && control.type !== "range"))
    .map((control) => /** @type {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} */ (control));
}

/**
 * @param {HTMLFormElement} form
 * @returns {string[]}
 */
function entries(form) {
  return controls(form).map((control) => (control instanceof HTMLInputElement && control.type === "checkbox" ? String(control.checked) : control.value));
}

/**
 * @param {HTMLFormElement} form
 * @param {string[]} held
 * @param {string} name
 * @param {string[]} written
 */
function restore(form, held, name, written) {
  if (held.length !== written.length) return;
  const put = (/** @type {string[]} */ values) => controls(form).forEach((control, place) => {
    const value = values[place] ?? "";
    if (control instanceof HTMLInputElement && control.type === "checkbox") control.checked = value === "true";
    else control.value = value;
  });
  // A form that is answered while it is typed in asks anew.
  const isAsked = form.dataset.remember === "asked";
  const ask = () => { if (isAsked) form.querySelector(".typed-in input")?.dispatchEvent(new Event("input", { bubbles: true })); };
  put(held);
  ask();
  const part = form.closest("details");
  if (part) part.open = true;
  const note = Object.assign(document.createElement("p"), { className: "notice", textContent: isAsked ? "As typed here before. " : "Typed here before and not sent: it is as it was. " });
  note.setAttribute("role", "note");
  const back = Object.assign(document.createElement("button"), { type: "button", className: "quiet", textContent: isAsked ? "Begin anew" : "Take what is kept instead" });
  back.addEventListener("click", () => { put(written); ask(); forget(name); note.remove(); });
  note.append(back);
  form.prepend(note);
}

/** @param {string} name @returns {string[] | null} */
function read(name) {
  try {
    const held = /** @type {unknown} */ (JSON.parse(localStorage.getItem(name) ?? "null"));
    return Array.isArray(held) && held.every((value) => typeof value === "string") ? held : null;
  } catch {
    return null;
  }
}

/** @param {string} name @param {string[]} typed */
function keep(name, typed) {
  try { localStorage.setItem(name, JSON.stringify(typed)); } catch { /* A browser that keeps nothing loses only this. */ }
}

/** @param {string} name */
function forget(name) {
  try { localStorage.removeItem(name); } catch { /* Nothing was kept. */ }
}
