// SPDX-License-Identifier: Apache-2.0
//
// What the learner played, along the line: one stroke for each reed that sounded, at its own height and at the beat where
// it sounded. It stays until the next try.

/** A moment of a stroke: beat, cents under the unbent reed, second of the ear's clock. */
export type Moment = [beat: number, cents: number, at: number];

/** One reed, as long as it sounded. */
export interface Stroke {
  hole: number;
  breath: "blow" | "draw";
  /** More than 0 when mostly no written note asked for it. */
  stray: number;
  points: Moment[];
}

/** Points closer than this say nothing new, in seconds. */
const nearest = 0.015;
/** A reed that is silent for longer begins a new stroke, in seconds. */
const longestGap = 0.12;

export class Trail {
  readonly strokes: Stroke[] = [];

  add(moment: Moment, hole: number, breath: "blow" | "draw", stray: boolean): void {
    const last = this.strokes[this.strokes.length - 1];
    const end = last?.points[last.points.length - 1];
    if (last && end && last.hole === hole && last.breath === breath && moment[0] >= end[0] && moment[2] - end[2] < longestGap) {
      if (moment[2] - end[2] >= nearest) last.points.push(moment);
      last.stray += stray ? 1 : -1;
      return;
    }
    this.strokes.push({ hole, breath, stray: stray ? 1 : -1, points: [moment] });
  }

  /** The whole take is known: every moment moves to the beat where the take's own tempo has it. */
  settle(beatOf: (at: number) => number): void {
    for (const { points } of this.strokes) for (const moment of points) moment[0] = beatOf(moment[2]);
  }
}
