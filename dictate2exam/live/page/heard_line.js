// One line: on its left the last words that were read, with what became of them; on its right the
// words being spoken, which may still change. What became of the last stays where it is meanwhile.

import { $, make, put } from "./dom.js";

const SIGNS = { findings: "→", order: "▶", answer: "✓", question: "?", talk: "≈", nothing: "–" };
const SHOWN = 400; // characters of running words: the newest; nobody reads more of them

export class HeardLine {
  constructor() {
    this.hint("The words heard are shown here, with what became of them.");
  }

  /** What to do, until the next words are read. */
  hint(text) {
    $("now").replaceChildren(make("span", { class: "what quiet" }, text));
  }

  /** Provisional words; empty withdraws them. Too often changed to be read aloud.
   *  Words that have been read meanwhile may come once more: they are running no longer. */
  running(text) {
    if (text === this.done) text = "";
    else this.done = undefined;
    this.shown = text;
    $("soon").replaceChildren(...(text ? [words(text.slice(-SHOWN), "unread")] : []));
    newest();
  }

  heard({ text, what, became }) {
    const outcome = make("span", { class: `what ${became}` });
    put(outcome, `${SIGNS[became] ?? ""} ${what}`);
    $("now").replaceChildren(words(`“${text}”`, "read"), outcome);
    const done = this.shown;
    this.running("");
    this.done = done;
    newest();
  }
}

function words(text, kind) {
  return make("span", { class: `words ${kind}` }, text);
}

// Of words that are too many for the line the newest stay in sight.
function newest() {
  for (const element of document.querySelectorAll("#feet .words")) element.scrollLeft = element.scrollWidth;
}
