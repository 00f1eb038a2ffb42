// Runs in the audio thread: the microphone to frames of 50 ms, mono 16 kHz 16 bit, with their level.

import { RATE, Resampler, toPcm } from "./resample.js";

const FRAME = RATE / 20; // samples

class MicrophoneFrames extends AudioWorkletProcessor {
  constructor() {
    super();
    this.resampler = new Resampler(sampleRate);
    this.frame = new Float32Array(FRAME);
    this.filled = 0;
    this.peak = 0; // of the microphone's own samples: resampling rounds clipped tops
  }

  process([channels]) {
    if (!channels?.length) return true;
    const mono = new Float32Array(channels[0].length);
    for (const channel of channels) {
      for (let n = 0; n < mono.length; n += 1) {
        mono[n] += channel[n] / channels.length;
        this.peak = Math.max(this.peak, Math.abs(channel[n]));
      }
    }
    for (const sample of this.resampler.feed(mono)) {
      this.frame[this.filled] = sample;
      this.filled += 1;
      if (this.filled === FRAME) this.send();
    }
    return true;
  }

  send() {
    let energy = 0;
    for (const sample of this.frame) energy += sample * sample;
    const pcm = toPcm(this.frame);
    this.port.postMessage({ pcm, peak: this.peak, rms: Math.sqrt(energy / FRAME) }, [pcm.buffer]);
    this.filled = 0;
    this.peak = 0;
  }
}

registerProcessor("microphone-frames", MicrophoneFrames);
