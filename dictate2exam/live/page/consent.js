// Before the first recording: what is kept, and whether the patient agreed. The microphone can be
// tried here; nothing of that leaves the page.

import { $, make, put } from "./dom.js";
import { judgedSpeaking } from "./microphone.js";
import { microphoneChoice } from "./settings.js";

/** Shows the dialog; `answer(agreed, by)` is called once. */
export async function showConsent(consent, examiner, tools, answer) {
  const { settings, microphone, devices, meter } = tools;
  const dialog = $("consent");
  const agree = make("input", { type: "checkbox", id: "agreed" });
  const by = make("input", { id: "consent-by", maxlength: 80, autocomplete: "off" });
  by.value = examiner;
  const begin = make("button", { type: "submit", class: "go", disabled: true }, "Begin to record");
  const no = make("button", { type: "button" }, "Not agreed: record nothing");
  const problem = make("p", { class: "problem", role: "alert" });
  const level = make("div", { class: "meter", role: "meter", "aria-label": "Microphone level",
    "aria-valuemin": -80, "aria-valuemax": 0, "aria-valuenow": -80 });
  agree.addEventListener("change", () => { begin.disabled = !agree.checked; });
  const trial = () => {
    meter(level);
    put(problem, judgedSpeaking(microphone.levels));
  };
  microphone.addEventListener("level", trial);
  const end = (agreed) => {
    microphone.removeEventListener("level", trial);
    dialog.close();
    answer(agreed, by.value.trim());
  };
  const form = make("form", {},
    make("h2", { id: "consent-title", tabindex: "-1" }, "Before anything is recorded"),
    make("ul", {}, ...consent.sentences.map((text) => make("li", {}, text))),
    make("p", { class: "agree" }, agree, make("label", { for: "agreed" }, consent.question)),
    make("p", {}, make("label", { for: "consent-by" }, "Confirmed by (may be empty)"), by),
    make("p", {}, begin, no),
    make("h3", {}, "Try the microphone: say a few words"),
    make("div", { id: "trial" }), level, problem);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    end(true);
  });
  no.addEventListener("click", () => end(false));
  dialog.oncancel = (event) => event.preventDefault(); // Escape is no answer
  dialog.replaceChildren(form);
  if (!dialog.open) dialog.showModal();
  $("consent-title").focus();
  try {
    await microphone.open(settings.get("device", ""));
  } catch (error) {
    put(problem, error.message);
  }
  $("trial").replaceChildren(await microphoneChoice(settings, microphone, devices));
}
