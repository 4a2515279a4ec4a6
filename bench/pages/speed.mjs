// SPDX-License-Identifier: GPL-3.0-or-later
//
// How fast the engine is in a page: WebAssembly against native code, and the breath line against Verovio, on the licks of
// the demo lesson, in one run on one machine.
//
//     node bench/pages/speed.mjs build/check/bench/pages/bench_pages build/wasm/lickwright.wasm
//
// Ends with 1 when WebAssembly is less than half as fast as native code at any task, or drawing less than five times as
// fast as Verovio.
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { cpus, tmpdir } from "node:os";
import { join } from "node:path";
import createVerovioModule from "verovio/wasm";
import { VerovioToolkit } from "verovio/esm";
import { moduleOf } from "../../tests/wasm/module.mjs";

const rounds = 20;
const turns = 3; // native and wasm take turns, so that a busy machine is busy for both
const [, , program, moduleFile] = process.argv;
if (!moduleFile) {
  console.error("usage: node speed.mjs bench_pages lickwright.wasm");
  process.exit(2);
}

const { put, answer, engine } = moduleOf(moduleFile);

function ask(bytes, question, ...more) {
  put(bytes);
  question(...more);
  return answer();
}

const median = (values) => values.sort((a, b) => a - b)[values.length >> 1];

/** Milliseconds of this process's own time, its compiler and collector included, so that a busy machine says the same: of the middle one of `count` rounds, after five times as many to warm up. */
function time(count, work) {
  for (let i = 0; i < 5 * count; ++i) work(); // node compiles what is used often a second time, and better
  const ms = [];
  for (let i = 0; i < count; ++i) {
    const begin = process.cpuUsage();
    work();
    const { user, system } = process.cpuUsage(begin);
    ms.push((user + system) / 1000);
  }
  return median(ms);
}

const folder = mkdtempSync(join(tmpdir(), "lickwright-pages-"));
let failed = false;
try {
  const lesson = JSON.parse(Buffer.from(ask(readFileSync("lessons/demo/lesson.md"), engine.lw_lesson)));
  lesson.licks.forEach((lick, i) => writeFileSync(join(folder, `${i}.lick`), lick.source));
  execFileSync(program, ["xml", folder]);
  const files = (ending) => readdirSync(folder).filter((name) => name.endsWith(ending)).sort().map((name) => readFileSync(join(folder, name)));
  const line = Buffer.from("\n");
  const licks = files(".lick");
  const asked = licks.map((lick) => Buffer.concat([line, lick]));
  const sounds = files(".f32").map((samples) => Buffer.concat([line, samples]));
  const scores = files(".musicxml").map(String);

  const wasm = {
    drawing: () => asked.forEach((q) => ask(q, engine.lw_picture, 760, 1, 0, 0, 1)),
    "drawing with a staff": () => asked.forEach((q) => ask(q, engine.lw_picture, 760, 1, 0, 1, 1)),
    sounding: () => licks.forEach((q) => ask(q, engine.lw_clip, 100, 1, 1)),
    listening: () => sounds.forEach((q) => ask(q, engine.lw_listen, 48000)),
  };
  const seen = { native: {}, wasm: {} };
  for (let turn = 0; turn < turns; ++turn) {
    const native = JSON.parse(execFileSync(program, ["time", folder, String(rounds)]));
    for (const task of Object.keys(wasm)) {
      (seen.native[task] ??= []).push(native[task]);
      (seen.wasm[task] ??= []).push(time(task.startsWith("drawing") ? rounds : 1, wasm[task]));
    }
  }
  const verovio = new VerovioToolkit(await createVerovioModule());
  verovio.setOptions({ pageWidth: 2100, adjustPageHeight: true, header: "none", footer: "none", breaks: "auto" });
  let engraved = 0;
  const engrave = time(rounds, () =>
    scores.forEach((xml) => {
      if (!verovio.loadData(xml)) throw new Error("Verovio does not read a case");
      engraved = verovio.renderToSVG(1).length;
    }),
  );
  const seconds = sounds.reduce((sum, q) => sum + (q.length - 1) / 4 / 48000, 0);
  console.log(`${licks.length} licks, ${seconds.toFixed(0)} s of sound; ${cpus()[0].model}, node ${process.version}, Verovio ${verovio.getVersion()}`);
  console.log("task                    native ms   wasm ms   native / wasm   wanted");
  for (const task of Object.keys(wasm)) {
    const native = median(seen.native[task]);
    const here = median(seen.wasm[task]);
    failed ||= native / here < 0.5;
    console.log(`${task.padEnd(22)} ${native.toFixed(2).padStart(10)} ${here.toFixed(2).padStart(9)} ${(native / here).toFixed(2).padStart(15)}     0.5`);
  }
  console.log(`Verovio, the same phrases as MusicXML: ${engrave.toFixed(2)} ms (${engraved} bytes of the last one)`);
  for (const task of ["drawing", "drawing with a staff"]) {
    const ratio = engrave / median(seen.wasm[task]);
    failed ||= ratio < 5;
    console.log(`${task}: ${ratio.toFixed(1)} times as fast as Verovio; wanted 5`);
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
process.exit(failed ? 1 : 0);
