// One question at a time, large, in the order of handling the book: the same form, with the rest put away.

import { get, picture } from "./asking.js";

const GATES = {
  "cover.front": "Does the front board differ from what you gave?",
  "cover.back": "Does the back board differ from what you gave?",
  album: "Is it an album, its leaves on stubs or guards?",
  "sewing.fold": "Is there an irregular gathering?",
  union: "Is there a join between two parts to tell of?",
};

export class Measuring {
  constructor(root, desk) {
    this.root = root;
    this.desk = desk;
    this.place = 0;
    this.passed = new Set();
  }

  get on() {
    return document.body.classList.contains("measuring");
  }

  at(id) {
    return this.root.querySelector(`#${id}`);
  }

  // Every question: the fields in their order, before some groups whether they are asked at all.
  steps() {
    const found = [];
    for (const group of this.root.querySelectorAll(".group")) {
      const rows = [...group.querySelectorAll("[data-name]")];
      const table = group.dataset.table;
      const held = rows.some((row) => row.querySelector("input, select").value.trim());
      if (GATES[table] && !held) found.push({ gate: table, group });
      if (!GATES[table] || held || this.passed.has(table)) {
        found.push(...rows.map((row) => ({ row, group })));
      }
    }
    return found;
  }

  begin() {
    document.body.classList.add("measuring");
    for (const group of this.root.querySelectorAll(".group")) group.open = true;
    const steps = this.steps();
    const first = steps.findIndex((one) => one.row && !one.row.querySelector("input, select").value.trim());
    this.at("steps").hidden = this.at("asked").hidden = false;
    this.at("measuring").textContent = "Back to the desk";
    this.show(Math.max(first, 0));
  }

  end() {
    document.body.classList.remove("measuring");
    for (const one of this.root.querySelectorAll(".now")) one.classList.remove("now");
    this.at("steps").hidden = this.at("asked").hidden = true;
    this.at("measuring").textContent = "Measure, one by one";
    this.at("measuring").focus();
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
    this.at("not").textContent = step.gate ? "No" : "Not measured";
    this.at("next").textContent = step.gate ? "Yes" : "Next";
    this.at("back").disabled = this.place === 0;
    this.at("where-words").textContent = `Question ${this.place + 1} of ${steps.length}`;
    this.at("where").hidden = true;
    if (step.gate) {
      gate.textContent = GATES[step.gate];
      this.at("next").focus();
      return undefined;
    }
    step.row.classList.add("now");
    const input = step.row.querySelector("input, select");
    input.focus();
    if (input.select) input.select();
    return this.where(step.row.dataset.name);
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
    const input = step.row?.querySelector("input, select");
    if (input && input.value) {
      input.value = "";
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
    if (event.key === "Enter" && event.target.closest("[data-name]")) {
      event.preventDefault();
      this.next();
    }
    if (event.key === "Escape") this.end();
  }
}
