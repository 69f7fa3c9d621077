"use strict";
// Lists the books, 200 at a time; everything shown is set as text.
const data = JSON.parse(document.getElementById("data").textContent);
const AT_ONCE = 200;
const field = (id) => document.getElementById(id);
const body = field("list").tBodies[0];
let start = 0;
let found = [];

const [ID, STATE, NEED, VALUE, USE, WAY, FINDINGS, MISSING] = [0, 1, 2, 3, 4, 5, 6, 7];
const urgency = (book) => (book[VALUE] && book[USE] && book[NEED] ? book[NEED] * book[VALUE] * book[USE] : 0);

const fill = (select, words) => words.forEach((one, place) => select.add(new Option(one || "do nothing, tie or box", place)));
fill(field("finding"), data.findings);
fill(field("way"), data.ways);

const choose = () => {
  const words = field("words").value.trim().toLowerCase();
  const [need, finding, way] = ["class", "finding", "way"].map((id) => field(id).value);
  found = data.books.filter((book) =>
    (words === "" || book[ID].toLowerCase().includes(words)) &&
    (need === "" || book[NEED] === Number(need)) &&
    (finding === "" || book[FINDINGS].includes(Number(finding))) &&
    (way === "" || book[WAY] === Number(way)));
  if (field("order").value === "urgency") {
    found.sort((a, b) => urgency(b) - urgency(a) || b[NEED] - a[NEED]);
  }
  start = 0;
  show();
};

const show = () => {
  const rows = found.slice(start, start + AT_ONCE).map((book) => {
    const row = document.createElement("tr");
    const cells = [
      book[ID], data.states[book[STATE]], book[NEED] || "", book[VALUE] ?? "", book[USE] ?? "", urgency(book) || "",
      book[FINDINGS].map((one) => data.findings[one]).join("; "),
      book[WAY] < 0 ? "" : data.ways[book[WAY]] || "do nothing, tie or box", book[MISSING] || "",
    ];
    cells.forEach((words, place) => {
      const cell = document.createElement(place === 0 ? "th" : "td");
      if (place === 0) cell.scope = "row";
      if ([2, 3, 4, 5, 8].includes(place)) cell.className = "number";
      cell.textContent = words;
      row.append(cell);
    });
    return row;
  });
  body.replaceChildren(...rows);
  const last = Math.min(start + AT_ONCE, found.length);
  field("shown").textContent = found.length ? `${start + 1} to ${last} of ${found.length} books` : "no book";
  field("turn").hidden = found.length <= AT_ONCE;
  field("back").disabled = start === 0;
  field("next").disabled = last >= found.length;
};

field("filters").hidden = false;
field("filters").addEventListener("submit", (event) => event.preventDefault());
field("filters").addEventListener("input", choose);
field("back").addEventListener("click", () => { start -= AT_ONCE; show(); });
field("next").addEventListener("click", () => { start += AT_ONCE; show(); });
choose();
