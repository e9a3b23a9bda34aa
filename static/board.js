// The plan's board: a stay is picked up, moved, lengthened, locked or swapped by keyboard, mouse and touch.
// Without this file every stay is a link to a form that does the same. The server judges every change.
(() => {
  const block = document.getElementById("board-data");
  const table = document.querySelector("table.board");
  if (!block || !table) return;

  const data = JSON.parse(block.textContent);
  const word = pageWords("board");
  const pane = table.closest(".scroll");
  const sheet = document.getElementById("sheet");
  const head = document.getElementById("sheet-head");
  const line = document.getElementById("board-said");
  const spoken = document.getElementById("board-where");
  const keeps = sheet.querySelector('[data-do="keep"]');
  const fits = sheet.querySelector('[data-do="fit"]');
  const form = document.getElementById("board-keep");
  const base = sheet.dataset.base;
  const heads = [...table.querySelectorAll("th[data-day]")];
  const ghost = pane.appendChild(document.createElement("div"));
  ghost.className = "ghost";
  ghost.hidden = true;

  // Days are whole numbers, so that no clock change can shift one.
  const MS = 86400000, JUDGE_AFTER = 180;
  const number = (iso) => Date.parse(`${iso}T00:00Z`) / MS;
  const iso = (day) => new Date(day * MS).toISOString().slice(0, 10);
  const part = (day, options) => new Date(day * MS).toLocaleDateString(document.documentElement.lang, { timeZone: "UTC", ...options });
  const words = (day) => word("day", { weekday: part(day, { weekday: "short" }), day: part(day, { day: "numeric" }), month: part(day, { month: "long" }) });
  const boardStart = number(heads[0].dataset.day), boardEnd = boardStart + heads.length;
  const today = number(data.today);

  let held = null;  // the stay in hand: where it is now wanted, and what the rules say of that
  let asked = 0, waiting = 0;

  const placeIndex = (run, key) => run.places.findIndex((place) => place.key === key);
  const isChanged = () => held.swap !== null || held.place !== held.was.place || held.first !== held.was.first || held.days !== held.was.days;
  const cellsOf = (id) => [...table.querySelectorAll(`td[data-stay="${id}"]`)];

  // ---- what is in hand ----
  const pickUp = (id) => {
    const stay = data.stays[id];
    if (!stay) return false;
    const run = data.runs[stay.run];
    const was = { place: placeIndex(run, stay.key), first: number(stay.first), days: stay.days };
    held = { id, stay, run, was, ...was, swap: null, holds: null, keep: false };
    for (const cell of table.querySelectorAll(".held-now")) cell.classList.remove("held-now");
    for (const cell of cellsOf(id)) cell.classList.add("held-now");
    sheet.hidden = false;
    document.body.classList.add("has-sheet");
    sheet.querySelector('[data-do="lock"]').textContent = word(stay.pin ? "unlock" : "lock");
    sheet.querySelector("[data-more]").href = `${base}stays/${id}/`;
    const bed = was.place >= 0 ? run.places[was.place].bed : "";
    sheet.querySelector("[data-close]").href = `${sheet.dataset.closure}?bed=${bed}`;
    sheet.querySelector("[data-close]").hidden = !bed;
    show();
    return true;
  };

  const putBack = () => {
    if (!held) return;
    const [cell] = cellsOf(held.id);
    for (const other of cellsOf(held.id)) other.classList.remove("held-now");
    held = null;
    asked += 1;
    clearTimeout(waiting);
    sheet.hidden = ghost.hidden = true;
    document.body.classList.remove("has-sheet");
    if (cell) focusOn(cell);
    tell("");
  };

  const tell = (text, holds = null, heard = "") => {
    spoken.textContent = heard;
    line.textContent = text;
    line.classList.toggle("fine", holds === true);
    line.classList.toggle("late", holds === false);
  };

  const where = () => (held.place < 0 ? word("off") : held.run.places[held.place].name);
  const when = () => {
    const last = held.first + held.days - 1;
    return last > held.first ? word("days", { first_day: words(held.first), last_day: words(last) }) : words(held.first);
  };

  const show = () => {
    head.textContent = word("held", { pen: held.run.pen, where: where(), days: when() });
    drawGhost();
    held.holds = null;
    asked += 1;
    clearTimeout(waiting);
    fits.hidden = true;
    keeps.hidden = false;
    if (!isChanged()) {
      tell(word(held.stay.pin ? "locked" : "picked"));
    } else if (held.place < 0) {
      tell(word("choose"), false);
    } else {
      waiting = setTimeout(judge, JUDGE_AFTER, asked);
    }
  };

  const rowOf = (place) => {
    if (!place) return cellsOf(held.id)[0]?.closest("tr");
    const rows = [...table.querySelectorAll(`tr[data-bed="${place.bed}"]`)];
    return rows.find((row) => row.dataset.mark === place.mark) || rows[0];
  };

  const drawGhost = () => {
    const row = rowOf(held.run.places[held.place]);
    const from = Math.max(held.first, boardStart), to = Math.min(held.first + held.days, boardEnd);
    ghost.hidden = !row || from >= to;
    if (ghost.hidden) return;
    const frame = pane.getBoundingClientRect(), box = row.getBoundingClientRect();
    const left = heads[from - boardStart].getBoundingClientRect().left;
    const right = heads[to - 1 - boardStart].getBoundingClientRect().right;
    ghost.style.left = `${left - frame.left + pane.scrollLeft}px`;
    ghost.style.top = `${box.top - frame.top + pane.scrollTop}px`;
    ghost.style.width = `${right - left}px`;
    ghost.style.height = `${box.height}px`;
    ghost.textContent = held.run.pen;
    if (!window.board?.dragging) ghost.scrollIntoView({ block: "nearest", inline: "nearest" });
  };

  // ---- the rules, in the server's words ----
  const query = () => (held.swap !== null
    ? new URLSearchParams({ swap: held.swap })
    : new URLSearchParams({ place: held.run.places[held.place].key, first_day: iso(held.first), days: held.days }));

  const judge = async (mine) => {
    try {
      const answer = await fetch(`${base}stays/${held.id}/judge/?${query()}`, { headers: { Accept: "application/json" } });
      const verdict = await answer.json();
      if (mine !== asked || !held) return;
      held.holds = verdict.holds;
      ghost.classList.toggle("wrong-here", !verdict.holds);
      const changes = (verdict.changes || []).map((change) => ` ${change}.`).join("");
      fits.hidden = !verdict.fits;
      keeps.hidden = !fits.hidden;
      tell(`${verdict.said}${changes}`, verdict.holds, verdict.where ? `${verdict.where}. ` : "");
      if (held.keep) keep();
    } catch {
      if (mine === asked && held) tell(word("noAnswer"), false);
    }
  };

  const send = (path, fields = {}, fit = false) => {
    form.action = `${base}${path}`;
    form.elements.fit.disabled = !fit;
    for (const name of ["place", "first_day", "days", "swap"]) form.elements[name].value = fields[name] ?? "";
    form.requestSubmit();
  };

  const sendHeld = (fit) => send(held.swap !== null ? `stays/${held.id}/swap/` : `stays/${held.id}/`, Object.fromEntries(query()), fit);
  const keep = () => {
    if (!isChanged()) return putBack();
    held.keep = held.holds === null;
    if (held.holds) sendHeld(false);
    return undefined;
  };

  // ---- what can be done with it ----
  const shift = (days) => { held.first = Math.max(today, held.first + days); };
  const step = (by) => {
    const count = held.run.places.length;
    if (count) held.place = held.place < 0 ? (by > 0 ? 0 : count - 1) : (held.place + by + count) % count;
  };
  const partners = () => Object.entries(data.stays).filter(([, stay]) => stay.run !== held.stay.run && stay.key !== "off"
    && number(stay.first) < held.was.first + held.was.days && number(stay.first) + stay.days > held.was.first);

  const doings = {
    sooner: () => shift(-1),
    later: () => shift(1),
    shorter: () => { held.days = Math.max(1, held.days - 1); },
    longer: () => { held.days += 1; },
    up: () => step(-1),
    down: () => step(1),
  };

  const act = (name) => {
    if (!held) return;
    if (doings[name]) {
      held.swap = null;
      held.keep = false;
      doings[name]();
      show();
    } else if (name === "swap") {
      swap();
    } else if (name === "lock") {
      if (held.stay.pin) send(`locks/${held.stay.pin}/unlock/`);
      else if (held.place >= 0 && !isChanged()) sendHeld(false);
      else keep();
    } else if (name === "keep") {
      keep();
    } else if (name === "fit") {
      if (!fits.hidden) sendHeld(true);
    } else if (name === "back") {
      putBack();
    }
  };

  const swap = () => {
    const others = partners();
    if (!others.length || held.was.place < 0) return tell(word("noPartner"), false);
    const now = others.findIndex(([id]) => id === held.swap);
    Object.assign(held, held.was);
    const [id, other] = others[(now + 1) % others.length];
    held.swap = id;
    show();
    head.textContent = word("swap", { pen: held.run.pen, other: other.said });
    ghost.hidden = true;
    return undefined;
  };

  sheet.addEventListener("click", (event) => {
    const name = event.target.closest("[data-do]")?.dataset.do;
    if (name) act(name);
  });
  sheet.addEventListener("keydown", (event) => { if (event.key === "Escape") putBack(); });

  // ---- keyboard: one cell of the board is in the order of the page, arrows go on from it ----
  const cells = [...table.querySelectorAll("tbody td")];
  const inner = (cell) => cell.querySelector("a") || cell;
  const startOf = (cell) => {
    let column = 0;
    for (let before = cell.previousElementSibling; before?.tagName === "TD"; before = before.previousElementSibling) column += before.colSpan;
    return column;
  };
  let column = 0;
  const rove = (cell) => {
    for (const other of cells) inner(other).tabIndex = -1;
    inner(cell).tabIndex = 0;
  };
  const focusOn = (cell) => {
    rove(cell);
    inner(cell).focus({ preventScroll: false });
  };
  table.setAttribute("role", "grid");
  const linked = location.hash.startsWith("#stay-") && cellsOf(location.hash.slice(6))[0];
  const firstCell = linked || cells.find((cell) => cell.dataset.stay) || cells[0];
  if (firstCell) rove(firstCell);
  if (linked) focusOn(linked);

  const beside = (cell, key) => {
    if (key === "ArrowLeft" || key === "ArrowRight") {
      const next = key === "ArrowLeft" ? cell.previousElementSibling : cell.nextElementSibling;
      if (next?.tagName === "TD") column = startOf(next);
      return next?.tagName === "TD" ? next : null;
    }
    const rows = [...table.querySelectorAll("tbody tr")].filter((row) => row.querySelector("td"));
    const row = rows[rows.indexOf(cell.parentElement) + (key === "ArrowUp" ? -1 : 1)];
    return row ? [...row.querySelectorAll("td")].findLast((other) => startOf(other) <= column) : null;
  };

  const KEYS = {
    ArrowLeft: "sooner", ArrowRight: "later", ArrowUp: "up", ArrowDown: "down", "+": "longer", "=": "longer",
    "-": "shorter", l: "lock", L: "lock", s: "swap", S: "swap", f: "fit", F: "fit", Enter: "keep", Escape: "back",
  };
  table.addEventListener("keydown", (event) => {
    const cell = event.target.closest("td");
    if (!cell || event.ctrlKey || event.metaKey || event.altKey) return;
    if (held) {
      if (!KEYS[event.key]) return;
      event.preventDefault();
      act(KEYS[event.key]);
    } else if (event.key.startsWith("Arrow")) {
      const next = beside(cell, event.key);
      event.preventDefault();
      if (next) focusOn(next);
    } else if (cell.dataset.stay && ["Enter", " ", "l", "L", "s", "S"].includes(event.key)) {
      event.preventDefault();
      if (pickUp(cell.dataset.stay) && KEYS[event.key] && event.key !== "Enter") act(KEYS[event.key]);
    }
  });
  table.addEventListener("focusin", (event) => {
    const cell = event.target.closest("tbody td");
    if (cell) { rove(cell); if (!held) column = Math.max(column, startOf(cell)); }
  });

  // What board_drag.js goes on from.
  window.board = { data, table, pane, heads, boardStart, boardEnd, today, number, pickUp, show, keep, isChanged, hand: () => held };
})();
