// The shopping list in the shop: a tick is kept on this phone first and sent when there is signal.
// Without this file the list is a form with a button.
(() => {
  const form = document.querySelector("form[data-shop]");
  if (!form) return;
  // Each person's ticks are their own: another who signs in on this phone does not send them.
  const shelf = `shop ${form.dataset.shop}`;
  const told = form.querySelector("[data-shop-told]");
  const boxes = [...form.querySelectorAll('input[name="got"]')];
  let sending = false;
  let refused = false;

  const kept = () => {
    try { return JSON.parse(localStorage.getItem(shelf)) || {}; } catch { return {}; }
  };
  const keep = (waiting) => {
    try {
      if (Object.keys(waiting).length) localStorage.setItem(shelf, JSON.stringify(waiting));
      else localStorage.removeItem(shelf);
    } catch { /* A phone that keeps nothing still sends at once. */ }
  };

  // The page says it in the reader's language.
  const say = (words, number) => form.dataset[`${words}Words`].replace("{n}", number);
  const count = () => {
    const left = boxes.filter((box) => !box.checked).length;
    const output = form.querySelector("[data-shop-left]");
    if (output) output.textContent = left ? say("left", left) : form.dataset.noneWords;
  };
  const tell = () => {
    const waiting = Object.keys(kept()).length;
    if (!waiting) told.textContent = "";
    else if (refused) told.textContent = say("refused", waiting);
    else told.textContent = say("kept", waiting);
  };

  const send = async () => {
    const waiting = kept();
    const keys = Object.keys(waiting);
    if (sending || refused || !keys.length) return;
    sending = true;
    let sent = false;
    const body = new URLSearchParams();
    for (const key of keys) body.append(waiting[key] ? "now" : "not", key);
    try {
      const answer = await fetch(form.dataset.tick, {
        method: "POST", body, redirect: "manual",
        headers: { "X-CSRFToken": form.querySelector('[name="csrfmiddlewaretoken"]').value },
      });
      if (answer.status === 204) {
        // What was ticked again meanwhile stays to be sent.
        const now = kept();
        for (const key of keys) if (now[key] === waiting[key]) delete now[key];
        keep(now);
        sent = true;
      } else if (answer.type === "opaqueredirect" || (answer.status >= 400 && answer.status < 500)) {
        refused = true;  // signed out, or the list has changed: asking again would not help
      }
    } catch { /* No signal: the next try is on its way. */ }
    sending = false;
    tell();
    if (sent) send();
  };

  form.addEventListener("change", (event) => {
    const box = event.target.closest('input[name="got"]');
    if (!box) return;
    const waiting = kept();
    waiting[box.value] = box.checked;
    keep(waiting);
    count();
    tell();
    send();
  });

  const waiting = kept();
  for (const box of boxes) if (box.value in waiting) box.checked = waiting[box.value];
  const button = form.querySelector("[data-shop-save]");
  if (button) button.hidden = true;
  count();
  tell();
  send();
  addEventListener("online", send);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) send(); });
  setInterval(send, 15000);
})();
