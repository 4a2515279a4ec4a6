// SPDX-License-Identifier: GPL-3.0-or-later
//
// Takes for the microphone test: licks of lesson.md, played by harmonicas of two sample sets through FluidSynth (sound that
// this project did not make), clean or with planted faults. MIDI is changed by `midi-file`, not by our own code.
import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import midi from "midi-file";
import { pilot } from "./pilot.mjs";

const sets = { fluid: "/usr/share/sounds/sf2/FluidR3_GM.sf2", tim: "/usr/share/sounds/sf2/TimGM6mb.sf2" };
export const rate = 48000;
/** Silence before the first note and after the last, in seconds. */
export const lead = 4;
const tail = 5;
/** A breath through one reed, and the rest after it, in seconds. */
const hold = 1.2;
const rest = 0.25;
export const breath = hold + rest;

/** A bend is played this far under its pitch, in cents; a note this late, in seconds. */
const flat = 40;
const late = 0.12;

/** What is planted where: lick, then faults as [kind, note, half steps to the wrong hole]. */
const plans = [
  [0, []],
  [0, [["flat", 4]]],
  [0, [["late", 7]]],
  [0, [["missing", 6]]],
  [0, [["wrong hole", 2, 4]]],
  [0, [["flat", 1], ["missing", 6]]],
  [1, []],
  [1, [["flat", 6]]],
  [1, [["late", 5]]],
  [1, [["missing", 4]]],
  [1, [["wrong hole", 2, 3]]],
  [1, [["late", 2], ["wrong hole", 5, 4]]],
  [2, []],
  [2, [["flat", 8]]],
  [2, [["late", 4]]],
  [2, [["missing", 3]]],
  [2, [["wrong hole", 7, 3]]],
  [2, [["missing", 1], ["flat", 8]]],
  [3, []],
  [3, [["flat", 1]]],
  [3, [["late", 7]]],
  [3, [["missing", 3]]],
  [3, [["wrong hole", 5, 3]]],
  [3, [["late", 2], ["flat", 6]]],
  [4, []],
  [4, [["flat", 2]]],
  [4, [["late", 5]]],
  [4, [["missing", 6]]],
  [4, [["wrong hole", 1, 4]]],
  [4, [["missing", 4], ["wrong hole", 1, 4]]],
];

/** Every take; the two sets take turns, so that each lick and each fault comes from both. */
export const takes = plans.map(([lick, faults], i) => {
  const set = (i + lick) % 2 === 0 ? "fluid" : "tim";
  const name = `${String(i + 1).padStart(2, "0")} ${set} lick ${lick + 1} ${faults.map(([kind, note]) => `${kind} ${note}`).join(", ") || "clean"}`;
  return { number: i + 1, name, set, lick, faults };
});

/** Writes the take as a WAV with the pilot in it; gives the onsets in it, in seconds, of the notes that are played. */
export function written(take, source, file, { lickwright, fluidsynth }) {
  const base = file.replace(/\.wav$/, "");
  writeFileSync(`${base}.lick`, source);
  execFileSync(lickwright, ["convert", `${base}.lick`, "-o", `${base}.mid`]);
  const { bytes, onsets } = planted(readFileSync(`${base}.mid`), take.faults);
  sounded(take.set, bytes, file, fluidsynth);
  return onsets.map((t) => lead + t);
}

/** A breath through each reed of a harp (`keys`: its notes in MIDI), one after the other, with the pilot. Gives how the sample
 *  set tunes each, in cents, by the autocorrelation of its sound. */
export function writtenBreaths(set, keys, file, fluidsynth) {
  const ticks = 480;  // a beat of half a second
  const events = [{ deltaTime: 0, type: "programChange", channel: 0, programNumber: 22 }];
  keys.forEach((key, i) => {
    events.push({ deltaTime: i === 0 ? 0 : rest * 2 * ticks, type: "noteOn", channel: 0, noteNumber: key, velocity: 90 });
    events.push({ deltaTime: hold * 2 * ticks, type: "noteOff", channel: 0, noteNumber: key, velocity: 0 });
  });
  events.push({ deltaTime: 0, meta: true, type: "endOfTrack" });
  const bytes = Buffer.from(midi.writeMidi({ header: { format: 0, numTracks: 1, ticksPerBeat: ticks }, tracks: [events] }));
  const dry = sounded(set, bytes, file, fluidsynth);
  return keys.map((key, i) => {
    const made = 440 * 2 ** ((key - 69) / 12);
    const from = Math.round((i * breath + 0.5) * rate);
    return 1200 * Math.log2(pitchNear(dry.subarray(from, from + rate / 2), made) / made);
  });
}

/** The notes of the harp of a lick, in MIDI, as it is written: hole 1 blow, hole 1 draw, ... */
export function reedsOf(source, lickwright) {
  const harp = source.match(/^harp: (.*)$/m)[1];
  const { notes } = JSON.parse(execFileSync(lickwright, ["harp", harp, "--json"]));
  return Array.from({ length: 20 }, (_, i) => {
    const breath = i % 2 === 0 ? "blow" : "draw";
    return Math.round(notes.find((n) => n.hole === (i >> 1) + 1 && n.breath === breath && n.way === "plain" && n.bend_semitones === 0).midi);
  });
}

/** What a verdict blames, as takes name what is planted. */
export const blamed = (v) => [
  ...v.notes.filter((n) => n.came !== "right" || n.faults.length > 0).map((n) => `${n.faults?.join(" and ") || n.came} ${n.note}`),
  ...v.extras.map((e) => `extra ${e.tab} before ${e.before}`),
];

/** A harp with a reed 30 cents or more from the others is first walked through, as its player would: TimGM6mb plays B4 and C5, 38
 *  cents flat: 3 draw and 4 blow of a C harp, 4 draw of an A and of a Bb harp. */
export const needsWalk = (set, lick) => set === "tim" && [0, 1, 4].includes(lick);

/** The pitch within 45 cents of `hz`: the lag of 16 periods at which the sound is most like itself, then of as many as make a
 *  sixth of a second, to a fraction of a cent. */
function pitchNear(x, hz) {
  const like = (lag) => {
    let sum = 0;
    for (let i = 0; i + lag < x.length; ++i) sum += x[i] * x[i + lag];
    return sum / (x.length - lag);
  };
  let period = rate / hz;
  for (const periods of [16, Math.round(hz / 6)]) {
    const reach = periods === 16 ? 0.42 : 0.3;  // of a period: a whole one is the next peak
    const first = Math.ceil((periods - reach) * period);
    const r = Array.from({ length: Math.floor((periods + reach) * period) - first + 1 }, (_, i) => like(first + i));
    const top = r.indexOf(Math.max(...r.slice(1, -1)));
    const by = (r[top - 1] - r[top + 1]) / (2 * (r[top - 1] - 2 * r[top] + r[top + 1]));
    period = (first + top + by) / periods;
  }
  return rate / period;
}

/** Plays MIDI with a sample set into a WAV, after `lead`, with the pilot; gives the sound without it. */
function sounded(set, bytes, file, fluidsynth) {
  const base = file.replace(/\.wav$/, "");
  writeFileSync(`${base}.mid`, bytes);
  execFileSync(fluidsynth, ["-ni", "-g", "0.6", "-o", "synth.reverb.active=0", "-o", "synth.chorus.active=0", "-r", String(rate),
    "-T", "raw", "-O", "s16", "-F", `${base}.raw`, sets[set], `${base}.mid`], { stdio: "ignore" });
  const raw = readFileSync(`${base}.raw`);
  const both = new Int16Array(raw.buffer.slice(raw.byteOffset, raw.byteOffset + (raw.length & ~3)));
  const dry = Float32Array.from({ length: both.length / 2 }, (_, i) => (both[2 * i] + both[2 * i + 1]) / 65536);
  const samples = new Float32Array(dry.length + (lead + tail) * rate);
  samples.set(dry, lead * rate);
  for (let i = 0; i < samples.length; ++i) samples[i] += pilot(i / rate);
  writeFileSync(file, wav(samples));
  return dry;
}

/** The MIDI of a lick with its faults. Every note is a note-on, with the bend that stands before it. */
function planted(bytes, faults) {
  const file = midi.parseMidi(bytes);
  const ticksPerSecond = (file.header.ticksPerBeat * 1e6) / file.tracks.flat().find((e) => e.type === "setTempo").microsecondsPerBeat;
  const track = file.tracks.findIndex((t) => t.some((e) => e.type === "noteOn"));
  let at = 0;
  let events = file.tracks[track].map((e) => ({ ...e, at: (at += e.deltaTime) }));
  let note = -1;
  let bend = 0;
  const notes = [];
  const plain = [];
  for (const e of events) {
    if (e.type === "pitchBend") bend = e.value;
    else if (e.type === "noteOn" && e.velocity > 0) notes.push({ key: e.noteNumber, on: e, bend, off: null, number: ++note });
    else if (e.type === "noteOff" || e.type === "noteOn") notes.findLast((n) => n.key === e.noteNumber && !n.off).off = e;
    else if (e.type !== "lyrics" && e.type !== "endOfTrack") plain.push(e);
  }
  for (const [kind, number, halfSteps] of faults) {
    const n = notes.find((n) => n.number === number);
    if (kind === "flat") n.bend -= Math.round((flat / 1200) * 8192);  // the file sets a range of 12 half steps
    else if (kind === "late") n.on = { ...n.on, at: n.on.at + Math.round(late * ticksPerSecond) };
    else if (kind === "missing") n.gone = true;
    else n.key += halfSteps;
  }
  const left = notes.filter((n) => !n.gone);
  events = [...plain, ...left.flatMap((n) => [
    { deltaTime: 0, type: "pitchBend", channel: n.on.channel, value: n.bend, at: n.on.at },
    { ...n.on, noteNumber: n.key, at: n.on.at },
    { ...n.off, noteNumber: n.key, at: n.off.at },
  ])].map((e, i) => [e, i]).sort(([a, i], [b, j]) => a.at - b.at || i - j).map(([e]) => e);
  events.push({ deltaTime: 0, meta: true, type: "endOfTrack", at: events.at(-1).at });
  at = 0;
  for (const e of events) {
    e.deltaTime = e.at - at;
    at = e.at;
  }
  file.tracks[track] = events;
  return { bytes: Buffer.from(midi.writeMidi(file)), onsets: left.map((n) => n.on.at / ticksPerSecond) };
}

/** 16 bits, one channel. */
function wav(samples) {
  const head = Buffer.alloc(44);
  head.write("RIFF", 0);
  head.writeUInt32LE(36 + samples.length * 2, 4);
  head.write("WAVEfmt ", 8);
  [[16, 16, 4], [1, 20, 2], [1, 22, 2], [rate, 24, 4], [rate * 2, 28, 4], [2, 32, 2], [16, 34, 2]].forEach(([value, where, size]) =>
    head.writeUIntLE(value, where, size));
  head.write("data", 36);
  head.writeUInt32LE(samples.length * 2, 40);
  const body = Int16Array.from(samples, (x) => Math.round(Math.max(-1, Math.min(1, x)) * 32767));
  return Buffer.concat([head, Buffer.from(body.buffer)]);
}
