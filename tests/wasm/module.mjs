// SPDX-License-Identifier: GPL-3.0-or-later
//
// The engine's module in node, and how bytes and samples go in and out of it (wasm/exports.cpp).
import { readFileSync } from "node:fs";

/** Opens a module, which asks the system for nothing: every import is a refusal (52 is WASI's `nosys`). */
export function moduleOf(file) {
  const module = new WebAssembly.Module(readFileSync(file));
  const imports = {};
  for (const { module: from, name } of WebAssembly.Module.imports(module)) {
    if (from !== "wasi_snapshot_preview1") throw new Error(`unexpected import ${from}.${name}`);
    (imports[from] ??= {})[name] = () => 52;
  }
  const { exports: engine } = new WebAssembly.Instance(module, imports);
  engine._initialize();
  return {
    engine,
    /** Puts the question that the next call answers. */
    put(bytes) {
      const at = engine.lw_text(bytes.length);
      new Uint8Array(engine.memory.buffer, at, bytes.length).set(bytes);
    },
    /** The last answer, where it lies: good until the next call. */
    answer: () => new Uint8Array(engine.memory.buffer, engine.lw_answer(), engine.lw_answer_size()),
    /** Gives samples to the ear that is open. */
    hear(samples) {
      const at = engine.lw_ear_room(samples.length);
      new Float32Array(engine.memory.buffer, at, samples.length).set(samples);
      engine.lw_ear_push(samples.length);
    },
  };
}
