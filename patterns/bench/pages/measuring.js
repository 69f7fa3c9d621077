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

const MORE = {
  "sewing.fold": "Is there another irregular gathering?",
  union: "Is there another join to tell of?",
};
const BOARDS = ["board_thickness", "board_weight", "joint", "joint_gap", "joint_over", "spine_strip"];
const SIDES = ["side_width", "side_height"];
const NOT_OF = { limp: BOARDS, "in-boards": SIDES, case: SIDES, "wooden boards": SIDES };
const MOST_PICKS = 8;
const LATER = {
  cleaned: "Read again, the spine cleaned.",
  sewn: "Read over the sewn lining.",
};

export class Measuring {
  constructor(root, desk) {
    this.root = root;
    this.desk = desk;
    this.step = null; // what is asked now
    this.passed = new Set();
    this.visit = "first";
    this.ahead = null; // keys typed while an answer is awaited
    this.before = new Map(); // what stood in each field when a later visit began
  }

  get later() {
    return this.visit !== "first";
  }

  get on() {
    return document.body.classList.contains("measuring");
  }

  at(id) {
    return this.root.querySelector(`#${id}`);
  }

  // Every question of this visit: the fields in their order, before some groups whether they are asked at all.
  steps() {
    const found = [];
    for (const group of this.root.querySelectorAll(".group")) {
      const rows = [...group.querySelectorAll("[data-name]")];
      const { table } = group.dataset;
      if (this.later) {
        found.push(...rows.filter((row) => this.asked(row)).map((row) => ({ row, group })));
        continue;
      }
      const begun = rows.some(words);
      if (GATES[table] && !begun) found.push({ gate: GATES[table], table, group });
      if (GATES[table] && !begun && !this.passed.has(table)) continue;
      found.push(...rows.filter((row) => this.asked(row)).map((row) => ({ row, group })));
      if (MORE[table] && rows.length) found.push({ gate: MORE[table], table, group, more: true });
    }
    return found;
  }

  // What belongs to another visit is not asked, nor what this kind of cover cannot have; all stands on the desk.
  asked(row) {
    if (!row.dataset.visits.split(" ").includes(this.visit)) return false;
    if (this.later || words(row)) return true;
    const [table, ...rest] = row.dataset.name.split(".");
    if (table !== "cover") return true;
    const kind = this.root.querySelector("[data-name='cover.kind'] select").value;
    return !(NOT_OF[kind] || []).includes(rest.at(-1));
  }

  toggle(visit) {
    return this.on ? this.end() : this.begin(visit);
  }

  // Where it was left; at first behind the last answer, or where an answer is missing.
  begin(visit) {
    if (visit !== this.visit) this.step = null;
    this.visit = visit;
    this.before = new Map([...this.root.querySelectorAll("[data-name]")].map((row) => [row.dataset.name, words(row)]));
    this.open();
    const steps = this.steps();
    if (this.later) return this.show(0);
    const next = steps.findLastIndex((one) => one.row && words(one.row)) + 1;
    const missing = steps.findIndex((one) => one.row && !words(one.row));
    return this.show(this.step ? this.place(steps) : next < steps.length ? next : Math.max(missing, 0));
  }

  open() {
    document.body.classList.add("measuring");
    for (const part of this.root.querySelectorAll("#form [data-part]")) part.hidden = false;
    for (const group of this.root.querySelectorAll("details.group")) group.open = true;
    this.at("steps").hidden = this.at("asked").hidden = false;
    this.at("measuring").textContent = "Back to the desk";
  }

  // A block more was put on the form: its first question.
  goOn(table) {
    this.passed.add(table);
    this.open();
    const block = this.root.querySelector(`[data-table="${table}"] fieldset:last-of-type`);
    this.show(this.steps().findIndex((one) => one.row && block.contains(one.row)));
  }

  end() {
    document.body.classList.remove("measuring");
    this.tidy();
    this.at("steps").hidden = this.at("asked").hidden = this.at("pass").hidden = true;
    this.at("measuring").textContent = "Measure, one by one";
    this.desk.tape.show(this.desk.tape.here, false);
    this.at("measuring").focus();
    if (this.later) this.told();
  }

  told() {
    const rows = [...this.root.querySelectorAll("[data-name]")];
    const changed = rows.filter((row) => words(row) !== this.before.get(row.dataset.name)).length;
    say(changed === 1 ? "1 figure is another than before." : `${changed} figures are others than before.`);
  }

  was(row) {
    const before = this.before.get(row.dataset.name);
    const unit = row.querySelector(".unit")?.textContent || "";
    this.at("was").textContent = `${LATER[this.visit]} ${before ? `Before: ${before} ${unit}`.trim() : "Not measured before."}`;
  }

  tidy() {
    for (const one of this.root.querySelectorAll(".now")) one.classList.remove("now");
    for (const one of this.root.querySelectorAll(".picks")) one.remove();
  }

  show(place) {
    const steps = this.steps();
    if (place >= steps.length) {
      this.step = null;
      return this.end();
    }
    this.tidy();
    const step = steps[Math.max(place, 0)];
    this.step = step;
    step.group.classList.add("now");
    const gate = this.at("gate");
    gate.hidden = !step.gate;
    this.at("not").textContent = step.gate ? "Yes" : this.later ? "As before" : "Not measured";
    this.at("next").textContent = step.gate ? "No, go on" : "Next";
    this.at("back").disabled = place <= 0;
    const part = steps.filter((one) => one.group === step.group && one.row);
    const title = step.group.querySelector("h2").textContent;
    const named = title[0].toUpperCase() + title.slice(1);
    this.at("where-words").textContent = step.gate ? named : `${named}: ${part.indexOf(step) + 1} of ${part.length}`;
    this.at("pass").hidden = !step.row || part.indexOf(step) > part.length - 3;
    this.at("pass").textContent = `Pass over the rest of “${title}”`;
    this.at("where").hidden = true;
    this.at("was").hidden = !this.later;
    if (this.later) this.was(step.row);
    window.scrollTo(0, 0);
    if (step.gate) {
      gate.textContent = step.gate;
      this.at("next").focus();
      return undefined;
    }
    step.row.classList.add("now");
    const input = first(step.row);
    if (input.options) this.picks(step.row, input);
    else input.enterKeyHint = "next";
    input.focus();
    if (input.select) input.select();
    return this.where(step.row.dataset.name);
  }

  // What can be chosen lies open, large enough for a wet hand; the keys of the list itself serve as well.
  picks(row, select) {
    const options = [...select.options].filter((one) => one.value);
    if (options.length > MOST_PICKS) return;
    const picks = document.createElement("div");
    picks.className = "picks";
    for (const one of options) {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = one.text;
      button.setAttribute("aria-pressed", String(one.selected));
      button.addEventListener("click", (event) => {
        event.stopPropagation();
        select.value = one.value;
        this.desk.typed(select);
        this.next();
      });
      picks.append(button);
    }
    row.querySelector(".entry").after(picks);
  }

  async where(name) {
    const here = this.step;
    const path = `/where/${name.replace(/\[\d+\]/, "")}`;
    const known = await get(`${path}/known`).catch(() => ({}));
    if (!known.title || here !== this.step) return;
    await picture(path, this.at("where"));
    this.at("where").alt = `${known.title}: the black mark shows where it is read`;
    this.at("where-words").textContent += ` · ${known.title}`;
  }

  // Where the present question stands among all: an answer may bring others before it, or take some away.
  place(steps = this.steps()) {
    const { row, gate } = this.step;
    return Math.max(steps.findIndex((one) => (row ? one.row?.dataset.name === row.dataset.name : one.gate === gate)), 0);
  }

  async next(keys = []) {
    if (this.ahead) return this.ahead.push("Enter");
    const { row, gate, more, table } = this.step;
    if (gate) {
      if (!more) this.passed.delete(table);
      this.show(this.place() + 1);
      return this.typeOn(keys);
    }
    this.ahead = keys;
    await this.desk.turns.sent();
    this.ahead = null;
    if (!this.on) return undefined;
    if (row.classList.contains("wrong") && row !== this.warned) {
      this.warned = row; // it is told once; a second Enter goes on and leaves it as it is
      return undefined;
    }
    this.show(this.place() + 1);
    return this.typeOn(keys);
  }

  // What was typed ahead of the page goes to the questions that it was meant for.
  typeOn(keys) {
    if (!keys.length || !this.on) return undefined;
    const end = keys.indexOf("Enter");
    const said = (end < 0 ? keys : keys.slice(0, end)).join("");
    const input = this.step.row && first(this.step.row);
    if (said && input && !input.options) {
      input.value = said;
      this.desk.typed(input);
    }
    return end < 0 ? undefined : this.next(keys.slice(end + 1));
  }

  async not() {
    if (this.step.gate) return this.yes();
    const { row } = this.step;
    const before = (this.later && this.before.get(row.dataset.name)) || "";
    if (words(row) !== before) {
      empty(row);
      first(row).value = before;
      this.desk.typed(first(row));
    }
    return this.show(this.place() + 1);
  }

  yes() {
    const { more, table, group } = this.step;
    if (more || !group.querySelector("[data-name]")) return this.desk.another(table);
    this.passed.add(table);
    return this.show(this.place() + 1);
  }

  pass() {
    const { group } = this.step;
    return this.show(this.steps().findLastIndex((one) => one.group === group && one.row) + 1);
  }

  pressed(id) {
    if (id === "next") return this.next();
    if (id === "not") return this.not();
    if (id === "pass") return this.pass();
    if (id === "back") return this.show(this.place() - 1);
    return undefined;
  }

  key(event) {
    if (!this.on || event.isComposing) return;
    if (this.ahead && !event.ctrlKey && !event.metaKey && !event.altKey && (event.key.length === 1 || event.key === "Enter")) {
      event.preventDefault();
      this.ahead.push(event.key);
      return;
    }
    if (event.key === "Enter" && event.target.closest("[data-name]") && event.target.localName !== "button") {
      event.preventDefault();
      this.next();
    }
    if (event.key === "Escape") this.end();
  }
}
