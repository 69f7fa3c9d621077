// One book on the desk: what is typed is kept at once, its problems stand beside it, the drawing follows.

import { file, get, paper, post, put, replace, say, trying, working } from "./asking.js";
import { Drawing, line } from "./drawing.js";
import { Measuring } from "./measuring.js";
import { again, begin, first, items, mark, words } from "./rows.js";
import { Tape } from "./tape.js";

const TYPING_MS = 120;
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
    this.timers = new Map();
    this.sending = Promise.resolve();
    this.visit = 0;
    this.kinds = { field: {}, setting: {} };
    this.begin();
    this.off = new AbortController();
    this.listen();
  }

  begin() {
    this.root = this.main.querySelector(".desk");
    if (this.drawing) this.drawing.stop();
    this.drawing = new Drawing(this.root, this.number, (problems) => this.beside("setting", problems));
    this.measuring = new Measuring(this.root, this);
    this.tape = new Tape(this.root);
    begin(this.root);
  }

  leave() {
    for (const name of [...this.timers.keys()]) this.send(name);
    this.drawing.stop();
    this.off.abort();
    document.body.classList.remove("measuring");
  }

  listen() {
    const on = (kind, work) => this.main.addEventListener(kind, work, { signal: this.off.signal });
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
      trying(async () => {
        await this.sent();
        await this.save();
      });
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
    const key = `${kind} ${name}`;
    clearTimeout(this.timers.get(key)?.timer);
    const said = kind === "field" ? words(row) : input.value;
    const body = { name, words: said, visit: String(this.visit) };
    this.timers.set(key, { body, kind, timer: setTimeout(() => this.send(key), TYPING_MS) });
  }

  settled(input) {
    if (input.id === "figures") trying(() => this.read(input.value));
    if (input.id === "paper") trying(() => this.change("paper", { paper: input.value }));
    if (input.dataset.take) trying(() => this.take());
    if (input.type === "file") trying(() => this.trace(input));
  }

  // What is typed goes in the order in which it was typed.
  send(key) {
    const waiting = this.timers.get(key);
    if (!waiting) return this.sending;
    clearTimeout(waiting.timer);
    this.timers.delete(key);
    this.sending = this.sending.then(() => trying(() => this.change(waiting.kind, waiting.body)));
    return this.sending;
  }

  async sent() {
    for (const key of [...this.timers.keys()]) this.send(key);
    await this.sending;
  }

  async change(kind, body) {
    const answer = await post(`${this.path}/${kind}`, body);
    this.stands(answer);
    if (answer.settings !== undefined) replace(this.root.querySelector("#settings"), answer.settings);
    this.drawing.changed();
  }

  stands(state) {
    this.beside("field", state.problems);
    const at = (id) => this.root.querySelector(`#${id}`);
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
    this.again(await get(this.path));
    say(said);
  }

  async settings() {
    replace(this.root.querySelector("#settings"), (await get(`${this.path}/settings`)).html);
    const near = await get(`${this.path}/similar`).catch(() => ({ html: "" }));
    replace(this.root.querySelector("#similar"), near.html);
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
    await this.sent();
    if (dataset.choose !== undefined) await this.choose(dataset);
    else if (dataset.right) await this.right(dataset.right.split(" "));
    else if (dataset.field) this.goTo(dataset.field);
    else if (dataset.page) await this.drawing.turnTo(Number(dataset.page));
    else if (dataset.pattern) await this.go({ view: "pattern", number: Number(dataset.pattern) });
    else if (dataset.stop) this.tape.show(dataset.stop);
    else if (dataset.more) await this.another(dataset.more);
    else if (id === "undo") this.again(await post(`${this.path}/undo`));
    else if (id === "save") await this.save();
    else if (id === "print") await paper(`${this.path}/print`, "Open the PDF");
    else if (id === "keep") await this.keep();
    else if (id === "export") await file(`${this.path}/export`);
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
    await this.sent();
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

  async another(table) {
    const measuring = this.measuring.on;
    this.again(await post(`${this.path}/block`, { table }), table);
    if (measuring) this.measuring.goOn(table);
  }

  async save() {
    try {
      const answer = await post(`${this.path}/save`);
      this.stands(answer);
      say(answer.said);
    } catch (error) {
      const wrong = (error.problems || []).find((one) => one.field);
      if (!wrong) throw error;
      this.goTo(wrong.field);
      const more = error.problems.length - 1;
      say(`Not saved: ${spoken(wrong.field)} ${wrong.words}${more ? `; and ${more} more` : ""}`);
    }
  }

  larger(button) {
    const large = this.root.querySelector("#shown").classList.toggle("large");
    button.setAttribute("aria-pressed", String(large));
  }

  // The whole desk anew: what was open stays open, and the sheet that was looked at.
  again(answer, table = "") {
    const { page } = this.drawing;
    const open = [...this.root.querySelectorAll("details.group")].map((one) => [one.id, one.open]);
    const stop = this.tape.here;
    const focused = document.activeElement.id;
    this.main.innerHTML = answer.html;
    this.begin();
    this.drawing.page = page;
    for (const [id, is] of open) this.root.querySelector(`#${id}`).open = is;
    this.tape.show(stop, false);
    this.stands(answer);
    if (table) {
      const group = this.root.querySelector(`[data-table="${table}"]`);
      this.tape.open(group.querySelector("fieldset"));
      group.querySelector("fieldset:last-of-type input, fieldset:last-of-type select").focus();
    } else {
      this.root.querySelector(`#${focused}`)?.focus();
      if (answer.undone !== undefined) say(answer.undone ? `Taken back: ${spoken(answer.undone)}.` : "There is nothing to take back.");
    }
    trying(() => this.settings());
    this.drawing.changed();
    return answer;
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

function spoken(name) {
  return name.replaceAll("_", " ").replaceAll(".", ": ");
}

export { line };
