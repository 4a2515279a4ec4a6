// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a page sends to the speakers, tapped where it leaves, and its pitches held against the model's notes.

/** In the page: starts to collect what the first card's player sends to the speakers. */
export function tapSound() {
  const { context, output } = document.querySelector("lw-practice").player.transport.player.destination;
  const node = context.createScriptProcessor(2048, 1, 1);
  const silent = context.createGain();
  silent.gain.value = 0;
  window.tapped = { rate: context.sampleRate, start: null, parts: [] };
  node.onaudioprocess = (e) => {
    window.tapped.start ??= e.playbackTime;
    window.tapped.parts.push(e.inputBuffer.getChannelData(0).slice());
  };
  output.connect(node).connect(silent).connect(context.destination);
}

/** In the page: what was collected, in signs that travel. */
export function tappedSound() {
  const all = new Float32Array(window.tapped.parts.length * 2048);
  window.tapped.parts.forEach((p, i) => all.set(p, i * 2048));
  let text = "";
  for (const b of new Uint8Array(all.buffer)) text += String.fromCharCode(b);
  return { rate: window.tapped.rate, bytes: btoa(text) };
}

/** The same outside the page, as samples. */
export function samplesOf({ rate, bytes }) {
  const raw = Buffer.from(bytes, "base64");
  return { rate, samples: new Float32Array(raw.buffer.slice(raw.byteOffset, raw.byteOffset + raw.length)) };
}

/** Pitch of a stretch by autocorrelation with a parabola on top; 0 where nothing repeats. */
function pitch(samples, rate) {
  let energy = 0;
  for (const x of samples) energy += x * x;
  if (energy / samples.length < 1e-7) return 0;
  const most = Math.floor(rate / 120);
  const least = Math.floor(rate / 2500);
  const at = (lag) => {
    let sum = 0, a = 0, b = 0;
    for (let i = 0; i + most < samples.length; ++i) {
      sum += samples[i] * samples[i + lag];
      a += samples[i] * samples[i];
      b += samples[i + lag] * samples[i + lag];
    }
    return sum / Math.sqrt(a * b + 1e-30);
  };
  const r = [];
  for (let lag = least; lag <= most; ++lag) r.push(at(lag));
  const top = Math.max(...r);
  if (top < 0.8) return 0;
  for (let i = 1; i + 1 < r.length; ++i)
    if (r[i] > 0.93 * top && r[i] >= r[i - 1] && r[i] >= r[i + 1]) {
      const d = (r[i - 1] - r[i + 1]) / (2 * (r[i - 1] - 2 * r[i] + r[i + 1]));
      return rate / (least + i + d);
    }
  return 0;
}

/** The offset at which the model's plain notes fit the recording best, and how far each is off there, in cents. */
export function fitted(samples, rate, notes, stretch, cents) {
  const hop = Math.floor(rate / 100);
  const track = [];
  for (let at = 0; at + 2400 <= samples.length; at += hop) track.push(pitch(samples.subarray(at, at + 2400), rate));
  const plain = notes.filter((n) => n.plain && n.offset - n.onset > 0.12);
  let best = { score: -1, off: [] };
  for (let shift = 0; shift < track.length; ++shift) {
    const off = [];
    for (const n of plain) {
      const middle = shift + Math.round(((n.onset + n.offset) / 2) * stretch * 100) - 2;
      const hz = track[middle];
      if (hz > 0) off.push(1200 * Math.log2(hz / n.hz) - cents);
    }
    const score = off.filter((c) => Math.abs(c) < 30).length;
    if (score > best.score) best = { score, off, shift };
  }
  return { ...best, of: plain.length };
}
