// One row of the form: the words that stand in it, one figure or up to three readings of it.

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
