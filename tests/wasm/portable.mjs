// SPDX-License-Identifier: GPL-3.0-or-later
//
// The engine in WebAssembly against the engine compiled natively, on the cases that engine_probe wrote.
//
//     node portable.mjs lickwright.wasm FOLDER
//
// The same bytes: faults, explanations, tidied text, walk-through, MIDI. The same drawing commands, numbers within 1e-4 of a
// point. Samples within 1e-4 of full scale. What is heard in the same samples, and what is said of a try: the same notes and
// words, every number within 1e-4. (The C libraries' sine, power and logarithm differ in their last bits, so nothing of this need be
// equal to the bit.) Prints what was compared and the largest differences; ends with 1 when anything differs further.
import { readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { moduleOf } from "./module.mjs";

const tolerance = 1e-4;
const [, , moduleFile, folder] = process.argv;
if (!folder) {
  console.error("usage: node portable.mjs lickwright.wasm FOLDER");
  process.exit(2);
}

const { engine, put, answer, hear } = moduleOf(moduleFile);

/** Puts `bytes` to the module, asks, and gives back status and answer. */
function ask(bytes, question, ...more) {
  put(bytes);
  const status = question(...more);
  return { status, bytes: Buffer.from(answer()) };
}

/** A try: samples handed over in pieces, what was said after each, and the verdict. */
function tryOf(lick, samples) {
  put(lick);
  engine.lw_ear_open(48000);
  const said = (status) => {
    if (status !== 0) throw new Error("the ear is closed");
    return JSON.parse(Buffer.from(answer()));
  };
  const looks = [];
  for (let i = 0; i < samples.length; i += 4800) {
    hear(samples.subarray(i, i + 4800));
    looks.push(said(engine.lw_ear_look()));
  }
  return { looks, verdict: said(engine.lw_ear_finish()) };
}

const failures = [];
const largest = { harp: 0, drawing: 0, sound: 0, heard: 0, try: 0 };
const counted = { bytes: 0, numbers: 0, samples: 0 };
const fail = (what, why) => failures.push(`${what}: ${why}`);

/** The same tree: words equal, numbers within the tolerance. `kind` names the largest difference it counts to. */
function sameTree(kind, what, got, expected) {
  if (typeof expected === "number" && typeof got === "number") {
    ++counted.numbers;
    const off = Math.abs(got - expected);
    if (!(off <= tolerance)) fail(what, `${got} against ${expected}`);
    largest[kind] = Math.max(largest[kind], off);
  } else if (expected === null || typeof expected !== "object" || got === null || typeof got !== "object") {
    // null stands for a number that is none: wrong on either side. In a try it says that there is nothing to tell.
    if (got !== expected || (got === null && kind !== "try")) fail(what, `${JSON.stringify(got)} against ${JSON.stringify(expected)}`);
  } else {
    const keys = Object.keys(expected);
    if (keys.join() !== Object.keys(got).join()) return fail(what, "has other members");
    for (const key of keys) sameTree(kind, `${what}.${key}`, got[key], expected[key]);
  }
}

/** The same SVG: its words and signs to the byte, its numbers (hundredths of a point) within one rounding a step. */
function sameSvg(what, got, expected) {
  const number = /-?(?:\d+\.?\d*|\.\d+)/g;
  if (got.replace(number, "#") !== expected.replace(number, "#")) {
    // A number that tips over zero changes a sign that parts it from the one before: then the counts must still agree.
    if (got.match(number).length !== expected.match(number).length) return fail(what, "is another picture");
  }
  const wanted = expected.match(number);
  got.match(number).forEach((n, i) => {
    if (!(Math.abs(Number(n) - Number(wanted[i])) <= 0.0201)) fail(what, `number ${i} is ${n} against ${wanted[i]}`);
  });
  counted.numbers += wanted.length;
}

function sameBytes(what, got, expected) {
  counted.bytes += expected.length;
  if (got.equals(expected)) return;
  let i = 0;
  while (i < got.length && got[i] === expected[i]) ++i;
  const around = (b) => JSON.stringify(b.subarray(Math.max(0, i - 30), i + 30).toString());
  fail(what, `differs at byte ${i}: ${around(got)} against ${around(expected)}`);
}

function sameSamples(what, got, expected) {
  if (got.length !== expected.length) return fail(what, `${got.length} bytes against ${expected.length}`);
  const floats = (b) => new Float32Array(b.buffer.slice(b.byteOffset, b.byteOffset + b.length));
  const a = floats(got);
  const b = floats(expected);
  let peak = 0;
  let worst = 0;
  for (let i = 0; i < b.length; ++i) {
    const off = Math.abs(a[i] - b[i]);
    if (!(off <= worst)) worst = off;
    peak = Math.max(peak, Math.abs(b[i]));
  }
  counted.samples += b.length;
  if (!(worst <= tolerance)) fail(what, `off by ${worst} of full scale`);
  if (!(peak > 0.05)) fail(what, "is silent");
  largest.sound = Math.max(largest.sound, worst);
}

const native = (name) => readFileSync(join(folder, name));

let harps = 0;
for (const { name, position, status, answer } of JSON.parse(native("harps.json"))) {
  const got = ask(Buffer.from(name), engine.lw_harp, position);
  if (got.status !== status) fail(name, `status ${got.status}, native ${status}`);
  else if (status !== 0) {
    if (got.bytes.toString() !== answer) fail(name, `says ${got.bytes}, native ${answer}`);
  } else {
    ++harps;
    sameTree("harp", `harp ${name}`, JSON.parse(got.bytes), JSON.parse(answer));
  }
}
if (harps !== 20 * 12) fail("harps", `${harps} instead of 20 harps in 12 positions`);

const lesson = ask(native("lesson.md"), engine.lw_lesson);
sameBytes("lesson", lesson.bytes, native("lesson.json"));
sameBytes("lesson, tidied", ask(native("lesson.md"), engine.lw_tidy_lesson).bytes, native("lesson.tidy.md"));
sameBytes("lesson, as a sheet", ask(native("lesson.md"), engine.lw_sheet, 1, 1).bytes, native("lesson.sheet.json"));

let notesHeard = 0;
const tally = { good: 0, bad: 0, sketched: 0, sounded: 0 };
for (const { number, name, status, sound } of JSON.parse(native("cases.json"))) {
  const text = native(`${number}.lick`);
  const same = (what, ending, question, ...more) =>
    sameBytes(`${name}: ${what}`, ask(text, question, ...more).bytes, native(number + ending));
  if (ask(text, engine.lw_read, 1).status !== status) fail(name, `is not read with status ${status}`);
  same("faults", ".read.json", engine.lw_read, 1);
  same("explained", ".explain.txt", engine.lw_explain, 1);
  same("tidied", ".tidy.txt", engine.lw_tidy);
  if (status !== 0) {
    ++tally.bad;
    const sketch = ask(Buffer.concat([Buffer.from("\n"), text]), engine.lw_picture, 420, 1, 0, 0, 1, 1).bytes;
    const expected = native(`${number}.sketch.json`);
    if (sketch.length === 0 || expected.length === 0) sameBytes(`${name}: sketch`, sketch, expected);
    else sameSvg(`${name}: sketch`, JSON.parse(sketch).svg, JSON.parse(expected).svg);
    tally.sketched += expected.length > 0 ? 1 : 0;
    const midi = ask(text, engine.lw_midi, 0);
    if (midi.status !== 1 || midi.bytes.length !== 0) fail(name, "gives MIDI for a lick with errors");
    continue;
  }
  ++tally.good;
  sameBytes(`${name}: told`, ask(Buffer.concat([Buffer.from("Bb\n"), text]), engine.lw_told).bytes, native(number + ".told.txt"));
  sameTree("harp", `${name}: its harp`, JSON.parse(ask(text, engine.lw_harp_of).bytes), JSON.parse(native(number + ".harp.json")));
  const reeds = JSON.parse(native(number + ".reeds.json"));
  if (reeds.length !== 20) fail(name, `${reeds.length} reeds`);
  sameTree("harp", `${name}: its reeds`, JSON.parse(ask(Buffer.concat([Buffer.from("low D\n"), text]), engine.lw_reeds).bytes), reeds);
  same("sheet", ".sheet.json", engine.lw_sheet, 0, 1);
  same("MIDI", ".mid", engine.lw_midi, 0);
  same("plain MIDI", ".plain.mid", engine.lw_midi, 1);
  for (const [width, ending] of [[480, ".draw.json"], [0, ".line.json"]]) {
    const expected = JSON.parse(native(number + ending));
    if (!(expected.commands.length > 10)) fail(name, "has no drawing");
    sameTree("drawing", `${name}: drawing`, JSON.parse(ask(text, engine.lw_draw, width).bytes), expected);
  }
  const onHarp = (harp) => Buffer.concat([Buffer.from(`${harp}\n`), text]);
  const picture = (bytes) => JSON.parse(bytes);
  const drawn = picture(ask(onHarp(""), engine.lw_picture, 420, 1, 1, 0, 1).bytes);
  const expectedPicture = picture(native(`${number}.picture.json`));
  sameSvg(`${name}: picture`, drawn.svg, expectedPicture.svg);
  sameTree("heard", `${name}: picture`, { ...drawn, svg: "" }, { ...expectedPicture, svg: "" });
  if (!(expectedPicture.track.length > 1)) fail(name, "has no places");
  sameTree("drawing", `${name}: times`, JSON.parse(ask(onHarp("A"), engine.lw_timeline, 70).bytes), JSON.parse(native(`${number}.timeline.json`)));
  if (sound) {
    ++tally.sounded;
    sameSamples(`${name}: loop`, ask(onHarp("A"), engine.lw_loop, 80, 0, 4, 44100).bytes, native(`${number}.loop.f32`));
    sameSamples(`${name}: sound`, ask(text, engine.lw_clip, 100, 1, 1).bytes, native(`${number}.f32`));
    const expected = JSON.parse(native(`${number}.heard.json`));
    notesHeard += expected.notes.length;
    sameTree("heard", `${name}: heard`, JSON.parse(ask(native(`${number}.left`), engine.lw_listen, 48000).bytes), expected);
    const left = native(`${number}.left`);
    const from = left.indexOf(10) + 1;
    const samples = new Float32Array(left.buffer.slice(left.byteOffset + from, left.byteOffset + left.length));
    const { looks, verdict } = tryOf(onHarp(""), samples);
    // `follow` is left out: the first notes of a phrase that is played twice fit both times alike, and a last bit decides.
    const alone = (all) => all.map(({ follow, ...rest }) => rest);
    sameTree("try", `${name}: looks`, alone(looks), alone(JSON.parse(native(`${number}.looks.json`))));
    const expectedVerdict = JSON.parse(native(`${number}.try.json`));
    sameTree("try", `${name}: verdict`, verdict, expectedVerdict);
    // Our own voice, without a fault: the try must be the lick.
    if (!expectedVerdict.same_lick) fail(name, "is not known again");
  }
}
if (tally.good < 7 || tally.sounded < 7) fail("cases", `only ${tally.good} good licks, ${tally.sounded} sounded`);
if (notesHeard < 50) fail("cases", `only ${notesHeard} notes heard`);
if (tally.bad < 1) fail("cases", "no lick with errors");

console.log(`wasm: ${statSync(moduleFile).size} bytes; ${harps} harps and positions, ${tally.good} licks drawn, ` +
  `${tally.sounded} sounded, ${tally.bad} with errors`);
console.log(`equal: ${counted.bytes} bytes of text, JSON and MIDI`);
console.log(`largest difference: harps ${largest.harp.toExponential(2)} Hz, drawings ${largest.drawing.toExponential(2)} pt ` +
  `(${counted.numbers} numbers), sound ${largest.sound.toExponential(2)} of full scale (${counted.samples} samples), ` +
  `heard ${largest.heard.toExponential(2)} (${notesHeard} notes), tries ${largest.try.toExponential(2)}`);
for (const failure of failures.slice(0, 20)) console.error(failure);
if (failures.length > 0) {
  console.error(`${failures.length} differences`);
  process.exit(1);
}
