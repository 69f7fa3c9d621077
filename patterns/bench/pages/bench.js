// The page: which view lies before you, and the way back to the one before.

import { get, hush, post, say, trying } from "./asking.js";
import { openDesk } from "./desk.js";
import { openGallery, openPattern } from "./gallery.js";
import { openPlan } from "./plan.js";

const main = document.getElementById("main");

// Each is given what tells whether it is still the view that is wished for, and returns how it is left.
const VIEWS = {
  shelf: (at, still) => openShelf(still),
  desk: (at, still) => openDesk(main, at.number, go, still),
  gallery: (at, still) => openGallery(main, {}, go, still),
  pattern: (at, still) => openPattern(main, at.number, go, still),
  plan: (at, still) => openPlan(main, still),
};

let leave = null;
let turn = 0;

async function show(at, focus = true) {
  turn += 1;
  const own = turn;
  const left = leave;
  leave = null;
  if (left) await left(); // what was typed is kept before anything else is asked
  if (own !== turn) return;
  const gone = await trying(() => VIEWS[at.view](at, () => own === turn));
  if (own !== turn) {
    if (gone) gone();
    return;
  }
  leave = gone || null;
  for (const one of document.querySelectorAll("[data-go]")) {
    const here = one.dataset.go === at.view;
    if (here) one.setAttribute("aria-current", "page");
    else one.removeAttribute("aria-current");
  }
  const active = document.activeElement;
  if (focus && (active === main || !main.contains(active))) {
    window.scrollTo(0, 0);
    main.focus({ preventScroll: true });
  }
}

function go(at) {
  hush();
  history.pushState(at, "", location.href);
  return show(at);
}

async function openShelf(still) {
  const held = await get("/books");
  if (!still()) return;
  main.innerHTML = held.html;
  main.querySelector("#new-book").addEventListener("click", () =>
    trying(async () => go({ view: "desk", number: (await post("/books")).number })),
  );
  for (const one of main.querySelectorAll("[data-book]")) {
    one.addEventListener("click", () => go({ view: "desk", number: Number(one.dataset.book) }));
  }
}

main.addEventListener("input", hush);
window.addEventListener("popstate", (event) => event.state && show(event.state));
for (const one of document.querySelectorAll("[data-go]")) {
  one.addEventListener("click", () => go({ view: one.dataset.go }));
}
document.getElementById("skip").addEventListener("click", () => main.focus());
document.getElementById("close").addEventListener("click", () =>
  trying(async () => {
    if (leave) await leave();
    leave = null;
    await post("/close");
    main.innerHTML = "<p class='wait'>The bench is closed. What was typed is kept. This page can be shut.</p>";
    say("Closed.");
  }),
);

const first = history.state && VIEWS[history.state.view] ? history.state : { view: "shelf" };
history.replaceState(first, "", location.href);
show(first, false);
