// SPDX-License-Identifier: Apache-2.0
//
// The engine of this page. One is made for all elements; whoever holds the module's bytes brings it, and elements that
// were given none of their own ask here.
import type { Engine } from "./engine";

let bring: (engine: Engine) => void;
const brought = new Promise<Engine>((resolve) => (bring = resolve));

export function bringEngine(engine: Engine): void {
  bring(engine);
}

export const pageEngine = (): Promise<Engine> => brought;
