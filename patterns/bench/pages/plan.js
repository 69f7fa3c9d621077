// The cutting plan: what is to be cut, what there is, and how the one is laid out on the other.

import { get, paper, post, replace, say, show, trying, working } from "./asking.js";

export async function openPlan(main, still) {
  const held = await get("/plan");
  if (!still()) return;
  main.innerHTML = held.html;
  begin(main);
}

function begin(main) {
  const at = (id) => main.querySelector(`#${id}`);
  at("stock-form").addEventListener("change", () => fitting(main));
  fitting(main);
  at("stock").addEventListener("submit", (event) => {
    event.preventDefault();
    trying(() => changed(main, "/plan/stock", Object.fromEntries(new FormData(at("stock")))));
  });
  for (const one of main.querySelectorAll("[data-gone]")) {
    one.addEventListener("click", () => trying(() => changed(main, `/plan/stock/${one.dataset.gone}/gone`)));
  }
  at("lay").addEventListener("submit", (event) => {
    event.preventDefault();
    trying(() => lay(main));
  });
}

// A roll has no grain to choose, a skin neither; only a sheet can be an offcut.
function fitting(main) {
  const form = main.querySelector("#stock-form").value;
  for (const one of main.querySelectorAll("[data-of]")) one.hidden = !one.dataset.of.split(" ").includes(form);
}

async function changed(main, path, body = {}) {
  const taken = [...main.querySelectorAll("[name=pattern]:checked")].map((one) => one.id);
  const answer = await post(path, body);
  replace(main, answer.html);
  for (const id of taken) if (main.querySelector(`#${id}`)) main.querySelector(`#${id}`).checked = true;
  begin(main);
  say(answer.said);
}

async function lay(main) {
  const form = new FormData(main.querySelector("#lay"));
  const { cuts, gap, margin } = Object.fromEntries(form);
  const button = main.querySelector("#lay-out");
  const place = main.querySelector("#planned");
  button.disabled = true; // one plan at a time
  working("The pieces are being laid out.");
  const asked = { patterns: form.getAll("pattern").map(Number), cuts, gap, margin };
  const answer = await post("/plan", asked).finally(() => (button.disabled = false));
  if (!place.isConnected) return; // somebody went on to something else
  place.innerHTML = answer.html;
  for (const [number, img] of [...place.querySelectorAll(".pages img")].entries()) {
    show(img, new Blob([answer.pages[number]], { type: "image/svg+xml" }));
  }
  say("Laid out.");
  place.querySelector("#planned-head").focus();
  place.querySelector("#plan-print").addEventListener("click", () => trying(() => paper("/plan/print", "Open the plan")));
  place.querySelector("#plan-cut").addEventListener("click", () => trying(() => changed(main, "/plan/cut")));
}
