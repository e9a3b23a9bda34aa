// Forms that log something go through the outbox: kept on this phone first, then sent, each taken once.
// Without this file, or where the phone keeps nothing, a form is sent as any other.
(() => {
  const panel = document.getElementById("outbox");
  if (!panel || !self.indexedDB || !self.crypto?.randomUUID) return;
  const root = document.documentElement;
  const word = pageWords("outbox");
  const me = panel.dataset.user;
  const told = panel.querySelector("[data-outbox-told]");
  const list = panel.querySelector("[data-outbox-list]");
  Outbox.ask = panel.dataset.ask;
  let state = "";
  let sending = false;

  const say = (words) => {
    const line = document.getElementById("said");
    line.textContent = "";
    setTimeout(() => { line.textContent = words; }, 50);
  };

  // What is waiting, in a bar over the page's foot, so that nothing on the page moves.
  const line = (entry) => {
    const item = document.createElement("li");
    item.className = "stack";
    const words = document.createElement("p");
    const at = new Date(entry.at).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hour12: false });
    words.textContent = `${at} ${entry.words}`;
    item.append(words);
    if (entry.wrong) {
      const why = Object.assign(document.createElement("p"), { className: "wrong", textContent: entry.wrong.join(" ") });
      item.append(why);
    }
    const acts = Object.assign(document.createElement("div"), { className: "row" });
    if (entry.wrong && entry.mend) {
      const address = `${entry.mend}${entry.mend.includes("?") ? "&" : "?"}mend=${entry.id}`;
      acts.append(Object.assign(document.createElement("a"), { className: "button quiet", href: address, textContent: word("mend") }));
    }
    const drop = Object.assign(document.createElement("button"), { className: "button quiet", type: "button", textContent: word("drop") });
    drop.setAttribute("aria-label", word("dropThis", entry));
    drop.addEventListener("click", async () => { await Outbox.remove(entry.id); show(); say(word("dropped")); });
    acts.append(drop);
    item.append(acts);
    return item;
  };
  const summary = (mine, others) => {
    const wrong = mine.filter((entry) => entry.wrong).length;
    const waiting = mine.length - wrong;
    const parts = [];
    if (wrong) parts.push(word("wrong", { n: wrong }));
    if (waiting && state === "signed out") parts.push(word("signIn", { n: waiting }));
    else if (waiting) parts.push(word("waiting", { n: waiting }));
    if (others) parts.push(word("others", { n: others }));
    return parts.join(" ");
  };

  const identity = (address, fields) =>
    [new URL(address, location).pathname, ...["chore", "place"].map((name) => fields.find(([key]) => key === name)?.[1] ?? "")].join(" ");
  const mark = (waiting) => {
    const kept = new Set(waiting.map((entry) => identity(entry.address, entry.fields)));
    for (const form of document.querySelectorAll("form[data-outbox-once]")) {
      const is = kept.has(identity(form.action, [...new FormData(form)]));
      for (const button of form.querySelectorAll("button")) {
        button.dataset.words ??= button.innerHTML;
        if (is) button.textContent = word("kept"); else if (button.textContent === word("kept")) button.innerHTML = button.dataset.words;
        button.disabled = is;
      }
    }
  };
  const show = async () => {
    let entries = [];
    try { entries = await Outbox.all(); } catch { return; }
    const mine = entries.filter((entry) => entry.user === me);
    const words = summary(mine, entries.length - mine.length);
    panel.hidden = !words;
    panel.classList.toggle("has-wrong", mine.some((entry) => entry.wrong));
    if (told.textContent !== words) told.textContent = words;
    list.replaceChildren(...mine.map(line));
    panel.querySelector("[data-outbox-sign-in]")?.toggleAttribute("hidden", state !== "signed out");
    mark(mine.filter((entry) => !entry.wrong));
  };

  // The page shows what has just been logged, unless somebody is typing on it or reading what waits.
  const refresh = () => {
    const typing = document.activeElement?.matches("input, textarea, select") || document.querySelector(".quick details[open], #outbox details[open], #outbox[open]");
    if (document.querySelector("[data-fresh]") && !typing) location.reload();
  };
  const send = async () => {
    if (sending) return null;
    sending = true;
    try {
      const answer = await Outbox.send();
      state = answer.state;
      return answer;
    } catch {
      return null;
    } finally {
      sending = false;
      await show();
    }
  };
  const sendWaiting = async () => {
    const answer = await send();
    if (answer?.taken.length) refresh();
  };

  // A page may have lain open, or been kept, since another day: its "today" moves on with the phone's clock.
  const shownAt = Number(root.dataset.keptAt) || performance.timeOrigin;
  const midnight = (moment) => new Date(moment).setHours(12, 0, 0, 0);
  const daysSince = () => Math.round((midnight(Date.now()) - midnight(shownAt)) / 86400000);
  const later = (day, days) => {
    const moment = new Date(`${day}T12:00:00Z`);
    moment.setUTCDate(moment.getUTCDate() + days);
    return moment.toISOString().slice(0, 10);
  };

  const LONGEST_PX = 1600;
  const shrunk = async (file) => {
    try {
      const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
      const scale = Math.min(1, LONGEST_PX / Math.max(picture.width, picture.height));
      const canvas = document.createElement("canvas");
      canvas.width = Math.round(picture.width * scale);
      canvas.height = Math.round(picture.height * scale);
      canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
      return await new Promise((done) => canvas.toBlob((blob) => done(blob ?? file), "image/jpeg", 0.82));
    } catch {
      return file;  // the server says what it thinks of it
    }
  };

  const entryOf = async (form, sent) => {
    const fields = [];
    for (const [name, value] of sent) {
      if (name === "csrfmiddlewaretoken" || name === "next") continue;
      if (!(value instanceof File)) fields.push([name, value]);
      else if (value.size) fields.push([name, await shrunk(value)]);
    }
    const today = form.querySelector("[data-on-today]");
    const on = fields.find(([name]) => name === today?.name);
    if (on) on[1] = later(on[1], daysSince());
    const typed = [...form.querySelectorAll("[data-told]")].map((field) => field.value.trim().slice(0, 60)).filter(Boolean);
    return {
      key: crypto.randomUUID(), user: me, address: new URL(form.action, location).pathname, fields, at: Date.now(),
      words: [form.dataset.outbox, typed.join(", ")].filter(Boolean).join(": "),
      mend: form.dataset.mend ?? "",
      ...(form.dataset.mends ? JSON.parse(form.dataset.mends) : {}),
    };
  };

  // As if this file were not there: the page that answers says beside the field what is wrong.
  const plainly = (form, submitter) => {
    if (submitter?.name) {
      form.append(Object.assign(document.createElement("input"), { type: "hidden", name: submitter.name, value: submitter.value }));
    }
    form.dataset.plain = "yes";
    HTMLFormElement.prototype.submit.call(form);
  };
  const keptFor = (form, entry) => {
    form.closest("details")?.removeAttribute("open");
    if (!form.hasAttribute("data-outbox-once")) form.reset();
    delete form.dataset.mends;
    say(word("keptThis", entry));
  };

  const log = async (form, submitter) => {
    const button = submitter ?? form.querySelector("button");
    const words = button.innerHTML;
    const sent = new FormData(form, submitter?.name ? submitter : undefined);  // a button at rest is not in it
    button.disabled = true;
    button.textContent = word("sending");
    const entry = await entryOf(form, sent);
    try {
      entry.id = await Outbox.put(entry);
    } catch {
      // This phone keeps nothing more. With signal the form is sent plainly; without, what was typed stays.
      button.disabled = false;
      button.innerHTML = words;
      if (navigator.onLine) return plainly(form, button);
      return fault(form, word("full"));
    }
    while (sending) await new Promise((done) => setTimeout(done, 100));
    const answer = await send();
    button.disabled = false;
    button.innerHTML = words;
    const taken = answer?.taken.find((one) => one.id === entry.id);
    const isLeft = (await Outbox.all()).some((one) => one.id === entry.id);
    const isElsewhere = [...document.querySelectorAll(".quick details[open]")].some((one) => !one.contains(form));
    if ((taken || !isLeft) && isElsewhere) {
      // Somebody is at the next entry already: the page must not take it from under their thumb.
      form.closest("details")?.removeAttribute("open");
      form.reset();
      return say(word("logged", entry));
    }
    if (taken || !isLeft) {
      return location.assign(form.querySelector('[name="next"]')?.value || taken?.go || location.href);
    }
    if (answer?.wrong.includes(entry.id)) {
      await Outbox.remove(entry.id);
      return plainly(form, submitter);
    }
    navigator.serviceWorker?.controller && (await navigator.serviceWorker.ready).sync?.register("outbox").catch(() => {});
    keptFor(form, entry);
    return show();
  };
  const fault = (form, words) => {
    form.querySelector(".outbox-fault")?.remove();
    const line = Object.assign(document.createElement("p"), { className: "wrong outbox-fault", textContent: words });
    line.setAttribute("role", "alert");
    form.prepend(line);
  };

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!me || !form.matches("form[data-outbox]") || form.dataset.plain) return;
    // With signal htmx is quicker, and these taps are the same once as twice.
    if (form.hasAttribute("hx-post") && navigator.onLine && !root.dataset.keptAt) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    log(form, event.submitter);
  }, true);
  for (const name of ["htmx:sendError", "htmx:timeout"]) {
    document.addEventListener(name, (event) => {
      const form = event.target.closest?.("form[data-outbox]");
      if (form) log(form, event.detail.requestConfig?.triggeringEvent?.submitter);
    });
  }

  // An entry that was refused, filled in again where it was made.
  const mend = async () => {
    const id = Number(new URLSearchParams(location.search).get("mend"));
    const entry = id && (await Outbox.all()).find((one) => one.id === id && one.user === me);
    const forms = [...document.querySelectorAll("form[data-outbox]")];
    const form = entry && (forms.find((one) => new URL(one.action, location).pathname === entry.address) ?? forms[0]);
    if (!form) return;
    for (const [name, value] of entry.fields) {
      const field = form.elements[name];
      if (field && field.type !== "file" && typeof value === "string") field.value = value;
    }
    form.dataset.mends = JSON.stringify({ id: entry.id });
    form.closest("details")?.setAttribute("open", "");
    fault(form, entry.wrong?.join(" ") ?? "");
    form.querySelector("input:not([type=hidden]), textarea, select")?.focus();
  };

  const worker = async () => {
    const home = navigator.serviceWorker;
    if (!home || !panel.dataset.worker) return;
    home.addEventListener("message", (event) => { if (event.data === "outbox") show(); });
    await home.register(panel.dataset.worker);
    // A page that came past the worker is not kept yet, though the worker may have claimed it since.
    const past = performance.getEntriesByType("navigation")[0]?.workerStart === 0;
    if (!past || !me) return;
    const here = [...document.querySelectorAll("link[rel=stylesheet], script[src]")].map((each) => each.href ?? each.src);
    const today = document.querySelector(".places a")?.href;
    (await home.ready).active.postMessage({ keep: [...new Set([location.href, today, ...here].filter(Boolean))] });
  };

  // A minus and a plus beside a number, for a thumb in a wet glove.
  document.addEventListener("click", (event) => {
    const step = event.target.closest("[data-step]");
    if (!step) return;
    const field = step.closest(".stepper").querySelector("input");
    const by = Number(step.dataset.step);
    const places = (step.dataset.step.split(".")[1] ?? "").length;
    field.value = Math.max(Number(field.dataset.least) || 0, (parseFloat(field.value.replace(",", ".")) || 0) + by).toFixed(places).replace(".", decimalMark);
  });

  show().then(sendWaiting).then(mend).catch(() => {});
  addEventListener("online", async () => {
    await sendWaiting();
    if (root.dataset.keptAt) refresh();
  });
  document.addEventListener("visibilitychange", () => { if (!document.hidden) sendWaiting(); });
  setInterval(() => { if (!document.hidden && !panel.hidden) sendWaiting(); }, 15000);
  worker().catch(() => {});
})();
