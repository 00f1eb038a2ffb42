// What is wrong, one sentence at a time along the lower edge: the worst that lasts, or for ten
// seconds what has just been refused.

import { $, put } from "./dom.js";

const WORST_FIRST = ["full", "shut", "disk", "cut", "microphone", "recogniser", "sound", "input"];
const PASSES_AFTER = 10_000; // ms

export class Troubles {
  constructor() {
    this.lasting = new Map(); // name -> { text, offer }
    this.passing = "";
  }

  /** A trouble that lasts until it is over; `offer` is [what a button says, what it does]. */
  begin(name, text, offer) {
    this.lasting.set(name, { text, offer });
    this.draw();
  }

  over(name) {
    if (this.lasting.delete(name)) this.draw();
  }

  has(name) {
    return this.lasting.has(name);
  }

  /** A sentence that goes by itself; empty takes it away. */
  pass(text) {
    clearTimeout(this.timer);
    this.passing = text;
    if (text) this.timer = setTimeout(() => this.pass(""), PASSES_AFTER);
    this.draw();
  }

  draw() {
    const worst = WORST_FIRST.find((name) => this.lasting.has(name)) ?? [...this.lasting.keys()][0];
    const { text = "", offer } = this.passing ? { text: this.passing } : this.lasting.get(worst) ?? {};
    put($("told-words"), text);
    $("told").hidden = !text;
    $("told-do").hidden = !offer;
    put($("told-do"), offer?.[0] ?? "");
    $("told-do").onclick = offer?.[1] ?? null;
  }
}
