// SPDX-License-Identifier: GPL-3.0-or-later
//
// The engine in WebAssembly against the engine compiled natively, on the cases that engine_probe wrote.
//
//     node portable.mjs lickwright.wasm FOLDER
//
// The same words, and numbers within 1e-4. (The C libraries' sine, power and logarithm differ in their last
// bits, so frequencies, drawings and samples cannot be equal to the bit.) Prints what was compared and the
// largest differences; ends with 1 when anything differs further.
import { readFileSync } from "node:fs";
import { join } from "node:path";

const tolerance = 1e-4;
const [, , moduleFile, folder] = process.argv;
if (!folder) {
  console.error("usage: node portable.mjs lickwright.wasm FOLDER");
  process.exit(2);
}

const file = readFileSync(moduleFile);
const module = new WebAssembly.Module(file);
// The module asks the system for nothing: every import is a refusal (52 is WASI's `nosys`).
const imports = {};
for (const { module: from, name } of WebAssembly.Module.imports(module)) {
  if (from !== "wasi_snapshot_preview1") throw new Error(`unexpected import ${from}.${name}`);
  (imports[from] ??= {})[name] = () => 52;
}
const { exports: engine } = new WebAssembly.Instance(module, imports);
engine._initialize();

/** Puts `bytes` to the module, asks, and gives back status and answer. */
function ask(bytes, question, ...more) {
  const at = engine.lw_text(bytes.length);
  new Uint8Array(engine.memory.buffer, at, bytes.length).set(bytes);
  const status = question(...more);
  const answer = new Uint8Array(engine.memory.buffer, engine.lw_answer(), engine.lw_answer_size());
  return { status, bytes: Buffer.from(answer) };
}

const failures = [];
const largest = { harp: 0 };
const counted = { numbers: 0 };
const fail = (what, why) => failures.push(`${what}: ${why}`);

/** The same tree: words equal, numbers within the tolerance. `kind` names the largest difference it counts to. */
function sameTree(kind, what, got, expected) {
  if (typeof expected === "number" && typeof got === "number") {
    ++counted.numbers;
    const off = Math.abs(got - expected);
    if (!(off <= tolerance)) fail(what, `${got} against ${expected}`);
    largest[kind] = Math.max(largest[kind], off);
  } else if (expected === null || typeof expected !== "object" || got === null || typeof got !== "object") {
    // null stands for a number that is none: wrong on either side.
    if (got !== expected || got === null) fail(what, `${JSON.stringify(got)} against ${JSON.stringify(expected)}`);
  } else {
    const keys = Object.keys(expected);
    if (keys.join() !== Object.keys(got).join()) return fail(what, "has other members");
    for (const key of keys) sameTree(kind, `${what}.${key}`, got[key], expected[key]);
  }
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

console.log(`wasm: ${file.length} bytes; ${harps} harps and positions`);
console.log(`largest difference: harps ${largest.harp.toExponential(2)} Hz; ${counted.numbers} numbers in all`);
for (const failure of failures.slice(0, 20)) console.error(failure);
if (failures.length > 0) {
  console.error(`${failures.length} differences`);
  process.exit(1);
}
