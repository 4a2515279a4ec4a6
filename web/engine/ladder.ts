// SPDX-License-Identifier: Apache-2.0
//
// The ladder: from slow to fast in steps, up when the learner is ready. Ready means two clean tries in a row on a step;
// three tries with many faults lead one step down again. A try beside the click says nothing about the step. Common
// practice, no source.

export interface Try {
  /** When, as an ISO date. */
  when: string;
  /** Percent of the lick's tempo: of the click, and of what was played, where enough came to tell. */
  percent: number;
  played?: number;
  /** Notes that came right, of those that are written; what was played besides. */
  right: number;
  of: number;
  more?: number;
  /** The sentence that was said. */
  words: string;
}

/** Percent of the lick's tempo, where the lesson names no steps of its own: those of its practice audio. */
export const usualSteps: readonly number[] = [60, 80, 100];

/** As far from the click's tempo a try is still with it, as a part of it: a few notes pushed or dragged are not another tempo
 *  (common practice, no source). */
const sway = 0.08;

/** Was it played with the click? */
export const withClick = (t: Pick<Try, "percent" | "played">): boolean => t.played === undefined || Math.abs(t.played / t.percent - 1) <= sway;

/** A try is clean when nothing was wrong, missing or more than was written, and the click was kept. */
export const clean = (t: Try): boolean => t.right === t.of && !t.more && withClick(t);

/** Where to go on after the last of these tries, all of one lick, oldest first. */
export function nextPercent(tries: Try[], now: number, steps = usualSteps): number {
  const counted = tries.filter(withClick);
  const here = [];
  for (let i = counted.length - 1; i >= 0 && counted[i]!.percent === now; --i) here.push(counted[i]!);
  const up = steps.find((s) => s > now) ?? now;
  const down = [...steps].reverse().find((s) => s < now) ?? now;
  if (here.length >= 2 && clean(here[0]!) && clean(here[1]!)) return up;
  if (here.length >= 3 && here.slice(0, 3).every((t) => t.right < 0.6 * t.of)) return down;
  return now;
}
