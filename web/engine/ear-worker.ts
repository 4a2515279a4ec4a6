// SPDX-License-Identifier: Apache-2.0
//
// Hears in a thread of its own, so that the page's sound never stutters while the ear thinks.
import { Engine } from "./engine";

interface Start {
  module: WebAssembly.Module;
  port: MessagePort;
  rate: number;
}
interface Order {
  open?: { lick: string; harp: string; reeds?: (number | null)[] };
  finish?: boolean;
}

/** Samples of a try that are kept for the file to send: two minutes. */
const longest = 120;

let engine: Engine | null = null;
let rate = 48000;
let listening = false;
let kept: Float32Array[] = [];
let count = 0;

function heard(samples: Float32Array): void {
  if (!engine || !listening) return;
  engine.hear(samples);
  if (count < longest * rate) {
    kept.push(samples);
    count += samples.length;
  }
  postMessage({ look: engine.look() });
}

function ordered({ open, finish }: Order): void {
  if (!engine) return;
  if (open) {
    engine.openEar(open.lick, { rate, ...open });
    kept = [];
    count = 0;
    listening = true;
  }
  if (finish && listening) {
    listening = false;
    const all = new Float32Array(count);
    let at = 0;
    for (const part of kept) {
      all.set(part, at);
      at += part.length;
    }
    postMessage({ samples: all, verdict: engine.verdict() });
  }
}

onmessage = (e: MessageEvent<Start>) => {
  engine = Engine.from(e.data.module);
  rate = e.data.rate;
  e.data.port.onmessage = (next: MessageEvent<Float32Array | Order>) => {
    if (next.data instanceof Float32Array) heard(next.data);
    else ordered(next.data);
  };
};
