// One row of the form: the words that stand in it, one figure or up to three readings of it.

import { replace } from "./asking.js";

const INPUTS = ".entry input, .entry select";

export function inputs(row) {
  return [...row.querySelectorAll(INPUTS)];
}

export function first(row) {
  return row.querySelector(INPUTS);
}

// What the record keeps: one figure as it was typed, several with semicolons between.
export function words(row) {
  const said = inputs(row).map((one) => one.value.trim());
  const filled = said.filter(Boolean);
  return filled.length > 1 ? filled.join("; ") : filled[0] || "";
}

export function empty(row) {
  for (const one of inputs(row)) one.value = "";
}

// A figure is read once more: the next place is opened, and each is named from then on.
export function again(row) {
  const next = [...row.querySelectorAll(".reading")].find((one) => one.hidden);
  if (!next) return;
  next.hidden = false;
  row.querySelector("[data-first]").hidden = false;
  row.classList.add("several");
  row.querySelector("[data-again]").hidden = !row.querySelector(".reading[hidden]");
  next.querySelector("input").focus();
}

// As the page came: which rows hold several readings already.
export function begin(root) {
  for (const row of root.querySelectorAll("[data-name]")) {
    const button = row.querySelector("[data-again]");
    if (!button) continue;
    row.classList.toggle("several", Boolean(row.querySelector(".reading:not([hidden])")));
    button.hidden = !row.querySelector(".reading[hidden]");
  }
}

// A group of rows as the bench has it now. Fields that stay are left in their place, and so is what is being typed.
export function renew(group, now, typing) {
  const named = (of) => new Map([...of.querySelectorAll("[data-name]")].map((row) => [row.dataset.name, row]));
  const anew = named(now);
  const before = named(group);
  if ([...before.keys()].join() !== [...anew.keys()].join()) {
    keeping(group, (row) => typing(row.dataset.name), () => replace(group, now.innerHTML));
    begin(group);
    return;
  }
  for (const [name, row] of before) {
    const next = anew.get(name);
    if (!typing(name) && words(row) !== words(next)) put(row, next);
    row.querySelector(".why").replaceChildren(...next.querySelector(".why").childNodes);
  }
}

// What is being typed stays in its row while new words are put around it.
export function keeping(place, typing, work) {
  const rows = () => [...place.querySelectorAll("[data-name], [data-setting]")];
  const name = (row) => row.dataset.name || row.dataset.setting;
  const typed = new Map(rows().filter(typing).map((row) => [name(row), inputs(row).map((one) => one.value)]));
  work();
  for (const row of rows()) {
    for (const [at, said] of (typed.get(name(row)) || []).entries()) inputs(row)[at].value = said;
  }
}

function put(row, next) {
  const own = inputs(row);
  for (const [place, one] of inputs(next).entries()) {
    const said = one.value;
    if (own[place].options) own[place].replaceChildren(...one.children);
    own[place].value = said;
  }
  const places = [...next.querySelectorAll(".reading, [data-first]")];
  for (const [place, one] of [...row.querySelectorAll(".reading, [data-first]")].entries()) one.hidden = places[place].hidden;
  begin(row.parentElement);
}

export function mark(row, lines) {
  row.classList.toggle("wrong", lines.length > 0);
  for (const one of inputs(row)) {
    if (lines.length) one.setAttribute("aria-invalid", "true");
    else one.removeAttribute("aria-invalid");
  }
  items(row.querySelector(".problems"), lines);
}

export function items(list, lines) {
  const now = [...list.children].map((one) => one.textContent);
  if (now.length === lines.length && now.every((said, place) => said === lines[place])) return;
  list.replaceChildren(
    ...lines.map((said) => {
      const item = document.createElement("li");
      item.textContent = said;
      return item;
    }),
  );
}
