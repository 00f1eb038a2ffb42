// Listening: opens the microphone, says which it is, and hands its frames to the line.

import { Microphone } from "./microphone.js";
import { SoundState } from "./sound_state.js";

export const LISTENS = ["ready", "listening", "paused"];
const RECORDED = [...LISTENS, "asking", "to_sign"];

export class Listening {
  /** @param exam phase, lead and signing are read of it; wire, troubles and settings are used */
  constructor(exam) {
    this.exam = exam;
    this.microphone = new Microphone();
    this.sound = new SoundState(this.microphone, () => exam.phase === "listening");
    this.microphone.addEventListener("frame", ({ detail }) => this.frame(detail));
    this.microphone.addEventListener("lost", () => this.lost());
    this.microphone.addEventListener("devices", () => this.again());
    this.microphone.addEventListener("muted", () => exam.status());
    const watched = navigator.permissions?.query({ name: "microphone" });
    watched?.then((permission) => permission.addEventListener("change", () => this.again())).catch(() => {});
  }

  get running() {
    return this.microphone.running;
  }

  /** Begins to listen where it should and does not yet. */
  async begin() {
    const { exam } = this;
    if (!exam.lead || !LISTENS.includes(exam.phase) || this.running || this.opening) return;
    this.opening = true;
    try {
      await this.microphone.open(exam.settings.get("device", ""));
      exam.troubles.over("microphone");
      this.announce();
      exam.enter(exam.phase);
    } catch (error) {
      exam.troubles.begin("microphone", error.message, ["Try again", () => this.begin()]);
    }
    this.opening = false;
    exam.status();
  }

  // What was plugged in or allowed just now may be what is missing.
  again() {
    if (this.exam.troubles.has("microphone")) this.begin();
  }

  lost() {
    this.microphone.close();
    this.exam.troubles.begin("microphone",
      "The microphone is gone: plug it in again or choose another in Settings.", ["Try again", () => this.begin()]);
    this.exam.status();
  }

  /** Another device may have been chosen. */
  chosen() {
    if (this.running) this.exam.troubles.over("microphone");
    this.announce();
  }

  announce() {
    const { exam } = this;
    const { label, rate } = this.microphone;
    const told = `${label} ${rate}`;
    if (!rate || !exam.lead || exam.phase === "consent" || this.told === told) return;
    if (exam.wire.say({ type: "device", label, rate })) this.told = told;
  }

  frame({ pcm }) {
    const { exam } = this;
    if (exam.lead && RECORDED.includes(exam.phase) && !exam.signing) exam.wire.sound(pcm);
  }

  close() {
    this.microphone.close();
  }
}
