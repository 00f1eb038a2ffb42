// Below the chart, under the words heard: the question on top, and what to examine next.

import { $, make } from "./dom.js";
import { keyName } from "./settings.js";

const NAMED = 3; // items in each order

export class Feet {
  constructor(orders, settings) {
    this.orders = orders;
    this.settings = settings;
    $("feet").hidden = false;
  }

  /** How to give an order, by voice and by key. */
  how(name, then = "") {
    const order = this.orders.find((one) => one.order === name);
    const { key, pedal } = this.settings.keys(name);
    const bound = [key && keyName(key), pedal && `the pedal`].filter(Boolean).join(" or ");
    return [order && `say “${order.spoken[0]}${then}”`, bound && `press ${bound}`].filter(Boolean).join(", or ");
  }

  /** @param answering whether the next words answer it */
  question(question, answering) {
    $("top").classList.toggle("waits", Boolean(question));
    $("top").replaceChildren(...(question
      ? [make("b", {}, answering ? "Answer now: " : "? "), question.question, " ",
        make("small", {}, answering ? "the next words are the answer" : this.how("answer", " …"))]
      : [make("span", { class: "quiet" }, "Nothing is asked.")]));
  }

  next({ by_information: telling, by_protocol: inOrder }) {
    $("next").replaceChildren(
      make("b", {}, "Next, tells most: "), make("span", {}, names(telling)),
      make("b", {}, "In order: "), make("span", {}, names(inOrder)));
  }
}

function names(items) {
  return items.slice(0, NAMED).map(({ label }) => label).join("; ") || "nothing";
}
