// Sound of any rate to 16 kHz: a windowed-sinc low-pass, evaluated only where a sample is wanted.
//
// The two rates are put in lowest terms, up/down; each of the `up` positions between two samples
// has its own row of taps. Pass band to 7.2 kHz; what would fold back is 80 dB down from 8.8 kHz
// on (8.0 to 8.8 kHz folds above the pass band). Window: Kaiser, after his formulas of 1974.

export const RATE = 16_000; // Hz
const CUTOFF = 8_000; // Hz, in the middle of the transition
const TRANSITION = 1_600; // Hz
const ATTENUATION = 80; // dB

function divisor(a, b) {
  return b ? divisor(b, a % b) : a;
}

function bessel(x) {
  let sum = 1;
  let term = 1;
  for (let k = 1; term > sum * 1e-12; k += 1) {
    term *= (x / (2 * k)) ** 2;
    sum += term;
  }
  return sum;
}

function taps(rate, up) {
  const top = Math.min(CUTOFF, (rate / 2) * 0.95);
  const width = (2 * Math.PI * TRANSITION) / rate;
  const half = Math.ceil((ATTENUATION - 8) / (2.285 * width) / 2);
  const beta = 0.1102 * (ATTENUATION - 8.7);
  const rows = [];
  for (let phase = 0; phase < up; phase += 1) {
    const row = new Float64Array(2 * half);
    let sum = 0;
    for (let k = 0; k < row.length; k += 1) {
      const t = k - half + 1 - phase / up;
      const x = (2 * top * t) / rate;
      const sinc = x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
      const edge = t / half;
      row[k] = Math.abs(edge) < 1 ? sinc * bessel(beta * Math.sqrt(1 - edge * edge)) : 0;
      sum += row[k];
    }
    rows.push(row.map((value) => value / sum));
  }
  return { rows, half };
}

export class Resampler {
  /** @param {number} rate of the sound that is fed, in Hz */
  constructor(rate) {
    const common = divisor(Math.round(rate), RATE);
    this.up = RATE / common;
    this.down = Math.round(rate) / common;
    const made = taps(rate, this.up);
    this.rows = made.rows;
    this.half = made.half;
    this.kept = new Float32Array(made.half - 1); // silence before the first sample
    this.place = made.half - 1; // of the next wanted sample in `kept`, whole part
    this.phase = 0; // and the rest, in parts of `up`
  }

  /** Float32 samples in, Float32 samples at 16 kHz out; what is still incomplete is kept. */
  feed(samples) {
    const sound = new Float32Array(this.kept.length + samples.length);
    sound.set(this.kept);
    sound.set(samples, this.kept.length);
    const made = [];
    while (this.place + this.half < sound.length) {
      const row = this.rows[this.phase];
      const first = this.place - this.half + 1;
      let sum = 0;
      for (let k = 0; k < row.length; k += 1) sum += row[k] * sound[first + k];
      made.push(sum);
      this.phase += this.down;
      this.place += Math.floor(this.phase / this.up);
      this.phase %= this.up;
    }
    const first = Math.min(this.place - this.half + 1, sound.length);
    this.kept = sound.slice(first);
    this.place -= first;
    return Float32Array.from(made);
  }
}

/** Float samples as signed 16 bit, held at full scale. */
export function toPcm(samples) {
  const pcm = new Int16Array(samples.length);
  for (let n = 0; n < samples.length; n += 1) {
    pcm[n] = Math.max(-32768, Math.min(32767, Math.round(samples[n] * 32768)));
  }
  return pcm;
}
