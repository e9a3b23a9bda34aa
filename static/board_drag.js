// Stays of the plan's board moved by mouse and by finger; the rest of the board's behaviour is in board.js.
(() => {
  const { board } = window;
  if (!board) return;
  const { data, table, pane, heads, boardStart, boardEnd, today, number, pickUp, show, keep, isChanged, hand } = board;
  const HOLD_FOR = 400, EDGE = 12;

  // A mouse drags at once, a finger after it has rested, so that the board still scrolls ----
  let drag = null, dragged = false;
  const dayAt = (x) => {
    const over = heads.findIndex((one) => x < one.getBoundingClientRect().right);
    return boardStart + (over < 0 ? heads.length - 1 : over);
  };
  const atEnd = (cell, x) => {
    const stay = data.stays[cell.dataset.stay];
    const seen = stay && number(stay.first) + stay.days <= boardEnd && !cell.nextElementSibling?.matches(`[data-stay="${cell.dataset.stay}"]`);
    return Boolean(seen) && cell.getBoundingClientRect().right - x < EDGE;
  };
  const startDrag = () => {
    if (!pickUp(drag.id)) { drag = null; return; }
    drag.on = board.dragging = true;
    document.body.classList.add("dragging");
  };

  table.addEventListener("pointerdown", (event) => {
    const cell = event.target.closest("td[data-stay]");
    dragged = false;
    if (!cell || event.button || !event.isPrimary) return;
    const isMouse = event.pointerType === "mouse";
    drag = { id: cell.dataset.stay, x: event.clientX, y: event.clientY, day: dayAt(event.clientX), isMouse, end: isMouse && atEnd(cell, event.clientX), on: false, timer: 0 };
    if (!isMouse) drag.timer = setTimeout(() => { if (drag) { startDrag(); navigator.vibrate?.(20); } }, HOLD_FOR);
  });

  document.addEventListener("pointermove", (event) => {
    if (!drag) {
      const cell = event.pointerType === "mouse" && event.target.closest?.("td[data-stay]");
      table.classList.toggle("stretching", Boolean(cell) && atEnd(cell, event.clientX));
      return;
    }
    const far = Math.hypot(event.clientX - drag.x, event.clientY - drag.y);
    if (!drag.on && drag.isMouse && far > 5) startDrag();
    if (drag && !drag.on && !drag.isMouse && far > 10) { clearTimeout(drag.timer); drag = null; }
    if (drag?.on) dragTo(event.clientX, event.clientY);
  });

  const dragTo = (x, y) => {
    const days = dayAt(x) - drag.day;
    const before = [hand().place, hand().first, hand().days].join();
    if (drag.end) {
      hand().days = Math.max(1, hand().was.days + days);
    } else {
      hand().first = Math.max(today, hand().was.first + days);
      const row = document.elementFromPoint(x, y)?.closest("tr[data-bed]");
      const here = row ? hand().run.places.filter((place) => String(place.bed) === row.dataset.bed) : [];
      const place = here.find((one) => one.mark === row.dataset.mark) || here[0];
      if (place) hand().place = hand().run.places.indexOf(place);
    }
    if ([hand().place, hand().first, hand().days].join() !== before) show();
    const frame = pane.getBoundingClientRect();
    if (x > frame.right - 30) pane.scrollLeft += 12;
    if (x < frame.left + 130) pane.scrollLeft -= 12;
  };

  const drop = (event) => {
    if (!drag) return;
    clearTimeout(drag.timer);
    dragged = drag.on;
    drag = null;
    board.dragging = false;
    document.body.classList.remove("dragging");
    // Let go where it was, or taken away by the browser: it stays in hand, with the sheet to go on.
    if (dragged && hand() && event.type === "pointerup" && isChanged()) { hand().keep = true; if (hand().holds !== null) keep(); }
  };
  document.addEventListener("pointerup", drop);
  document.addEventListener("pointercancel", drop);
  table.addEventListener("touchmove", (event) => { if (drag?.on) event.preventDefault(); }, { passive: false });
  table.addEventListener("contextmenu", (event) => { if (drag && !drag.isMouse) event.preventDefault(); });
  table.addEventListener("dragstart", (event) => event.preventDefault());

  table.addEventListener("click", (event) => {
    const cell = event.target.closest("td[data-stay]");
    if (!cell || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    if (!dragged) pickUp(cell.dataset.stay);
    dragged = false;
  });
})();
