// SPDX-License-Identifier: Apache-2.0
//
// From seconds to beats to a place on the picture. Plain functions over the engine's tables.
import type { Picture, Timeline } from "./engine";

/** The beat at a second of the pass; beyond the ends the tempo goes on. */
export function beatAt(t: Timeline, second: number): number {
  return between(t.beats, second, 0, 1, t.tempo / 60);
}

/** The second at which a beat comes by. */
export function secondAt(t: Timeline, beat: number): number {
  return between(t.beats, beat, 1, 0, 60 / t.tempo);
}

/** Beat of a second by known pairs of both, at least one; beyond the ends at `tempo`. */
export function beatBy(pairs: [number, number][], second: number, tempo: number): number {
  return between(pairs, second, 0, 1, tempo / 60);
}

function between(table: [number, number][], at: number, from: 0 | 1, to: 0 | 1, slope: number): number {
  const first = table[0];
  const last = table[table.length - 1];
  if (!first || !last) return at * slope;
  if (at <= first[from]) return first[to] - (first[from] - at) * slope;
  if (at >= last[from]) return last[to] + (at - last[from]) * slope;
  let low = 0;
  let high = table.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (table[middle]![from] <= at) low = middle;
    else high = middle;
  }
  const a = table[low]!;
  const b = table[high]!;
  const span = b[from] - a[from];
  return span > 0 ? a[to] + ((b[to] - a[to]) * (at - a[from])) / span : a[to];
}

/** Where the place mark stands at a beat: line and x. */
export function spotAt(p: Picture, beat: number): { line: number; x: number } {
  const track = p.track;
  let i = 0;
  while (i + 1 < track.length && track[i + 1]![0] <= beat) ++i;
  const here = track[i];
  if (!here) return { line: 0, x: 0 };
  const next = track[i + 1];
  if (beat <= here[0] || !next || next[1] !== here[1] || next[0] <= here[0]) return { line: here[1], x: here[2] };
  return { line: here[1], x: here[2] + ((next[2] - here[2]) * (beat - here[0])) / (next[0] - here[0]) };
}

/** The beat under a point of the picture, between whole beats as well; null off every line. */
export function beatNear(p: Picture, x: number, y: number): number | null {
  const line = p.systems.findIndex(([, top, , bottom]) => y >= top - 12 && y <= bottom + 12);
  if (line < 0) return null;
  const on = p.track.map((t, i) => [t, p.track[i + 1]] as const).filter(([t]) => t[1] === line);
  for (const [[beat, , left], next] of on) {
    if (!next || next[1] !== line || next[0] <= beat || x >= next[2]) continue;
    return x <= left ? beat : beat + ((next[0] - beat) * (x - left)) / (next[2] - left);
  }
  return on[on.length - 1]?.[0][0] ?? null;
}

/** The beat under a point of the picture, to the nearest whole beat of its line; null off every line. */
export function beatUnder(p: Picture, x: number, y: number, slack: number): number | null {
  let line = -1;
  let nearest = slack;
  p.systems.forEach(([, top, , bottom], i) => {
    const off = y < top ? top - y : y > bottom ? y - bottom : 0;
    if (off < nearest || (off === 0 && nearest > 0)) {
      nearest = off;
      line = i;
    }
  });
  if (line < 0) return null;
  let beat = p.start;
  let best = Infinity;
  for (const [at, system, place] of p.track) {
    if (system !== line || Math.abs(at - Math.round(at)) > 1e-6) continue;
    if (Math.abs(place - x) < best) {
      best = Math.abs(place - x);
      beat = at;
    }
  }
  return best < Infinity ? beat : null;
}

/** The lines that a stretch of beats covers: line, left and right. */
export function stretch(p: Picture, from: number, to: number): { line: number; left: number; right: number }[] {
  const parts: { line: number; left: number; right: number }[] = [];
  for (let i = 0; i + 1 < p.track.length; ++i) {
    const [a, line, x] = p.track[i]!;
    const [b, nextLine, nextX] = p.track[i + 1]!;
    if (line !== nextLine || b <= a || b <= from || a >= to) continue;
    const along = (beat: number) => x + ((nextX - x) * (Math.min(Math.max(beat, a), b) - a)) / (b - a);
    const last = parts[parts.length - 1];
    if (last && last.line === line) last.right = along(to);
    else parts.push({ line, left: along(from), right: along(to) });
  }
  return parts;
}
