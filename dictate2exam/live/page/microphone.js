// The microphone: which one, how loud, and its frames.

const DB_FLOOR = -80;
const WINDOW = 60; // frames of 50 ms by which the sound is judged
const CLIPPED_PEAK = 0.99;
const SILENT_DB = -75; // a live microphone's own noise is louder; judgement
const LOW_DB = -45; // loudest 50 ms of three seconds; judgement

export function decibels(rms) {
  return rms > 0 ? Math.max(DB_FLOOR, 20 * Math.log10(rms)) : DB_FLOOR;
}

/** One sentence where the last three seconds of frames are no use, else an empty text. */
export function judged(levels) {
  if (levels.length < WINDOW) return "";
  const loudest = Math.max(...levels.map((level) => decibels(level.rms)));
  const clipped = levels.filter((level) => level.peak >= CLIPPED_PEAK).length;
  if (loudest <= SILENT_DB) return "No sound at all: is this the right microphone, is it muted?";
  if (clipped > 3) return "Too loud, the sound is cut off: move away or turn the microphone down.";
  return "";
}

/** The same for a test of the microphone, where somebody is known to speak. */
export function judgedSpeaking(levels) {
  const found = judged(levels);
  if (found || levels.length < WINDOW) return found;
  const loudest = Math.max(...levels.map((level) => decibels(level.rms)));
  return loudest < LOW_DB ? "Too quiet: come closer or turn the microphone up." : "";
}

export async function devices() {
  const all = await navigator.mediaDevices.enumerateDevices();
  return all.filter((device) => device.kind === "audioinput");
}

const REFUSED = {
  NotAllowedError: "The browser may not use the microphone: allow it beside the address, then try again.",
  NotFoundError: "No microphone was found: plug one in, then try again.",
  NotReadableError: "The microphone is used by another program: close that, then try again.",
  OverconstrainedError: "The chosen microphone is gone: choose another in Settings.",
};

export class Microphone extends EventTarget {
  /** Events: `frame` {pcm, peak, rms}, `lost` (unplugged), `devices` (the list changed), `muted`. */
  constructor() {
    super();
    this.levels = [];
    this.muted = 0;
    navigator.mediaDevices?.addEventListener("devicechange", () => this.tell("devices"));
  }

  get running() {
    return Boolean(this.stream) && this.context.state === "running";
  }

  get label() {
    return this.track?.label ?? "";
  }

  get rate() {
    return this.context?.sampleRate ?? 0;
  }

  /** Opens the device (empty: the browser's choice); throws an Error with a sentence to show. */
  async open(deviceId = "") {
    this.close();
    if (!navigator.mediaDevices) throw new Error("This browser gives no microphone to this page.");
    try {
      this.stream = await navigator.mediaDevices.getUserMedia({ audio: wanted(deviceId) });
    } catch (error) {
      throw new Error(REFUSED[error.name] ?? `The microphone can't be used: ${error.message}.`);
    }
    [this.track] = this.stream.getAudioTracks();
    this.track.addEventListener("ended", () => this.tell("lost"));
    this.context = new AudioContext();
    await this.context.audioWorklet.addModule("/page/microphone_worklet.js");
    this.node = new AudioWorkletNode(this.context, "microphone-frames", { numberOfOutputs: 0 });
    this.node.port.onmessage = ({ data }) => this.take(data);
    this.context.createMediaStreamSource(this.stream).connect(this.node);
    await this.context.resume();
  }

  close() {
    this.track?.stop();
    this.context?.close();
    this.stream = this.track = this.context = undefined;
    this.levels = [];
  }

  /** Frames are thrown away while anything that the page plays could be heard; counts nest. */
  mute() {
    this.muted += 1;
    this.tell("muted");
    let done = false;
    return () => {
      if (done) return;
      done = true;
      this.muted -= 1;
      this.tell("muted");
    };
  }

  take(frame) {
    this.levels.push({ peak: frame.peak, rms: frame.rms });
    if (this.levels.length > WINDOW) this.levels.shift();
    if (!this.muted) this.dispatchEvent(new CustomEvent("frame", { detail: frame }));
    this.tell("level");
  }

  tell(what) {
    this.dispatchEvent(new Event(what));
  }
}

// The browser's own processing is made for calls: it would cut quiet words and change the voice.
function wanted(deviceId) {
  return {
    deviceId: deviceId ? { exact: deviceId } : undefined,
    channelCount: 1,
    echoCancellation: false,
    noiseSuppression: false,
    autoGainControl: false,
  };
}
