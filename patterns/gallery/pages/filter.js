// Filters and orders the cards; without it every card simply stands there.
"use strict";
document.addEventListener("DOMContentLoaded", () => {
  const form = document.getElementById("filters");
  const list = document.getElementById("cards");
  const shown = document.getElementById("shown");
  const field = (id) => document.getElementById(id);
  const plain = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
  const cards = Array.from(list.children, (card) => ({
    card,
    words: plain(card.dataset.words),
    structures: card.dataset.structures.split("\n"),
    materials: card.dataset.materials.split("\n"),
    height: card.dataset.height === "" ? null : Number(card.dataset.height),
  }));

  const wanted = () => {
    const words = plain(field("words").value).split(/\s+/).filter(Boolean);
    const structure = field("structure").value;
    const material = field("material").value;
    const least = field("least").value;
    const most = field("most").value;
    return (one) =>
      words.every((word) => one.words.includes(word)) &&
      (structure === "" || one.structures.includes(structure)) &&
      (material === "" || one.materials.includes(material)) &&
      (least === "" || (one.height !== null && one.height >= Number(least))) &&
      (most === "" || (one.height !== null && one.height <= Number(most)));
  };

  const show = () => {
    const fits = wanted();
    let count = 0;
    for (const one of cards) {
      const fit = fits(one);
      one.card.hidden = !fit;
      count += fit ? 1 : 0;
    }
    shown.textContent = `${count} of ${cards.length} shown`;
  };

  const order = () => {
    const key = field("order").value;
    const compare = {
      name: () => 0,
      date: (a, b) => (a.card.dataset.date < b.card.dataset.date ? 1 : -1) * (a.card.dataset.date !== b.card.dataset.date),
      height: (a, b) => (a.height ?? Infinity) - (b.height ?? Infinity) || 0,
    }[key];
    const byName = (a, b) => (a.card.dataset.name < b.card.dataset.name ? -1 : 1);
    list.append(...[...cards].sort((a, b) => compare(a, b) || byName(a, b)).map((one) => one.card));
  };

  form.hidden = false;
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("input", show);
  field("order").addEventListener("change", order);
  form.addEventListener("reset", () => setTimeout(() => { show(); order(); }));
  show();
});
