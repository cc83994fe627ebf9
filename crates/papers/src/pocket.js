// Forms of the pocket sheet, kept in the phone where it keeps anything; tides that are past turn grey. The sheet reads without.
"use strict";
(() => {
  const boat = document.querySelector(".pocket").dataset.boat;
  const store = (() => {
    try {
      const trial = "wakewright-trial";
      localStorage.setItem(trial, "1");
      const kept = localStorage.getItem(trial) === "1";
      localStorage.removeItem(trial);
      return kept ? localStorage : null;
    } catch {
      return null;
    }
  })();
  const day = () => new Date().toISOString().slice(0, 10);
  for (const form of document.querySelectorAll("form[data-form]")) {
    const name = form.dataset.form, place = `wakewright ${name} ${boat}`;
    const fields = [...form.querySelectorAll("input, textarea")];
    const said = form.querySelector(".kept");
    // A form that leaves again with more in it is known again by this where it is brought in.
    const mark = () => `${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 10)}`;
    let sheet = mark();
    const values = () => Object.fromEntries([["sheet", sheet], ...fields.map((field) => [field.name, field.value])]);
    const tell = (words) => { said.textContent = words; };
    const usual = store
      ? "Kept in this phone as it is typed. Save it as a file to bring it in."
      : "This phone keeps nothing typed in a file like this one: save the form as a file, or print it, before you leave it.";
    tell(usual);
    if (store) {
      try {
        const before = JSON.parse(store.getItem(place) ?? "{}");
        if (typeof before.sheet === "string") sheet = before.sheet;
        for (const field of fields) if (typeof before[field.name] === "string") field.value = before[field.name];
      } catch { /* What cannot be read is left as it is until something is typed. */ }
      form.addEventListener("input", () => {
        try {
          store.setItem(place, JSON.stringify(values()));
          tell(usual);
        } catch {
          tell("The phone is full and did not keep this: save the form as a file now.");
        }
      });
    }
    form.addEventListener("submit", (event) => event.preventDefault());
    const save = form.querySelector("[data-save]"), empty = form.querySelector("[data-empty]");
    save.hidden = empty.hidden = false;
    save.addEventListener("click", () => {
      // A quoted text of JSON is one of TOML.
      const quoted = (text) => JSON.stringify(text).replace(/\x7f/g, "\\u007f");
      const lines = fields.filter((field) => field.value.trim()).map((field) => `${field.name} = ${quoted(field.value.trim())}`);
      const text = `# Wakewright, written on a pocket sheet\nform = ${quoted(name)}\nsheet = ${quoted(sheet)}\nboat = ${quoted(boat)}\n${lines.join("\n")}\n`;
      const link = document.createElement("a");
      link.href = URL.createObjectURL(new Blob([text], { type: "application/toml" }));
      link.download = `${name}-${day()}.toml`;
      link.click();
      setTimeout(() => URL.revokeObjectURL(link.href), 60000);
      tell(`Saved as ${link.download}.`);
    });
    empty.addEventListener("click", () => {
      if (!confirm("Empty this form? What was not saved as a file is lost.")) return;
      for (const field of fields) field.value = "";
      sheet = mark();
      store?.removeItem(place);
      tell(usual);
    });
  }
  const now = new Date().toISOString();
  for (const dated of document.querySelectorAll("[data-until]")) {
    if (dated.dataset.until && dated.dataset.until < now) dated.classList.add("past");
  }
})();
