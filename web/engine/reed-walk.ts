// SPDX-License-Identifier: Apache-2.0
//
// One breath through every reed of a harp, hole after hole: where each stands against the harp as it was made. A reed counts
// when its pitch has stood still for half a second; the next one counts when the breath has changed. Plain state, no drawing.
import type { Look } from "./engine";

export const reedCount = 20;
/** A reed that stands farther off, in cents, is another note or a bent one (wasm/ear.cpp refuses it too). */
const farthest = 80;
/** What has to stand still: seconds, and cents from lowest to highest tenth. */
const steady = 0.5;
const wander = 16;
/** A breath goes on over a moment in which something else was heard, in seconds; and over a longer one in which a busy page did
 *  not look at all. */
const gap = 0.15;
const unseen = 0.3;
/** So many looks at least: two that agree may be two breaths. */
const fewest = 3;
/** A breath ends when the reed has been away this long, in seconds. */
const away = 0.06;

export const holeOf = (reed: number): number => (reed >> 1) + 1;
export const breathOf = (reed: number): "blow" | "draw" => (reed % 2 === 0 ? "blow" : "draw");

export class ReedWalk {
  /** The reed that is asked for; hole 1 blow is 0, hole 1 draw 1. `reedCount` when all are done. */
  at = 0;
  /** Cents against the harp as it was made; null was skipped or not asked yet. */
  readonly cents: (number | null)[] = new Array<number | null>(reedCount).fill(null);
  private readings: { at: number; cents: number }[] = [];
  /** The pitch of the breath that counted last, until it has ended. */
  private last = 0;
  private lastHeard = 0;

  /** `made`: frequencies of the harp's reeds, hole 1 blow first. */
  constructor(private readonly made: number[]) {}

  get done(): boolean {
    return this.at >= reedCount;
  }

  get known(): number {
    return this.cents.filter((c) => c !== null).length;
  }

  /** How much of the breath has been heard, 0 to 1. */
  get heard(): number {
    const [first] = this.readings;
    return first ? Math.min(1, (this.readings[this.readings.length - 1]!.at - first.at) / steady) : 0;
  }

  /** What sounds now; true when that settled the reed. */
  hear(look: Look): boolean {
    const made = this.made[this.at];
    if (made === undefined) return false;
    const off = (from: number) => (look.hz > 0 ? 1200 * Math.log2(look.hz / from) : Infinity);
    if (this.last > 0) {
      if (Math.abs(off(this.last)) < farthest) this.lastHeard = look.at;
      if (look.at - this.lastHeard < away) return false;
      this.last = 0;
    }
    const cents = off(made);
    const before = this.readings[this.readings.length - 1];
    const itself = Math.abs(cents) <= farthest;
    if (before && look.at - before.at > (itself ? unseen : gap)) this.readings = [];
    if (!itself) return false;
    this.readings.push({ at: look.at, cents });
    while (this.readings.length > 1 && look.at - this.readings[1]!.at >= steady) this.readings.shift();
    if (look.at - this.readings[0]!.at < steady || this.readings.length < fewest) return false;
    const sorted = this.readings.map((r) => r.cents).sort((a, b) => a - b);
    const part = (share: number) => sorted[Math.floor(share * (sorted.length - 1))]!;
    if (part(0.9) - part(0.1) > wander) return false;
    this.cents[this.at] = Math.round(10 * part(0.5)) / 10;
    this.last = look.hz;
    this.lastHeard = look.at;
    this.step(1);
    return true;
  }

  /** On without this reed, or back to the one before. */
  step(by: 1 | -1): void {
    this.at = Math.max(0, Math.min(reedCount, this.at + by));
    this.readings = [];
  }
}
