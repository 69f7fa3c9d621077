// Asking the bench: every request bears this start's word, which came in the address after the #.

const word = location.hash.slice(1);

export class Refused extends Error {
  constructor(words, problems, status) {
    super(words);
    this.problems = problems || [];
    this.status = status;
  }
}

async function ask(path, more) {
  let answer;
  try {
    answer = await fetch(path, { ...more, headers: { "X-Bench-Token": word, ...(more.headers || {}) } });
  } catch {
    throw new Refused("The bench does not answer. Was it closed? Start it again: mendfold bench", [], 0);
  }
  if (answer.ok) return answer;
  const held = await answer.json().catch(() => ({}));
  throw new Refused(held.refused || `not answered (${answer.status})`, held.problems, answer.status);
}

export async function get(path) {
  return (await ask(path, {})).json();
}

// What is sent while the page is being left goes out all the same.
export async function post(path, body = {}, leaving = false) {
  const more = {
    method: "POST",
    body: JSON.stringify(body),
    keepalive: leaving,
    headers: { "Content-Type": "application/json" },
  };
  return (await ask(path, more)).json();
}

export async function put(path, file) {
  const more = {
    method: "POST",
    body: await file.arrayBuffer(),
    headers: { "Content-Type": "application/octet-stream" },
  };
  return (await ask(path, more)).json();
}

// A picture is fetched with the word and shown from memory: an address alone shows nothing.
export async function picture(path, img) {
  const answer = await ask(path, {});
  if (!answer.headers.get("Content-Type").startsWith("image/")) return answer.json();
  show(img, await answer.blob());
  return {};
}

export function show(img, blob) {
  const old = img.src;
  img.src = URL.createObjectURL(blob);
  img.hidden = false;
  if (old.startsWith("blob:")) URL.revokeObjectURL(old);
}

export function pictures(within) {
  const waiting = [...within.querySelectorAll("img[data-from]")];
  const next = async () => {
    const img = waiting.shift();
    if (!img || !img.isConnected) return;
    await picture(img.dataset.from, img).catch(() => img.remove());
    await next();
  };
  next();
  next();
}

const said = document.getElementById("said");
let quiet;

export function say(words, link, name) {
  clearTimeout(quiet);
  quiet = 0;
  said.replaceChildren(words);
  if (link) {
    const a = document.createElement("a");
    a.href = link;
    a.textContent = name;
    a.target = "_blank";
    a.rel = "noopener";
    a.className = "button";
    a.addEventListener("click", () => setTimeout(() => a.remove(), 100));
    said.append(" ", a);
    a.focus();
  } else {
    quiet = setTimeout(hush, 12000);
  }
}

// What was said is read by whoever goes on: it lies over nothing any longer. What can still be opened stays.
export function hush() {
  if (quiet && !said.querySelector("a")) said.replaceChildren();
}

const MOMENT = "One moment: all sheets are being drawn.";

// What takes longer than a blink says at once that it was begun.
export function working(words = MOMENT) {
  clearTimeout(quiet);
  quiet = 0;
  said.replaceChildren(words);
}

// Run what a person asked for; what is refused is said, never lost.
export async function trying(work) {
  try {
    return await work();
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    say(error.message);
    return null;
  }
}

let held = Promise.resolve();

// Until what is pressed is let go: nothing is taken from under a finger, else its press would go to nobody.
export function released() {
  return held;
}

function holding(begins, ends, is) {
  document.addEventListener(
    begins,
    (event) => {
      if (!is(event)) return;
      held = new Promise((done) => {
        const end = () => setTimeout(done); // the press itself comes first
        for (const one of ends) document.addEventListener(one, end, { once: true, capture: true });
        window.addEventListener("blur", end, { once: true }); // let go where nobody tells us
      });
    },
    true,
  );
}

holding("pointerdown", ["pointerup", "pointercancel"], () => true);
holding("keydown", ["keyup"], (event) => event.key === " " && event.target.closest("button, summary, input[type=checkbox]"));

// Put new words in place and leave the focus, and what was opened, where they were.
export function replace(place, html) {
  const active = place.contains(document.activeElement) ? document.activeElement : null;
  const focused = active?.id;
  const at = active && active.selectionStart !== null ? [active.selectionStart, active.selectionEnd] : [];
  const open = [...place.querySelectorAll("details[open]")].map((one) => one.id);
  const shut = [...place.querySelectorAll("details:not([open])")].map((one) => one.id);
  place.innerHTML = html;
  for (const id of open) if (id && place.querySelector(`#${id}`)) place.querySelector(`#${id}`).open = true;
  for (const id of shut) if (id && place.querySelector(`#${id}`)) place.querySelector(`#${id}`).open = false;
  const now = focused && document.getElementById(focused);
  if (!now) return;
  now.focus({ preventScroll: true });
  if (Number.isInteger(at[0]) && now.selectionStart !== null) now.setSelectionRange(...at);
}

// A link that works once opens in a window of its own; where the browser lets none open, it is shown.
export async function paper(path, name) {
  const tab = window.open("about:blank", "_blank");
  if (tab) tab.document.body.textContent = MOMENT;
  working();
  try {
    const made = await post(path);
    if (tab) {
      tab.location.href = made.link;
      say(made.said);
    } else {
      say(made.said, made.link, name);
    }
  } catch (error) {
    if (tab) tab.close();
    throw error;
  }
}

export async function file(path) {
  working();
  const made = await post(path);
  const a = document.createElement("a");
  a.href = made.link;
  a.download = "";
  document.body.append(a);
  a.click();
  a.remove();
  say(made.said);
}
