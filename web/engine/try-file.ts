// SPDX-License-Identifier: Apache-2.0
//
// A try as a file to send: a WAV of one channel, 16 bits, brought to 16 kHz, with the result in words as its comment
// (RIFF INFO, ICMT). Ten seconds are 320 KB; any player plays it, `lickwright compare` measures it.

const rate = 16000;

/** A name that says which lick at which tempo, for a teacher who gets many: `porch-light-walkdown-64-bpm-2026-11-28.wav`. */
export function tryName(title: string, tempo: number): string {
  const plain = title.normalize("NFKD").toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "");
  return `${plain.slice(0, 60) || "try"}-${tempo}-bpm-${new Date().toISOString().slice(0, 10)}.wav`;
}

/** Samples between -1 and 1 at `from` samples a second. */
export function tryFile(samples: Float32Array, from: number, words: string): Blob {
  const low = lowered(samples, from);
  const text = new TextEncoder().encode(words + "\0");
  const padded = text.length + (text.length & 1);
  const info = 4 + 8 + padded;
  const size = 12 + 24 + 8 + info + 8 + low.length * 2;
  const view = new DataView(new ArrayBuffer(size));
  let at = 0;
  const say = (word: string) => {
    for (const c of word) view.setUint8(at++, c.charCodeAt(0));
  };
  const put32 = (n: number) => {
    view.setUint32(at, n, true);
    at += 4;
  };
  const put16 = (n: number) => {
    view.setUint16(at, n, true);
    at += 2;
  };
  say("RIFF");
  put32(size - 8);
  say("WAVEfmt ");
  put32(16);
  put16(1);
  put16(1);
  put32(rate);
  put32(rate * 2);
  put16(2);
  put16(16);
  say("LIST");
  put32(info);
  say("INFOICMT");
  put32(text.length);
  new Uint8Array(view.buffer).set(text, at);
  at += padded;
  say("data");
  put32(low.length * 2);
  for (const x of low) put16(Math.round(Math.max(-1, Math.min(1, x)) * 32767) & 0xffff);
  return new Blob([view.buffer], { type: "audio/wav" });
}

/** A windowed sinc, 32 zero crossings wide, cut at 0.45 of the lower rate. */
function lowered(samples: Float32Array, from: number): Float32Array {
  if (from <= rate) return samples;
  const ratio = from / rate;
  const half = Math.ceil(16 * ratio);
  const cut = 0.9 / ratio;
  const out = new Float32Array(Math.floor(samples.length / ratio));
  for (let i = 0; i < out.length; ++i) {
    const middle = i * ratio;
    const first = Math.max(0, Math.ceil(middle - half));
    const last = Math.min(samples.length - 1, Math.floor(middle + half));
    let sum = 0;
    for (let k = first; k <= last; ++k) {
      const x = k - middle;
      const sinc = x === 0 ? cut : Math.sin(Math.PI * cut * x) / (Math.PI * x);
      sum += samples[k]! * sinc * (0.5 + 0.5 * Math.cos((Math.PI * x) / half));
    }
    out[i] = sum;
  }
  return out;
}
