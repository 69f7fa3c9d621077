// Past patterns: pictures first, one pattern, its treatment, and its use for another book.

import { file, get, paper, pictures, post, put, replace, say, trying } from "./asking.js";

const SEEKING_MS = 250;
const TYPING_MS = 300;

export async function openGallery(main, asked, go, still) {
  let timer;
  const show = async (wanted) => {
    const found = await get(`/gallery?${new URLSearchParams(wanted)}`);
    if (!still()) return;
    replace(main, found.html);
    pictures(main);
    for (const one of main.querySelectorAll("[data-pattern]")) {
      one.addEventListener("click", () => go({ view: "pattern", number: Number(one.dataset.pattern) }));
    }
    main.querySelector("#to-plan").addEventListener("click", () => go({ view: "plan" }));
    const seek = main.querySelector("#seek");
    if (!seek) return;
    const again = () => trying(() => show(Object.fromEntries(new FormData(seek))));
    seek.addEventListener("submit", (event) => event.preventDefault());
    seek.addEventListener("input", () => {
      clearTimeout(timer);
      timer = setTimeout(again, SEEKING_MS);
    });
  };
  await show(asked);
  return () => clearTimeout(timer);
}

export async function openPattern(main, number, go, still) {
  const path = `/gallery/${number}`;
  const held = await get(path);
  if (!still()) return;
  main.innerHTML = held.html;
  pictures(main);
  const on = (id, work) => main.querySelector(`#${id}`)?.addEventListener("click", () => trying(work));
  on("p-print", () => paper(`${path}/print`, "Open the PDF"));
  const told = new Treatment(main, path);
  on("p-report", async () => {
    if (told.changed) await told.keep();
    await paper(`${path}/report`, "Open the report");
  });
  on("p-export", () => file(`${path}/export`));
  on("p-treat", () => told.open());
  on("p-compare", () => compare(main, path));
  const use = async (book) => {
    const { said } = await post(`${path}/use/${book}`);
    await go({ view: "desk", number: book });
    say(said);
  };
  on("p-use", () => use(Number(main.querySelector("#p-use").dataset.use)));
  on("p-other", () => use(Number(main.querySelector("#book").value)));
  for (const one of main.querySelectorAll("[data-pattern]")) {
    one.addEventListener("click", () => go({ view: "pattern", number: Number(one.dataset.pattern) }));
  }
  return () => told.leave();
}

// Two revisions side by side: the last two at first, then whichever are chosen.
async function compare(main, path, chosen = {}) {
  const place = main.querySelector("#compared");
  replace(place, (await get(`${path}/compared?${new URLSearchParams(chosen)}`)).html);
  pictures(place);
  main.querySelector("#p-compare").setAttribute("aria-expanded", "true");
  const form = place.querySelector("form");
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("change", () =>
    trying(() => compare(main, path, Object.fromEntries(new FormData(form)))),
  );
}

// The treatment as it is filled in: each tick and word is held as a draft at once, until it is kept with the pattern.
class Treatment {
  constructor(main, path) {
    this.place = main.querySelector("#treatment");
    this.path = `${path}/treatment`;
    this.files = `${path}/file`;
    this.timer = 0;
    this.last = Promise.resolve();
    this.changed = false;
    this.off = new AbortController();
    window.addEventListener("pagehide", () => this.flush(), { signal: this.off.signal });
  }

  get form() {
    return this.place.querySelector("form");
  }

  async open() {
    if (!this.form) await this.show();
    this.form.querySelector("input:not([type=hidden])").focus();
  }

  // As it is kept, with a row more wherever one can be added.
  async show() {
    replace(this.place, (await get(this.path)).html);
    const { form } = this;
    this.changed = form.querySelector("#t-stand").textContent !== "";
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      trying(() => this.keep());
    });
    form.addEventListener("input", (event) => event.target.type !== "file" && this.later());
    for (const one of form.querySelectorAll("[data-done]")) {
      one.addEventListener("click", () => {
        tick(form, one);
        this.later();
      });
    }
    for (const one of form.querySelectorAll("[data-when]")) {
      one.addEventListener("change", () => trying(() => this.photograph(one)));
    }
  }

  async photograph(input) {
    await this.sent();
    await post(this.path, filled(this.form));
    const { said } = await put(`${this.files}/${input.dataset.when}`, input.files[0]);
    await this.show();
    say(said);
  }

  later() {
    this.changed = true;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.hold(), TYPING_MS);
  }

  hold() {
    this.timer = 0;
    const typed = filled(this.form);
    this.last = this.last.then(() =>
      trying(async () => {
        await post(`${this.path}/draft`, typed);
        this.form.querySelector("#t-stand").textContent = "Held here as a draft, not kept with the pattern yet.";
      }),
    );
  }

  async sent() {
    clearTimeout(this.timer);
    if (this.timer) this.hold();
    await this.last;
  }

  async keep() {
    await this.sent();
    const { said } = await post(this.path, filled(this.form));
    await this.show();
    say(said);
  }

  flush() {
    if (this.timer) post(`${this.path}/draft`, filled(this.form), true).catch(() => {});
  }

  leave() {
    this.off.abort();
    return this.sent();
  }
}

// A step that is done bears the day and the initials; ticked once more, it is open again.
function tick(form, button) {
  const cell = (key) => form.querySelector(`[data-table=step][data-row="${button.dataset.done}"][data-key=${key}]`);
  const done = button.getAttribute("aria-pressed") !== "true";
  button.setAttribute("aria-pressed", String(done));
  const now = new Date();
  const two = (figure) => String(figure).padStart(2, "0");
  const day = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  cell("done").value = done ? cell("done").value || day : "";
  if (done && !cell("by").value) cell("by").value = form.querySelector("[data-table=treatment][data-key=by]").value;
}

function filled(form) {
  const found = { seen: form.dataset.seen };
  for (const one of form.querySelectorAll("[data-table]")) {
    const { table, row, key } = one.dataset;
    if (table === "treatment") (found.treatment ||= {})[key] = one.value;
    else ((found[table] ||= [])[Number(row)] ||= {})[key] = one.value;
  }
  return found;
}
