// One question at a time: what was said is played first, only then are answers offered, none chosen.

import { $, make, put } from "./dom.js";
import { hush, NotYet, playBehind } from "./sound_behind.js";

const SIDES = ["right", "left"];

export class QuestionView {
  /** @param tools exam, mute(), hears(), values(item), answer(question, answer, played) */
  constructor(tools) {
    this.tools = tools;
    this.shown = "";
  }

  show(questions, answering) {
    const open = questions.open;
    const question = open.find((one) => one.question_id === answering) ?? open[0];
    if (!question) {
      this.leave();
      return;
    }
    const left = open.length === 1 ? "The last question" : `${open.length} questions are open`;
    const must = question.blocking ? "must be answered" : "may be skipped";
    if (this.shown !== question.question_id) this.draw(question);
    put(this.count, `${left}. This one ${must}; ${questions.blocking} must be answered in all.`);
  }

  /** Nothing is asked now. */
  leave() {
    if (!this.shown) return;
    this.shown = "";
    this.question = undefined;
    hush();
    $("ask").replaceChildren();
  }

  draw(question) {
    hush();
    this.shown = question.question_id;
    this.question = question;
    this.played = false;
    this.count = make("p", { class: "count" });
    this.words = make("p", { class: "said" });
    this.trouble = make("p", { class: "problem", role: "alert" });
    this.answers = make("div", { class: "answers", hidden: true });
    const title = make("h2", { tabindex: "-1" }, question.question);
    const [sound] = question.sound;
    const tools = make("p", { class: "tools" });
    if (sound) {
      this.play = make("button", { type: "button", class: "play", onclick: () => this.hear() },
        "▶ Hear what was said");
      this.instead = make("button", { type: "button", onclick: () => this.offer() },
        "I can't listen now: show the answers");
      tools.append(this.play, this.instead);
    }
    $("ask").replaceChildren(this.count, title, tools, this.trouble, this.words, this.answers);
    title.focus();
    if (sound) this.hear();
    else {
      put(this.words, "Nothing was recorded for this one.");
      this.offer();
    }
  }

  async hear() {
    const { question } = this;
    this.play.disabled = true;
    put(this.trouble, "");
    try {
      for (const sound of question.sound) {
        const spans = this.played ? this.spans(sound) : [];
        await playBehind(this.tools.exam, sound, this.tools.mute, (time) => {
          for (const [span, start, end] of spans) {
            span.classList.toggle("sounding", start <= time && time < end);
          }
        });
      }
      if (this.question !== question) return;
      this.played = true;
      this.offer();
    } catch (error) {
      if (this.question !== question) return;
      put(this.trouble, error.message);
      if (!(error instanceof NotYet)) this.offer(); // what can't be played is not waited for
    } finally {
      if (this.question === question) {
        this.play.disabled = false;
        if (this.played) put(this.play, "▶ Hear it again");
      }
    }
  }

  spans(sound) {
    const made = sound.words.map(([word, start, end]) => [make("span", {}, word), start, end]);
    this.words.replaceChildren("Heard as: ", ...made.flatMap(([span]) => [span, " "]));
    return made;
  }

  offer() {
    if (!this.answers.hidden) return;
    const { question } = this;
    if (this.instead) this.instead.hidden = true;
    const heard = question.sound.map((sound) => `“${sound.text}”`).join(" … ");
    if (heard) put(this.words, `Heard as: ${heard}`);
    const give = (answer) => () => this.tools.answer(question.question_id, answer, this.played);
    const button = (text, answer, kind = "") =>
      make("button", { type: "button", class: kind, onclick: give(answer) }, text);
    const offered = make("p", { class: "suggested" });
    for (const one of question.suggestions) offered.append(button(this.tools.wording(one), one));
    const rest = make("p", { class: "rest" });
    if (question.recorded.length) {
      rest.append(button(`Right as written: ${question.recorded.join("; ")}`, "keep"));
    }
    rest.append(button("No finding: remove it", "reject"), button("Skip", "skip"));
    this.answers.replaceChildren(make("h3", {}, this.tools.hears() ? "Say the answer, or choose it" : "Choose the answer"), offered, this.other(question, give), rest);
    this.answers.hidden = false;
  }

  // Any other value of the item's closed list.
  other(question, give) {
    const values = question.kind === "side" ? SIDES : this.tools.values(question.item);
    const left = values.filter((value) => !question.suggestions.includes(value));
    if (!left.length) return make("p");
    const choice = make("select", { id: "other" }, make("option", { value: "" }, "choose…"));
    for (const value of left) choice.append(make("option", { value }, this.tools.wording(value)));
    const use = make("button", { type: "button", disabled: true }, "Use this");
    choice.addEventListener("change", () => { use.disabled = !choice.value; });
    use.addEventListener("click", () => give(choice.value)());
    return make("p", {}, make("label", { for: "other" }, "Another value"), choice, use);
  }
}
