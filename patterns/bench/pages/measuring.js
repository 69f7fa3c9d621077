// One question at a time, large, in the order of handling the book: the same form, with the rest put away.

import { get, picture, say } from "./asking.js";
import { empty, first, words } from "./rows.js";

const GATES = {
  "cover.front": "Does the front board differ from what you gave?",
  "cover.back": "Does the back board differ from what you gave?",
  album: "Is it an album, its leaves on stubs or guards?",
  "sewing.fold": "Is there an irregular gathering?",
  union: "Is there a join between two parts to tell of?",
};

const LATER = {
  cleaned: "Read again, the spine cleaned.",
  sewn: "Read over the sewn lining.",
};

export class Measuring {
  constructor(root, desk) {
    this.root = root;
    this.desk = desk;
    this.place = 0;
    this.visit = "first";
    this.passed = new Set();
    this.before = new Map();
  }

  get on() {
    return document.body.classList.contains("measuring");
  }

  get later() {
    return this.visit !== "first";
  }

  at(id) {
    return this.root.querySelector(`#${id}`);
  }

  // Every question of this visit: the fields in their order, before some groups whether they are asked at all.
  steps() {
    const found = [];
    for (const group of this.root.querySelectorAll(".group")) {
      const all = [...group.querySelectorAll("[data-name]")];
      const rows = all.filter((row) => row.dataset.visits.split(" ").includes(this.visit));
      const table = group.dataset.table;
      const held = all.some((row) => words(row));
      if (!this.later && GATES[table] && !held) found.push({ gate: table, group });
      if (!GATES[table] || held || this.passed.has(table)) {
        found.push(...rows.map((row) => ({ row, group })));
      }
    }
    return found;
  }

  turn(visit) {
    if (this.on) this.end();
    else this.begin(visit);
  }

  begin(visit) {
    this.visit = visit;
    this.before = new Map([...this.root.querySelectorAll("[data-name]")].map((row) => [row.dataset.name, words(row)]));
    document.body.classList.add("measuring");
    for (const part of this.root.querySelectorAll("#form [data-part]")) part.hidden = false;
    for (const group of this.root.querySelectorAll("details.group")) group.open = true;
    const steps = this.steps();
    const open = steps.findIndex((one) => one.row && !words(one.row));
    this.at("steps").hidden = this.at("asked").hidden = false;
    this.at("measuring").textContent = "Back to the desk";
    this.show(this.later ? 0 : Math.max(open, 0));
  }

  end() {
    const changed = [...this.before].filter(([name, was]) => this.said(name) !== was).length;
    document.body.classList.remove("measuring");
    for (const one of this.root.querySelectorAll(".now")) one.classList.remove("now");
    this.at("steps").hidden = this.at("asked").hidden = true;
    this.at("measuring").textContent = "Measure, one by one";
    this.desk.tape.show(this.desk.tape.here, false);
    this.at("measuring").focus();
    if (this.later) say(changed === 1 ? "1 figure is another than before." : `${changed} figures are others than before.`);
  }

  said(name) {
    const row = this.root.querySelector(`[data-name="${CSS.escape(name)}"]`);
    return row ? words(row) : "";
  }

  show(place) {
    const steps = this.steps();
    if (place >= steps.length) return this.end();
    this.place = Math.max(place, 0);
    for (const one of this.root.querySelectorAll(".now")) one.classList.remove("now");
    const step = steps[this.place];
    step.group.classList.add("now");
    const gate = this.at("gate");
    gate.hidden = !step.gate;
    this.at("not").textContent = step.gate ? "No" : this.later ? "As before" : "Not measured";
    this.at("next").textContent = step.gate ? "Yes" : "Next";
    this.at("back").disabled = this.place === 0;
    this.at("where-words").textContent = `Question ${this.place + 1} of ${steps.length}`;
    this.at("where").hidden = this.at("was").hidden = true;
    if (step.gate) {
      gate.textContent = GATES[step.gate];
      this.at("next").focus();
      return undefined;
    }
    step.row.classList.add("now");
    if (this.later) this.was(step.row);
    const input = first(step.row);
    input.focus();
    if (input.select) input.select();
    return this.where(step.row.dataset.name);
  }

  was(row) {
    const before = this.before.get(row.dataset.name);
    const unit = row.querySelector(".unit")?.textContent || "";
    this.at("was").textContent = `${LATER[this.visit]} ${before ? `Before: ${before} ${unit}`.trim() : "Not measured before."}`;
    this.at("was").hidden = false;
  }

  async where(name) {
    const here = this.place;
    const path = `/where/${name.replace(/\[\d+\]/, "")}`;
    const known = await get(`${path}/known`).catch(() => ({}));
    if (!known.title || here !== this.place) return;
    await picture(path, this.at("where"));
    this.at("where").alt = `${known.title}: the black mark shows where it is read`;
    this.at("where-words").textContent += ` · ${known.title}`;
  }

  async next() {
    const step = this.steps()[this.place];
    if (step.gate) {
      this.passed.add(step.gate);
      const empty = !step.group.querySelector("[data-name]");
      if (empty) {
        step.group.querySelector("[data-more]").click();
        return this.end();
      }
    }
    await this.desk.sent();
    const wrong = step.row && step.row.classList.contains("wrong");
    if (wrong && step.row !== this.told) {
      this.told = step.row; // it is told once; a second Enter goes on and leaves it as it is
      return undefined;
    }
    return this.show(this.place + 1);
  }

  not() {
    const step = this.steps()[this.place];
    if (step.gate) this.passed.delete(step.gate);
    const before = this.later ? this.before.get(step.row.dataset.name) : "";
    if (step.row && words(step.row) !== before) {
      const input = first(step.row);
      empty(step.row);
      input.value = before;
      this.desk.typed(input);
    }
    this.show(this.place + 1);
  }

  pressed(id) {
    if (id === "next") return this.next();
    if (id === "not") return this.not();
    if (id === "back") return this.show(this.place - 1);
    return undefined;
  }

  key(event) {
    if (!this.on || event.isComposing) return;
    if (event.key === "Enter" && event.target.closest("[data-name]") && !event.target.closest("button")) {
      event.preventDefault();
      this.next();
    }
    if (event.key === "Escape") this.end();
  }
}
