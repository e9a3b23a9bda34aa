// Beds moved on the map by mouse, finger and keyboard. The typed fields below it stay the truth and are what is sent.
(() => {
  const form = document.querySelector("[data-bed-map]");
  if (!form) return;
  const word = pageWords("map");
  const map = form.querySelector("svg.map-edit");
  const perM = Number(map.dataset.perM), x0 = Number(map.dataset.x0), y0 = Number(map.dataset.y0);
  const said = document.getElementById("said");
  const FOOT = 0.3048, SNAP = 0.1, FAR = 2000;

  const field = (side, id) => form.elements[`${side}_${id}`];
  // What a field says, in metres; a text that is not a plain length leaves the bed where it is.
  const metres = (text, otherwise) => {
    const found = /^\s*(-?[\d.,]+)\s*(m|cm|mm|ft|in|')?\s*$/.exec(text.replace("−", "-"));
    if (!found) return otherwise;
    const unit = { m: 1, cm: 0.01, mm: 0.001, ft: FOOT, "'": FOOT, in: FOOT / 12 }[found[2] || plain];
    return Number(found[1].replace(",", ".")) * unit;
  };
  const beds = [...map.querySelectorAll("[data-bed]")];
  const plain = form.elements[`x_m_${beds[0].dataset.bed}`].value.includes("ft") ? "ft" : "m";
  const written = (m) => (plain === "ft" ? `${(m / FOOT).toFixed(1)} ft` : `${m.toFixed(2).replace(/\.?0+$/, "")} m`).replace(".", decimalMark);

  for (const group of beds) {
    const id = group.dataset.bed, rect = group.querySelector("rect");
    const bed = { x: 0, y: 0, turn: 0, homeX: Number(rect.getAttribute("x")), homeY: Number(rect.getAttribute("y")) };
    group.bed = bed;
    const read = () => {
      bed.x = metres(field("x_m", id).value, (bed.homeX - x0) / perM);
      bed.y = metres(field("y_m", id).value, (bed.homeY - y0) / perM);
      bed.turn = Number(field("turned_deg", id).value.replace(",", ".").replace("−", "-")) || 0;
    };
    const draw = () => {
      const dx = x0 + bed.x * perM - bed.homeX, dy = y0 + bed.y * perM - bed.homeY;
      const middle = [bed.homeX + Number(group.dataset.w) / 2, bed.homeY + Number(group.dataset.h) / 2];
      group.setAttribute("transform", `translate(${dx} ${dy}) rotate(${bed.turn} ${middle.join(" ")})`);
      group.setAttribute("aria-label", word("bed", { bed: group.dataset.name, x: written(bed.x), y: written(bed.y), turn: bed.turn }));
    };
    bed.put = (x, y, turn) => {
      bed.x = Math.min(FAR, Math.max(0, x));
      bed.y = Math.min(FAR, Math.max(0, y));
      bed.turn = Math.min(45, Math.max(-45, turn));
      field("x_m", id).value = written(bed.x);
      field("y_m", id).value = written(bed.y);
      field("turned_deg", id).value = String(bed.turn);
      draw();
    };
    group.setAttribute("tabindex", "0");
    group.setAttribute("role", "button");
    group.setAttribute("aria-describedby", "map-how");
    for (const side of ["x_m", "y_m", "turned_deg"]) field(side, id).addEventListener("input", () => { read(); draw(); });
    read();
    draw();
  }
  for (const hint of form.querySelectorAll("[data-with-script]")) hint.hidden = false;

  const KEYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  map.addEventListener("keydown", (event) => {
    const group = event.target.closest("[data-bed]");
    if (!group || event.ctrlKey || event.metaKey || event.altKey) return;
    const step = KEYS[event.key], { bed } = group;
    const turn = { "[": -5, "]": 5 }[event.key];
    if (!step && !turn) return;
    event.preventDefault();
    const far = event.shiftKey ? 1 : SNAP;
    const near = (value) => Math.round(value * 100) / 100;
    if (step) bed.put(near(bed.x + step[0] * far), near(bed.y + step[1] * far), bed.turn);
    else bed.put(bed.x, bed.y, bed.turn + turn);
    said.textContent = group.getAttribute("aria-label");
  });

  // Mouse and finger: the drawing does not scroll under a bed, only beside it.
  let drag = null;
  const at = (event) => {
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(map.getScreenCTM().inverse());
    return [point.x / perM, point.y / perM];
  };
  map.addEventListener("pointerdown", (event) => {
    const group = event.target.closest("[data-bed]");
    if (!group || event.button || !event.isPrimary) return;
    const [x, y] = at(event);
    drag = { group, x: group.bed.x - x, y: group.bed.y - y };
    group.setPointerCapture(event.pointerId);
    group.classList.add("held-now");
  });
  map.addEventListener("pointermove", (event) => {
    if (!drag) return;
    const [x, y] = at(event), snap = (value) => Math.round(value / SNAP) * SNAP;
    drag.group.bed.put(snap(x + drag.x), snap(y + drag.y), drag.group.bed.turn);
  });
  const drop = () => {
    if (!drag) return;
    drag.group.classList.remove("held-now");
    said.textContent = drag.group.getAttribute("aria-label");
    drag = null;
  };
  map.addEventListener("pointerup", drop);
  map.addEventListener("pointercancel", drop);
})();
