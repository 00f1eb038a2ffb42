// The last words heard and what became of them, on one line; the words before them stay beside.

import { $, make, put } from "./dom.js";

const SIGNS = { findings: "→", order: "▶", answer: "✓", question: "?", talk: "≈", nothing: "–" };

export class HeardLine {
  constructor() {
    this.last = undefined; // the last utterance that was read to its end
    this.older = undefined;
    this.draw();
  }

  partial(text) {
    this.unread = text;
    this.draw();
  }

  heard(message) {
    this.older = this.last;
    this.last = message;
    this.unread = "";
    this.draw();
  }

  draw() {
    const before = this.unread ? this.last : this.older;
    if (this.unread) $("now").replaceChildren(words(this.unread, "unread"));
    else $("now").replaceChildren(...(this.last ? both(this.last) : [waiting()]));
    $("before").replaceChildren(...(before ? both(before) : []));
    for (const element of document.querySelectorAll("#heard .words")) {
      element.scrollLeft = element.scrollWidth; // the newest words stay in sight
    }
  }
}

function waiting() {
  return make("span", { class: "what" }, "The words heard are shown here, with what became of them.");
}

function words(text, kind) {
  return make("span", { class: `words ${kind}` }, text);
}

function both({ text, what, became }) {
  const outcome = make("span", { class: `what ${became}` });
  put(outcome, `${SIGNS[became] ?? ""} ${what}`);
  return [words(`“${text}”`, "read"), outcome];
}
