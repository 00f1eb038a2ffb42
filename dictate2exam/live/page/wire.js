// The line to the server: says hello again after every cut, and keeps each frame until it is stored.
//
// Frames are kept in memory and nowhere else: what a browser stores on disk would stay there, as a
// patient's voice, for an address that may never be opened again.

import { tabName } from "./tab_name.js";

const WAITS = [250, 500, 1000, 2000]; // ms before the next try
const KEPT_AT_MOST = 12_000; // frames of 50 ms: ten minutes
const LOOKS_AFTER = 2; // tries in vain, then it asks whether the server knows this browser at all

export class Wire extends EventTarget {
  /** Events: `message` (detail: the server's), `state` (detail: open, cut, full, or shut where
   *  the server is there but does not know this browser). */
  constructor(exam) {
    super();
    this.exam = exam;
    this.frames = new Map(); // by sequence number, in order
    this.sequence = 0; // of the next frame; known after the first welcome
    this.early = []; // frames made before that
    this.welcomed = false;
    this.known = false;
    this.tries = 0;
    this.name = tabName();
    this.open();
  }

  async open() {
    const tab = await this.name;
    if (this.closed) return;
    const scheme = location.protocol === "https:" ? "wss" : "ws";
    this.socket = new WebSocket(`${scheme}://${location.host}/live`);
    this.socket.binaryType = "arraybuffer";
    this.socket.onopen = () => this.say({ type: "hello", exam: this.exam, tab });
    this.socket.onmessage = ({ data }) => this.take(JSON.parse(data));
    this.socket.onclose = () => this.cut();
  }

  cut() {
    this.welcomed = false;
    if (this.closed) return;
    const wait = WAITS[Math.min(this.tries, WAITS.length - 1)];
    this.tries += 1;
    this.tell("cut");
    if (this.tries > LOOKS_AFTER) this.look();
    this.timer = setTimeout(() => this.open(), wait);
  }

  async look() {
    const answer = await fetch("/api/start").catch(() => undefined);
    if (answer?.status === 403 && !this.welcomed) this.tell("shut");
  }

  close() {
    this.closed = true;
    clearTimeout(this.timer);
    this.socket?.close();
  }

  /** Sends a message; false where there is no line, and then nothing was sent. */
  say(message) {
    if (this.socket?.readyState !== WebSocket.OPEN) return false;
    this.socket.send(JSON.stringify(message));
    return true;
  }

  sound(pcm) {
    if (!this.known) {
      this.early.push(pcm);
      return;
    }
    if (this.frames.size >= KEPT_AT_MOST) {
      this.tell("full");
      return;
    }
    const bytes = new ArrayBuffer(4 + pcm.byteLength);
    const view = new DataView(bytes);
    pcm.forEach((sample, n) => view.setInt16(4 + 2 * n, sample, true));
    this.keep(bytes);
    if (this.welcomed) this.socket.send(bytes);
  }

  keep(bytes) {
    new DataView(bytes).setUint32(0, this.sequence, true);
    this.frames.set(this.sequence, bytes);
    this.sequence += 1;
  }

  get unsent() {
    return this.frames.size;
  }

  take(message) {
    if (message.type === "welcome") this.welcome(message);
    else if (message.type === "ack") this.forget(message.next_sequence);
    else if (message.type === "resend") this.resend(message.next_sequence);
    this.dispatchEvent(new CustomEvent("message", { detail: message }));
  }

  welcome({ next_sequence: next, role }) {
    this.tries = 0;
    this.forget(next);
    const kept = [...this.frames.values()];
    this.frames.clear();
    this.sequence = next;
    for (const bytes of kept) this.keep(bytes);
    this.known = true;
    this.lead = role === "lead";
    for (const pcm of this.early.splice(0)) this.sound(pcm);
    this.resend(next);
    this.welcomed = true;
    this.tell("open");
  }

  forget(next) {
    for (const number of this.frames.keys()) {
      if (number >= next) break;
      this.frames.delete(number);
    }
  }

  resend(next) {
    for (const [number, bytes] of this.frames) if (number >= next) this.socket.send(bytes);
  }

  tell(state) {
    this.dispatchEvent(new CustomEvent("state", { detail: state }));
  }
}
