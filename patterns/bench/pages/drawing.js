// Three looks at a draft: all pieces at once, after a pause the visible sheet and what the book says,
// idle the small sheets. A newer change gives up what an older one still waits for.

import { get, picture, released, replace, show } from "./asking.js";

const AT_ONCE_MS = 120;
const PAUSE_MS = 350;
const AGAIN_MS = 150;

export class Drawing {
  constructor(desk, number, told) {
    this.desk = desk;
    this.number = number;
    this.told = told;
    this.turn = 0;
    this.page = 1;
    this.pages = [];
    this.gone = false;
  }

  at(id) {
    return this.desk.querySelector(`#${id}`);
  }

  stop() {
    this.gone = true;
    this.turn += 1;
  }

  changed() {
    this.turn += 1;
    this.busy(true);
    this.run(this.turn);
  }

  async run(turn) {
    await wait(AT_ONCE_MS);
    if (this.old(turn)) return;
    try {
      await this.pieces(turn);
      await wait(PAUSE_MS - AT_ONCE_MS);
      await this.sheet(turn);
      await this.findings(turn);
      await this.thumbs(turn);
    } catch (error) {
      if (!this.old(turn)) this.at("told").replaceChildren(line(error.message));
    }
    if (!this.old(turn)) this.busy(false);
  }

  busy(is) {
    this.desk.querySelector(".sheet").setAttribute("aria-busy", String(is));
  }

  old(turn) {
    return this.gone || turn !== this.turn || !this.desk.isConnected;
  }

  // Ask until it is answered, unless something newer is wished for here.
  async look(turn, want) {
    while (!this.old(turn)) {
      const answer = await get(`/books/${this.number}/look/${want}`);
      if (!answer.overtaken) return this.old(turn) ? null : answer;
      await wait(AGAIN_MS);
    }
    return null;
  }

  async pieces(turn) {
    const answer = await this.look(turn, "pieces");
    await released();
    if (!answer || this.old(turn)) return;
    const told = this.at("told");
    this.ready = Boolean(answer.svg);
    this.desk.classList.toggle("held", Boolean(answer.waiting || answer.cannot));
    if (answer.nothing) {
      told.replaceChildren(line("Choose under “What would hold” what is to be made; its pieces and sheets appear here."));
      for (const id of ["pieces", "shown", "turn"]) this.at(id).hidden = true;
      this.at("thumbs").replaceChildren();
    } else if (answer.waiting) {
      told.replaceChildren(line("A figure cannot stand as it is. The drawing waits for it."));
    } else if (answer.cannot) {
      replace(told, answer.html);
      this.told(answer.problems);
    } else {
      const img = this.at("pieces");
      img.alt = "All pieces side by side";
      show(img, new Blob([answer.svg], { type: "image/svg+xml" }));
      told.replaceChildren(
        ...answer.boxes.map((words) => line(words, "box")),
        ...warnings(answer.warnings),
      );
      this.told({});
      for (const one of this.desk.querySelectorAll("[data-came]")) {
        one.textContent = answer.settings[one.dataset.came] ?? "";
      }
    }
  }

  async sheet(turn) {
    if (!this.ready || this.old(turn)) return;
    const answer = await this.look(turn, "pages");
    if (!answer || !answer.pages) return;
    this.pages = answer.pages;
    this.page = Math.min(this.page, this.pages.length);
    await this.turnTo(this.page, turn);
  }

  async turnTo(page, turn = this.turn) {
    if (page < 1 || page > this.pages.length) return;
    this.page = page;
    const words = `Sheet ${page} of ${this.pages.length}: ${this.pages[page - 1].title}`;
    while (!this.old(turn)) {
      const answer = await picture(`/books/${this.number}/look/sheet?page=${page}`, this.at("sheet"));
      if (!answer.overtaken) break;
      await wait(AGAIN_MS);
    }
    if (this.old(turn)) return;
    this.at("sheet").alt = words;
    this.at("sheet-words").textContent = words;
    this.at("shown").hidden = this.at("turn").hidden = false;
    this.at("before").disabled = page === 1;
    this.at("after").disabled = page === this.pages.length;
    this.mark();
  }

  mark() {
    for (const one of this.desk.querySelectorAll("[data-page]")) {
      if (Number(one.dataset.page) === this.page) one.setAttribute("aria-current", "true");
      else one.removeAttribute("aria-current");
    }
  }

  async findings(turn) {
    const answer = await this.look(turn, "findings");
    await released();
    if (answer && answer.html && !this.old(turn)) replace(this.at("findings"), answer.html);
  }

  async thumbs(turn) {
    if (!this.ready || this.old(turn)) return;
    const list = this.at("thumbs");
    while (list.children.length > this.pages.length) list.lastElementChild.remove();
    for (const [place, page] of this.pages.entries()) {
      const item = list.children[place] || list.appendChild(thumb(place + 1));
      item.querySelector("span").textContent = `${place + 1} ${page.title}`;
    }
    this.mark();
    for (const item of [...list.children]) {
      const number = item.querySelector("button").dataset.page;
      while (!this.old(turn)) {
        const path = `/books/${this.number}/look/sheet?page=${number}`;
        if (!(await picture(path, item.querySelector("img"))).overtaken) break;
        await wait(AGAIN_MS);
      }
      if (this.old(turn)) return;
    }
  }
}

function thumb(page) {
  const item = document.createElement("li");
  const button = document.createElement("button");
  const img = document.createElement("img");
  img.alt = "";
  button.type = "button";
  button.dataset.page = page;
  button.append(img, document.createElement("span"));
  item.append(button);
  return item;
}

function warnings(lines) {
  if (!lines.length) return [];
  const held = document.createElement("details");
  const head = document.createElement("summary");
  head.textContent = lines.length === 1 ? "1 warning" : `${lines.length} warnings`;
  held.append(head, ...lines.map((words) => line(words)));
  return [held];
}

export function line(words, kind = "") {
  const one = document.createElement("p");
  one.textContent = words;
  if (kind) one.className = kind;
  return one;
}

export function wait(ms) {
  return new Promise((done) => setTimeout(done, ms));
}
