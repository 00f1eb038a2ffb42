// Before an examination: begin one, go on with one, or have recordings read after clinic.

import { $, ask, make, put } from "./dom.js";
import { Uploads } from "./uploads.js";

const PHASES = {
  consent: "not begun", ready: "not begun", listening: "not finished", paused: "not finished",
  asking: "questions open", to_sign: "to be signed", signed: "signed",
};

export async function showStart(start, open) {
  const list = make("section", { "aria-labelledby": "found-title" });
  const refresh = async () => {
    const found = await ask("/api/examinations");
    list.replaceChildren(make("h2", { id: "found-title" }, "Examinations on this machine"),
      found.length ? examinations(found, open) : make("p", {}, "There are none yet."));
  };
  const uploads = new Uploads(start, open, refresh);
  $("start").replaceChildren(
    make("h2", { class: "big" }, "Examination of an arm"),
    make("div", { class: "two" }, beginning(start, open), uploads.element),
    list,
    make("ul", { class: "cautions" }, ...start.cautions.map((text) => make("li", {}, text))),
  );
  await Promise.all([refresh(), uploads.refresh()]);
}

function beginning(start, open) {
  const protocol = make("select", { id: "protocol" });
  for (const { name, label } of start.protocols) protocol.append(make("option", { value: name }, label));
  protocol.value = start.protocol;
  const sides = make("fieldset", {}, make("legend", {}, "Side meant until one is spoken"));
  for (const [value, text] of [["none", "none"], ["right", "right"], ["left", "left"]]) {
    const radio = make("input", { type: "radio", name: "side", id: `side-${value}`, value });
    radio.checked = value === "none";
    sides.append(radio, make("label", { for: radio.id }, text));
  }
  const examiner = make("input", { id: "examiner", maxlength: 80, autocomplete: "off" });
  examiner.value = start.examiner;
  const problem = make("p", { class: "problem", role: "alert" });
  const form = make("form", { "aria-labelledby": "begin-title" },
    make("h2", { id: "begin-title" }, "Begin"),
    make("p", {}, make("label", { for: "protocol" }, "Protocol"), protocol),
    sides,
    make("p", {}, make("label", { for: "examiner" }, "Examiner (may be empty)"), examiner),
    problem,
    make("button", { class: "go" }, "Begin an examination"));
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const side = form.querySelector("input[name=side]:checked").value;
    const body = JSON.stringify({ protocol: protocol.value, side, examiner: examiner.value.trim() });
    const headers = { "Content-Type": "application/json" };
    try {
      const made = await ask("/api/examinations", { method: "POST", headers, body });
      open(made.exam);
    } catch (error) {
      put(problem, error.message);
    }
  });
  return form;
}

function examinations(found, open) {
  const body = make("tbody");
  for (const one of found) {
    const begun = new Date(one.created).toLocaleString([], { dateStyle: "medium", timeStyle: "short" });
    const button = make("button", { type: "button", onclick: () => open(one.exam) },
      one.phase === "signed" ? "Open" : "Go on");
    button.setAttribute("aria-label", `${button.textContent}: ${begun}, ${one.exam}`);
    body.append(make("tr", {},
      make("th", { scope: "row", class: "exam" }, begun, make("small", {}, one.exam)),
      make("td", {}, one.side === "none" ? "" : one.side),
      make("td", {}, one.examiner),
      make("td", {}, String(one.findings ?? "")),
      make("td", {}, String(one.open_questions ?? "")),
      make("td", {}, PHASES[one.phase]),
      make("td", {}, button)));
  }
  const names = ["Begun", "Side", "Examiner", "Findings", "Questions", "State", ""];
  const head = make("tr", {}, ...names.map((word) =>
    word ? make("th", { scope: "col" }, word) : make("td")));
  return make("table", {}, make("thead", {}, head), body);
}
