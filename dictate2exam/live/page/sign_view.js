// The end: sign, then the report.

import { $, make, put } from "./dom.js";

export function showSign(tools, questions, chart) {
  const view = $("sign");
  if (view.querySelector("form")) {
    put(view.querySelector(".summary"), summary(questions, chart));
    return;
  }
  const by = make("input", { id: "signer", maxlength: 80, required: true, autocomplete: "off" });
  by.value = tools.examiner;
  const button = make("button", { class: "go" }, "Sign and locate");
  const act = make("div", {},
    make("h2", { tabindex: "-1" }, "Read the findings against your own examination, then sign"),
    make("p", { class: "summary" }, summary(questions, chart)),
    make("p", {}, make("label", { for: "signer" }, "Your name"), by),
    make("p", {}, button,
      make("button", { type: "button", onclick: tools.list }, "The words behind each"),
      make("button", { type: "button", onclick: tools.goOn }, "Go on examining")));
  const cautions = make("ul", { class: "cautions" }, ...(chart?.cautions ?? []).map((text) => make("li", {}, text)));
  const form = make("form", { class: "two" }, act, cautions);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    button.disabled = true;
    put(button, "Signing and locating…");
    tools.sign(by.value.trim());
  });
  view.replaceChildren(form);
  form.querySelector("h2").focus();
}

/** After a refusal the form can be used again. */
export function resetSign() {
  $("sign").replaceChildren();
}

function summary(questions, chart) {
  const found = chart?.rows.length ?? 0;
  const open = questions.open.length;
  const rest = open ? `${open} questions that may stay open` : "no open question";
  return `${found} items with findings, ${rest}, ${questions.gaps} not examined.`;
}

export function showSigned(exam, report, say) {
  const frame = make("iframe", { src: report, title: "Report" });
  const names = ["record.json", "findings.csv", "questions.csv", "transcript.txt", "localisation.json"];
  const files = names.flatMap((name) => [
    make("a", { href: `/api/examinations/${encodeURIComponent(exam)}/files/${name}`, download: name }, name), " ",
  ]);
  $("signed").replaceChildren(
    make("h2", { tabindex: "-1" }, say),
    make("p", {}, make("a", { class: "button go", href: report, target: "_blank", rel: "noopener" }, "Open the report by itself"),
      make("a", { class: "button", href: "/" }, "Another examination")),
    make("p", {}, "Files: ", ...files),
    frame);
  $("signed").querySelector("h2").focus();
}
