// SPDX-License-Identifier: Apache-2.0
//
// The engine of this page: one for all elements, made when the first of them asks. Whoever has the module's bytes says how.
import type { Engine } from "./engine";

let make: (() => Promise<Engine>) | null = null;
let wanted = false;
let bring: (engine: Engine | Promise<Engine>) => void;
const brought = new Promise<Engine>((resolve) => (bring = resolve));

export function engineFrom(maker: () => Promise<Engine>): void {
  make = maker;
  if (wanted) bring(make());
}

export function pageEngine(): Promise<Engine> {
  if (make && !wanted) bring(make());
  wanted = true;
  return brought;
}
