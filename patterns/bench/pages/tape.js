// The paper strip over the desk: the parts of the book in the order of handling it, a tick for each figure,
// then what holds, its settings and the sheets. One part lies open at a time.

import { words } from "./rows.js";

export class Tape {
  constructor(root) {
    this.root = root;
    this.show(root.dataset.stop, false);
  }

  get stops() {
    return [...this.root.querySelectorAll(".tape [data-stop]")];
  }

  get here() {
    return this.root.dataset.stop;
  }

  show(name, focus = true) {
    this.root.dataset.stop = name;
    for (const part of this.root.querySelectorAll("[data-part]")) part.hidden = part.dataset.part !== name;
    for (const stop of this.stops) {
      if (stop.dataset.stop === name) stop.setAttribute("aria-current", "step");
      else stop.removeAttribute("aria-current");
    }
    const after = this.after();
    const on = this.root.querySelector("#on");
    on.hidden = !after;
    if (after) on.querySelector("span").textContent = after.querySelector(".name").textContent;
    if (focus) this.reach(name);
  }

  // The next key goes into what lies open now; the strip stays in sight above it.
  reach(name) {
    const inside = { says: ".says", settings: "[data-part=settings]", sheets: ".sheet" };
    const part = this.root.querySelector(inside[name] || "#form");
    part.focus({ preventScroll: true });
    const tape = this.root.querySelector(".tape").getBoundingClientRect();
    const top = part.getBoundingClientRect().top;
    if (top < tape.bottom || top > window.innerHeight) part.scrollIntoView();
  }

  after() {
    const { stops } = this;
    const place = stops.findIndex((one) => one.dataset.stop === this.here);
    return stops.slice(place + 1).find((one) => one.offsetParent !== null || one.dataset.stop !== "sheets") || null;
  }

  // Open the part in which a row or anything else stands.
  open(inside) {
    this.show(inside.closest("[data-part]").dataset.part, false);
    const group = inside.closest("details.group");
    if (group) group.open = true;
  }

  // A tick for each figure, a long one where it is measured; what must be mended is counted first.
  counts(state) {
    for (const stop of this.stops) {
      const rows = [...this.root.querySelectorAll(`[data-part="${stop.dataset.stop}"] [data-name]`)];
      if (rows.length) ticked(stop, rows);
    }
    const said = (name, line) => {
      this.root.querySelector(`#stop-${name} .count`).textContent = line;
    };
    const chosen = state.structures.length;
    said("says", chosen ? `${chosen} chosen` : "none chosen");
    said("settings", chosen ? `${state.changed} changed` : "");
  }
}

function ticked(stop, rows) {
  const ticks = stop.querySelector(".marks");
  while (ticks.children.length > rows.length) ticks.lastElementChild.remove();
  while (ticks.children.length < rows.length) ticks.append(document.createElement("i"));
  let held = 0;
  let wrong = 0;
  for (const [place, row] of rows.entries()) {
    const measured = Boolean(words(row));
    const bad = row.classList.contains("wrong");
    ticks.children[place].className = bad ? "bad" : measured ? "on" : "";
    held += measured;
    wrong += bad;
  }
  stop.classList.toggle("wrong", wrong > 0);
  stop.querySelector(".count").textContent = wrong ? `${wrong} to mend` : `${held} of ${rows.length}`;
}
