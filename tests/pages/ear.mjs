// SPDX-License-Identifier: GPL-3.0-or-later
//
// The thirty takes of the microphone test (takes.mjs) given straight to the page's engine, without a browser: what arrives
// whole must be judged as planted, wherever the pieces of sound are cut. A browser on a busy machine cannot promise that a take
// arrives whole (microphone.mjs gives some of them the long way); here nothing can be lost.
//
//     node ear.mjs WASM PAGE LICKWRIGHT FLUIDSYNTH [NUMBER ...]
//
// Without numbers all thirty, each cut in one way; with numbers those, cut in three ways.
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { buildSync } from "esbuild";
import { moduleOf } from "../wasm/module.mjs";
import { assert, check, finish } from "./browser.mjs";
import { blamed, lead, needsWalk, rate, reedsOf, takes, written, writtenBreaths } from "./takes.mjs";

const [, , moduleFile, page, lickwright, fluidsynth, ...which] = process.argv;
const folder = mkdtempSync(join(tmpdir(), "lw-ear-"));
const licks = JSON.parse(readFileSync(page, "utf8").match(/id="lw-lesson">(.*?)<\/script>/s)[1]).licks;

const { engine, put, answer, hear } = moduleOf(moduleFile);
const said = () => JSON.parse(Buffer.from(answer()));

/** Gives `samples` to the ear in pieces of `piece` samples; `seen` is shown each look. */
function give(lick, reeds, samples, piece, seen = () => {}) {
  put(Buffer.from(`${reeds ? ` ${reeds.map((c) => c.toFixed(1)).join(" ")}` : ""}\n${lick}`));
  engine.lw_ear_open(rate);
  for (let i = 0; i < samples.length; i += piece) {
    hear(samples.subarray(i, i + piece));
    engine.lw_ear_look();
    seen(said());
  }
}

/** What the page's ear says of a take. */
function verdictOn(...take) {
  give(...take);
  assert.equal(engine.lw_ear_finish(), 0);
  return said();
}

/** The samples of a WAV that takes.mjs wrote. */
function samplesOf(wav) {
  const bytes = readFileSync(wav);
  return Float32Array.from(new Int16Array(bytes.buffer.slice(bytes.byteOffset + 44, bytes.byteOffset + bytes.length)), (x) => x / 32768);
}

const bundle = buildSync({ entryPoints: [new URL("../../web/engine/reed-walk.ts", import.meta.url).pathname], bundle: true, format: "esm", write: false });
const { ReedWalk } = await import(`data:text/javascript;base64,${Buffer.from(bundle.outputFiles[0].contents).toString("base64")}`);

const walks = new Map();
/** What the page's walk through the reeds of a lick's harp finds, a breath each, where one is called for. */
async function reedsFor({ set, lick }) {
  if (!needsWalk(set, lick)) return null;
  const name = `${set}'s reeds, lick ${lick + 1}`;
  if (walks.has(name)) return walks.get(name);
  const wav = join(folder, `${set}-${lick}.wav`);
  const keys = reedsOf(licks[lick].source, lickwright);
  const tuned = writtenBreaths(set, keys, wav, fluidsynth);
  const walk = new ReedWalk(keys.map((key) => 440 * 2 ** ((key - 69) / 12)));
  // A page looks about ten times a second; when it is busy, every fourth of a second.
  give(licks[lick].source, null, samplesOf(wav), lick === 0 ? 12000 : 4800, (look) => walk.hear(look));
  await check(`the walk through ${name}: each within 3 cents of its autocorrelation, 7 above 1 kHz`, () => {
    assert.ok(walk.done, `stands at ${walk.at}`);
    walk.cents.forEach((cents, i) => assert.ok(Math.abs(cents - tuned[i]) < (keys[i] < 84 ? 3 : 7), `reed ${i}: ${cents} against ${tuned[i]}`));
  });
  walks.set(name, walk.cents);
  return walks.get(name);
}

/** A try is begun somewhere in the silence before the phrase, and a worklet's pieces are cut anywhere: seconds, samples. */
const cuts = [[0, 4800], [0.7313, 4096], [1.9077, 5003]];
const asked = which.length ? takes.filter((t) => which.map(Number).includes(t.number)) : takes;
for (const take of asked) {
  const wav = join(folder, `${take.number}.wav`);
  written(take, licks[take.lick].source, wav, { lickwright, fluidsynth });
  const samples = samplesOf(wav);
  const reeds = await reedsFor(take);
  const planted = take.faults.map(([kind, note]) => `${kind} ${note}`).sort();
  for (const [from, piece] of which.length ? cuts : [cuts[take.number % cuts.length]])
    await check(`${take.name}, from ${from} s in pieces of ${piece}`, () => {
      assert.ok(from < lead - 1);
      const verdict = verdictOn(licks[take.lick].source, reeds, samples.subarray(Math.round(from * rate)), piece);
      assert.ok(verdict.same_lick, `not taken for the lick: likeness ${verdict.likeness}`);
      assert.deepEqual(blamed(verdict).sort(), planted);
    });
}
rmSync(folder, { recursive: true });
finish(0);
