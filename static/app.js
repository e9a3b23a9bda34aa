// Behaviour by data attribute. Every page works without this file; it only makes things quicker.
(() => {
  const root = document.documentElement;

  // A script's words, in the page's language, from their block of the page; of two forms the first is for one.
  self.pageWords = (script) => {
    const all = JSON.parse(document.getElementById(`words-${script}`).textContent);
    return (key, values = {}) => [all[key]].flat().at(values.n === 1 ? 0 : -1).replace(/\{(\w+)\}/g, (_, name) => values[name]);
  };
  self.decimalMark = (1.5).toLocaleString(root.lang).charAt(1);

  // Screen mode: set it at once and remember it for a year; without script the form posts.
  document.addEventListener("submit", (event) => {
    const form = event.target.closest("[data-modes]");
    if (!form) return;
    event.preventDefault();
    const chosen = event.submitter.value;
    const mode = root.dataset.mode === chosen ? "" : chosen;
    if (mode) root.dataset.mode = mode; else delete root.dataset.mode;
    document.cookie = `mode=${mode}; path=/; max-age=31536000; samesite=lax${location.protocol === "https:" ? "; secure" : ""}`;
    for (const button of form.querySelectorAll("button")) {
      button.setAttribute("aria-pressed", String(button.value === mode));
    }
  });

  // Where a form came back with faults, the reader starts at their list.
  const takeFocus = (within) => within.querySelector("[data-take-focus]")?.focus();
  document.addEventListener("DOMContentLoaded", () => takeFocus(document));

  // After a part of the page was replaced, say what happened and put the focus where the work goes on.
  document.addEventListener("htmx:afterSwap", (event) => {
    takeFocus(event.target);
    const said = event.target.querySelector?.("[data-said]")?.dataset.said;
    if (!said) return;
    const line = document.getElementById("said");
    line.textContent = "";  // the same words twice are news too
    setTimeout(() => { line.textContent = said; }, 50);
  });

  // A new garden is most likely where its maker is.
  document.addEventListener("DOMContentLoaded", () => {
    const zones = document.querySelector("select[data-guess-zone]");
    const here = Intl.DateTimeFormat().resolvedOptions().timeZone;
    if (zones && [...zones.options].some((option) => option.value === here)) zones.value = here;
  });

  // A link to be sent is marked whole at the first tap.
  document.addEventListener("focusin", (event) => {
    if (event.target.matches?.("[data-select-all]")) event.target.select();
  });

  // A second tap on the same button, while the answer is on its way, sends nothing.
  const sent = new WeakMap();
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (event.defaultPrevented || form.method !== "post" || form.closest("[hx-post]")) return;
    if (sent.get(form) === event.submitter) {
      event.preventDefault();
      return;
    }
    sent.set(form, event.submitter);
    setTimeout(() => sent.delete(form), 3000);
  });

  // Print buttons.
  document.addEventListener("click", (event) => {
    if (event.target.closest("[data-print]")) window.print();
  });
})();
