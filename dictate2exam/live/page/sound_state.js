// How loud the microphone is, and in plain words what is wrong with it.

import { $, make, put } from "./dom.js";
import { decibels, judged } from "./microphone.js";

const EVERY = 200; // ms between two looks: a bar that flickers is no help
const STEPS = 12;
const LOWEST = -60; // dB of the first step

export class SoundState {
  constructor(microphone, listening) {
    this.microphone = microphone;
    this.listening = listening;
    this.said = "";
    this.drawn = 0;
    microphone.addEventListener("level", () => {
      if (Date.now() - this.drawn < EVERY) return;
      this.drawn = Date.now();
      this.draw($("meter"));
      this.warn();
    });
  }

  /** The server's own judgement, which knows speech from noise. */
  judged({ say }) {
    this.said = say;
    this.warn();
  }

  warn() {
    const text = this.listening() ? judged(this.microphone.levels) || this.said : "";
    put($("sound-warning"), text);
  }

  draw(element) {
    const last = this.microphone.levels.slice(-4);
    if (!last.length) return;
    const level = decibels(Math.max(...last.map(({ rms }) => rms)));
    const steps = Math.round(((level - LOWEST) / -LOWEST) * STEPS);
    element.setAttribute("aria-valuenow", Math.round(level));
    element.setAttribute("aria-valuetext", `${Math.round(level)} decibels`);
    if (!element.firstChild) element.append(make("span"));
    element.firstChild.style.width = `${(100 * Math.max(0, Math.min(STEPS, steps))) / STEPS}%`;
  }
}
