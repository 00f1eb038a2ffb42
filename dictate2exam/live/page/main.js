// Where the page begins: the start, or the examination that its address names; and the keyboard.

import { $, ask, put, tell } from "./dom.js";
import { Exam } from "./exam.js";
import { Settings } from "./settings.js";
import { showStart } from "./start_view.js";

const TYPED = "input:not([type=checkbox], [type=radio]), select, textarea";
const PRESSED = "button, a, summary, input, select";

let exam;

async function begin() {
  const start = await ask("/api/start");
  const settings = new Settings(start.orders);
  const named = new URLSearchParams(location.hash.slice(1)).get("exam");
  keyboard(settings);
  addEventListener("hashchange", () => location.reload());
  $("start").hidden = Boolean(named);
  if (named) exam = new Exam(start, await ask("/api/chart"), named, settings);
  else {
    document.body.dataset.view = "start";
    await showStart(start, (name) => {
      location.hash = new URLSearchParams({ exam: name });
    });
  }
}

function keyboard(settings) {
  document.addEventListener("click", ({ target }) => {
    const action = target.closest("[data-action]")?.dataset.action;
    if (action) exam?.act(action);
  });
  document.addEventListener("keydown", (event) => {
    const { key, target } = event;
    if (!exam || event.ctrlKey || event.altKey || event.metaKey || event.defaultPrevented) return;
    if (key === "Escape" && $("left").open) $("left").close();
    if (event.repeat || $("consent").open || target.matches(TYPED)) return;
    const presses = [" ", "Enter"].includes(key) && target.matches(PRESSED);
    if (presses && !settings.pedalled(key)) return; // a foot can't mean the button that was clicked
    const action = settings.action(key);
    if (!action) return;
    event.preventDefault();
    exam.act(action);
  });
}

begin().catch((error) => {
  put($("title"), "The page could not begin");
  tell(`${error.message} Start the program again and open the address that it prints.`);
});
