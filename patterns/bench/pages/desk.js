// One book on the desk: what is typed is kept at once, its problems stand beside it, the drawing follows.

import { file, get, paper, post, put, released, replace, say, trying, working } from "./asking.js";
import { Drawing, line } from "./drawing.js";
import { Measuring } from "./measuring.js";
import { again, begin, first, items, keeping, mark, renew, words } from "./rows.js";
import { Tape } from "./tape.js";
import { Turns } from "./turns.js";

const NARROW = window.matchMedia("(max-width: 75rem)");

export async function openDesk(main, number, go, still) {
  const held = await get(`/books/${number}`);
  if (!still()) return null;
  main.innerHTML = held.html;
  const desk = new Desk(main, number, go);
  desk.stands(held);
  await desk.settings();
  desk.drawing.changed();
  return () => desk.leave();
}

class Desk {
  constructor(main, number, go) {
    this.main = main;
    this.number = number;
    this.go = go;
    this.path = `/books/${number}`;
    this.turns = new Turns(this.path, (kind, body) => this.change(kind, body));
    this.visit = Date.now();
    this.kinds = { field: {}, setting: {} };
    this.root = main.querySelector(".desk");
    this.drawing = new Drawing(this.root, this.number, (problems) => this.beside("setting", problems));
    this.measuring = new Measuring(this.root, this);
    this.tape = new Tape(this.root);
    begin(this.root);
    this.off = new AbortController();
    this.listen();
  }

  leave() {
    this.drawing.stop();
    this.off.abort();
    document.body.classList.remove("measuring");
    return this.turns.sent();
  }

  listen() {
    const on = (kind, work) => this.main.addEventListener(kind, work, { signal: this.off.signal });
    window.addEventListener("pagehide", () => this.turns.flush(), { signal: this.off.signal });
    on("focusin", () => (this.visit += 1));
    on("input", (event) => this.typed(event.target));
    on("change", (event) => this.settled(event.target));
    on("submit", (event) => event.preventDefault());
    on("click", (event) => {
      const button = event.target.closest("button");
      if (button) trying(() => this.pressed(button));
    });
    on("keydown", (event) => this.key(event));
  }

  // From anywhere in the book: Esc to its buttons, Ctrl+S saves.
  key(event) {
    if ((event.ctrlKey || event.metaKey) && event.key === "s") {
      event.preventDefault();
      this.turns.hurry();
      this.turns.next(() => this.save());
    } else if (event.key === "Escape" && !this.measuring.on) {
      this.root.querySelector(".deeds button:not(:disabled)").focus();
    } else {
      this.measuring.key(event);
    }
  }

  typed(input) {
    const row = input.closest("[data-name], [data-setting]");
    if (!row || input.type === "file" || input.type === "checkbox") return;
    const [kind, name] = row.dataset.name ? ["field", row.dataset.name] : ["setting", row.dataset.setting];
    const said = kind === "field" ? words(row) : input.value;
    this.turns.typed(kind, { name, words: said, visit: String(this.visit) });
  }

  settled(input) {
    if (input.id === "figures") this.turns.next(() => this.read(input.value));
    if (input.id === "paper") this.turns.next(() => this.change("paper", { paper: input.value }));
    if (input.dataset.take) this.turns.next(() => this.take());
    if (input.type === "file") this.turns.next(() => this.trace(input));
  }

  async change(kind, body) {
    const answer = await post(`${this.path}/${kind}`, body);
    this.stands(answer);
    if (answer.settings !== undefined) await this.put("#settings", answer.settings);
    this.drawing.changed();
  }

  async put(place, html) {
    await released();
    const part = this.root.querySelector(place);
    keeping(part, (row) => this.turns.typing("setting", row.dataset.setting), () => replace(part, html));
  }

  stands(state) {
    this.beside("field", state.problems);
    const at = (id) => this.root.querySelector(`#${id}`);
    if (!state.undo && document.activeElement === at("undo")) at("save").focus();
    at("undo").disabled = !state.undo;
    at("title").textContent = state.title || "A new book";
    at("stand").textContent = state.unsaved ? "Kept as a draft, not saved yet" : state.begun ? "Saved" : "Nothing written yet";
    for (const id of ["print", "keep", "export"]) at(id).disabled = !state.structures.length;
    for (const row of this.root.querySelectorAll("[data-name]")) {
      row.querySelector("[data-read]").textContent = state.read[row.dataset.name] || "";
    }
    this.tape.counts(state);
  }

  // Each problem stands beside its field; what is of no one field stands above them all.
  beside(kind, problems) {
    this.kinds[kind] = problems || {};
    const all = new Map();
    for (const part of Object.values(this.kinds)) {
      for (const [name, lines] of Object.entries(part)) all.set(name, [...(all.get(name) || []), ...lines]);
    }
    for (const row of this.root.querySelectorAll("[data-name], [data-setting]")) {
      const lines = all.get(row.dataset.name || row.dataset.setting) || [];
      all.delete(row.dataset.name || row.dataset.setting);
      mark(row, lines);
    }
    const others = [...all].flatMap(([name, lines]) => lines.map((words) => `${name} ${words}`.trim()));
    items(this.root.querySelector("#p-none"), others);
  }

  async read(how) {
    const { said } = await post(`/figures/${how}`);
    await this.again(await get(this.path));
    await this.settings();
    say(said);
  }

  async settings() {
    await this.put("#settings", (await get(`${this.path}/settings`)).html);
    const near = await get(`${this.path}/similar`).catch(() => ({ html: "" }));
    await this.put("#similar", near.html);
  }

  async take() {
    const taken = [...this.root.querySelectorAll("[data-take]:checked")].map((one) => one.dataset.take);
    await this.change("structures", { names: taken.join("+"), settings: "" });
  }

  async trace(input) {
    const name = input.closest("[data-setting]").dataset.setting;
    const suffix = input.files[0].name.toLowerCase().endsWith(".dxf") ? "dxf" : "svg";
    this.stands(await put(`${this.path}/file/${suffix}/${name}`, input.files[0]));
    say("The tracing is put in.");
    this.drawing.changed();
  }

  async pressed(button) {
    const { id, dataset } = button;
    if (dataset.again !== undefined) return again(button.closest("[data-name]")); // typed into at once
    this.turns.hurry();
    if (dataset.choose !== undefined) return this.turns.next(() => this.choose(dataset));
    if (id === "undo") return this.turns.next(async () => this.undone(await post(`${this.path}/undo`)));
    if (id === "save") return this.turns.next(() => this.save());
    await this.turns.sent();
    if (dataset.more) await this.another(dataset.more);
    else if (dataset.right) await this.right(dataset.right.split(" "));
    else if (dataset.field) this.goTo(dataset.field);
    else if (dataset.page) await this.drawing.turnTo(Number(dataset.page));
    else if (dataset.pattern) await this.go({ view: "pattern", number: Number(dataset.pattern) });
    else if (dataset.stop) this.tape.show(dataset.stop);
    else if (id === "print") await this.tried("Not printed", () => paper(`${this.path}/print`, "Open the PDF"));
    else if (id === "keep") await this.tried("Not kept", () => this.keep());
    else if (id === "export") await this.tried("Not exported", () => file(`${this.path}/export`));
    else if (id === "before") await this.drawing.turnTo(this.drawing.page - 1);
    else if (id === "after") await this.drawing.turnTo(this.drawing.page + 1);
    else if (id === "larger") this.larger(button);
    else if (id === "measuring") this.measuring.toggle(this.root.querySelector("#visit").value);
    else if (id === "on") this.tape.show(this.tape.after().dataset.stop);
    else if (id === "whole") this.whole(button);
    else this.measuring.pressed(id);
    return undefined;
  }

  // What looked odd was measured again and found right: it is asked no more.
  async right(names) {
    const input = first(this.root.querySelector('[data-name="measuring.checked"]'));
    const held = input.value.split(/[\s,]+/).filter(Boolean);
    input.value = [...new Set([...held, ...names])].join(" ");
    this.visit += 1;
    this.typed(input);
    await this.turns.sent();
    say("It is asked no more; the record says which readings you measured again.");
  }

  async choose({ choose, with: settings }) {
    await this.change("structures", { names: choose, settings: choose && settings });
    if (choose && NARROW.matches) say("Chosen. Pieces and sheets stand under “Sheets”.");
  }

  async keep() {
    working();
    say((await post(`${this.path}/keep`)).said);
  }

  another(table) {
    return this.turns.next(async () => {
      await this.again(await post(`${this.path}/block`, { table }));
      if (this.measuring.on) return this.measuring.goOn(table);
      const block = this.root.querySelector(`[data-table="${table}"] fieldset:last-of-type`);
      this.tape.open(block);
      return block.querySelector("input, select").focus();
    });
  }

  async undone(answer) {
    await this.again(answer);
    await this.put("#settings", answer.settings);
    say(answer.undone ? `Taken back: ${spoken(answer.undone)}.` : "There is nothing to take back.");
  }

  save() {
    return this.tried("Not saved", async () => {
      const answer = await post(`${this.path}/save`);
      this.stands(answer);
      say(answer.said);
    });
  }

  // What is wanting is named as it is called on the desk, and the first of it lies open.
  async tried(not, work) {
    try {
      await work();
    } catch (error) {
      const wrong = (error.problems || []).filter((one) => one.field);
      if (!wrong.length) throw error;
      this.goTo(wrong[0].field.split("|")[0]);
      say(`${not}: ${wanting(wrong)}`);
    }
  }

  larger(button) {
    const large = this.root.querySelector("#shown").classList.toggle("large");
    button.setAttribute("aria-pressed", String(large));
  }

  // The desk as the book stands now. What stays is left in its place, so that no press and no key is lost.
  async again(answer) {
    await released();
    const now = document.createElement("template");
    now.innerHTML = answer.html;
    for (const group of this.root.querySelectorAll(".group")) {
      renew(group, now.content.querySelector(`#${group.id}`), (name) => this.turns.typing("field", name));
    }
    const [paper, next] = [this.root, now.content].map((one) => one.querySelector("#paper"));
    if (paper.value !== next.value) paper.replaceChildren(...next.children);
    this.stands(answer);
    this.drawing.changed();
  }

  whole(button) {
    const shown = button.closest(".tape").classList.toggle("whole");
    button.setAttribute("aria-pressed", String(shown));
  }

  goTo(name) {
    const row = this.root.querySelector(`[data-name="${CSS.escape(name)}"]`) || this.root.querySelector(`[data-name^="${CSS.escape(name.split(".")[0])}"]`);
    if (!row) return;
    this.tape.open(row);
    first(row).focus();
  }
}

const MOST_NAMED = 4;

function wanting(problems) {
  const [first] = problems;
  const missing = problems.filter((one) => one.missing);
  const more = problems.length - 1;
  if (!missing.length) return `${spoken(first.field)} ${first.words}${more ? `; and ${more} more` : ""}`;
  const names = missing.slice(0, MOST_NAMED).map((one) => spoken(one.field));
  const rest = missing.length - names.length;
  return `still to be measured: ${names.join(", ")}${rest ? ` and ${rest} more` : ""}.`;
}

function spoken(name) {
  return name.replaceAll("union[", "join [").replaceAll("|", " or ").replaceAll("_", " ").replaceAll(".", ": ");
}

export { line };
