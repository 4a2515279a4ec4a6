// SPDX-License-Identifier: GPL-3.0-or-later
//
// A pilot far above the harp, that rises steadily: its pitch says what second of the WAV a captured sample is. So a test can
// tell what Chromium's stand-in for a microphone dropped under load (no page can hear that) from what a page got wrong.
// The ear works below 8 kHz and never hears it. A linear chirp as a time code: common practice, no source.

const low = 18000;  // Hz at second 0
const slope = 50;  // Hz a second: 30 s end at 19.5 kHz
const level = 0.01;  // -40 dBFS

export const pilot = (t) => level * Math.sin(2 * Math.PI * (low * t + (slope / 2) * t * t));

/** What a recording holds of the WAV: the second of its first sample, and whether nothing is missing or doubled from second
 *  `from` of the WAV to `until`. A step of a hundredth of a second is what Chromium drops; a third of that is told. */
export function captured(samples, rate, from = 0, until = Infinity) {
  const block = Math.round(rate / 40);
  // The phase and size of the pilot in some samples, as against the chirp that starts `start` seconds in.
  const against = (first, start, block) => {
    let re = 0, im = 0;
    for (let i = 0; i < block; ++i) {
      const t = start + (first + i) / rate;
      const phase = 2 * Math.PI * (low * t + (slope / 2) * t * t);
      const x = samples[first + i] * (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / block));
      re += x * Math.cos(phase);
      im -= x * Math.sin(phase);
    }
    return { re, im, size: Math.hypot(re, im) };
  };
  // Coarse: the start that fits the first fifth of a second best. A block tells 40 Hz apart, eight in a row 5.
  const blocks = 8;
  const fit = (start, at) => {
    let slow = 0;
    let last = null;
    let size = 0;
    for (let b = 0; b < blocks; ++b) {
      const now = against(at + b * block, start, block);
      size += now.size;
      if (last) slow += Math.atan2(now.im * last.re - now.re * last.im, now.re * last.re + now.im * last.im);
      last = now;
    }
    return { size, off: (slow / (blocks - 1) / (2 * Math.PI)) * (rate / block) };  // Hz between pilot and chirp
  };
  let best = { size: -1, start: 0 };
  for (let start = 0; start < 30; start += 0.25) {
    const { size } = fit(start, 0);
    if (size > best.size) best = { size, start };
  }
  let start = best.start;
  for (let i = 0; i < 4; ++i) start += fit(start, 0).off / slope;
  const wanted = fit(start, 0).size;
  let whole = true;
  let worst = 0;
  let offset = 0;
  for (let at = 0; at + blocks * block <= samples.length && start + at / rate < until; at += blocks * block) {
    const now = fit(start + offset, at);
    const step = now.off / slope;
    offset += step;
    if (start + offset + (at + blocks * block) / rate < from) continue;
    worst = Math.max(worst, Math.abs(step));
    if (Math.abs(step) > 0.0035) whole = false;
    // A hole of a hundredth of a second holds one of these whole.
    const short = block / 5;
    for (let i = 0; i < 2 * 5 * blocks - 1; ++i)
      if (against(at + (i * short) / 2, start + offset - step, short).size < (0.4 * wanted) / (5 * blocks)) whole = false;
  }
  if (until < Infinity && start + samples.length / rate < until - 0.25) whole = false;
  return { start, whole, worst };
}
