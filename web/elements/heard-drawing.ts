// SPDX-License-Identifier: Apache-2.0
//
// What the ear hears, on the breath line: the learner's own line, and two wings beside the number whose reed sounds now. A
// line through a number would say that it is struck out: whatever is written keeps its paper, and what was heard passes
// behind it.
import { nothing, svg } from "lit";
import { spotAt } from "../engine/clock";
import type { Picture } from "../engine/engine";
import type { Moment, Stroke, Trail } from "./trail";

/** What sounds now, drawn beside the number it belongs to. */
export interface Heard {
  note: number | null;
  /** Cents under the unbent reed that the number stands for, less those it asks for: more than 0 is too deep. */
  off: number;
}

// Points at scale 1, as engine/draw/sizes.hpp has them (docs/breath-line.md).
/** One half step of a bend. */
const step = 12;
/** Half a number's shape, and half its height with its outline. */
const radius = 8.6;
const half = 9.6;
/** From a number's edge to a wing, and the wing's length. */
const gap = 2;
const wing = 5.5;

/** The first guesses of a reed that begins to sound are rough: two are left out, and each other is the median of three. */
function steady(points: Moment[]): Moment[] {
  const kept = points.length > 6 ? points.slice(2) : points;
  return kept.map(([beat, cents, at], i) => {
    const around = [kept[i - 1]?.[1] ?? cents, cents, kept[i + 1]?.[1] ?? cents].sort((a, b) => a - b);
    return [beat, around[1]!, at];
  });
}

/** The tokens that hold a number: its middle, its width, and whether a badge and a ring stand over it. */
function numbers(p: Picture): { x: number; y: number; wide: number; bent: boolean }[] {
  const bent = new Set(p.notes.filter((n) => /['q]/.test(n.tab)).map((n) => n.lit[0]));
  return p.tokens.flatMap(([, , , , , , , , x, y, wide = 0], i) => (x === undefined || y === undefined ? [] : [{ x, y, wide, bent: bent.has(i) }]));
}

/** The paper of every number, with the badge of a bent one, is left out. Used by both drawings below. */
export function numbersMask(p: Picture, scale: number): unknown {
  const kept = numbers(p).map(({ x, y, wide, bent }) => {
    const tall = 2 * half * scale;
    return svg`<rect x=${x - wide / 2 - 1} y=${y - tall / 2} width=${wide + 2} height=${tall} rx=${tall / 2} fill="#000"/>${
      bent
        ? svg`<rect x=${x - 3 * scale} y=${y - (radius + 11) * scale} width=${17 * scale} height=${13 * scale} rx=${3 * scale} fill="#000"/>`
        : nothing
    }`;
  });
  return svg`<mask id="numbers" maskUnits="userSpaceOnUse" x="0" y="0" width=${p.width} height=${p.height}><rect
      width=${p.width} height=${p.height} fill="#fff"/>${kept}</mask>`;
}

/** The learner's own line, thin enough to leave the written one seen beside it; a reed that nothing asks for says its
 *  hole. */
export function trailDrawing(p: Picture, trail: Trail, scale: number): unknown {
  const long = trail.strokes.filter((s) => s.points.length > 1);
  return svg`<g mask="url(#numbers)" fill="none" stroke="var(--lw-take)" stroke-width="1.8" stroke-linecap="round"
      stroke-linejoin="round">${long.map((s) => svg`<path d=${path(p, s, scale)} data-trail="1"/>`)}</g>
    ${long.filter((s) => s.stray > 0).map((s) => strayDrawing(p, s, scale))}`;
}

function strayDrawing(p: Picture, s: Stroke, scale: number): unknown {
  const [beat, cents] = s.points[0]!;
  const { line, x } = spotAt(p, beat);
  return svg`<text x=${x + 10 * scale} y=${height(p, line, s, cents, scale) - 3.5 * scale} font-size=${9 * scale}
    fill="var(--lw-take)" stroke="var(--lw-paper)" stroke-width="2.4" paint-order="stroke">${s.hole}</text>`;
}

function height(p: Picture, line: number, s: Stroke, cents: number, scale: number): number {
  const rest = p.systems[line]?.[s.breath === "blow" ? 4 : 5] ?? 0;
  return rest + (Math.max(-100, Math.min(350, cents)) / 100) * step * scale;
}

function path(p: Picture, s: Stroke, scale: number): string {
  let line = -1;
  return steady(s.points)
    .map(([beat, cents]) => {
      const spot = spotAt(p, beat);
      const y = height(p, spot.line, s, cents, scale);
      const verb = spot.line === line ? "L" : "M";
      line = spot.line;
      return `${verb}${spot.x.toFixed(1)} ${y.toFixed(1)}`;
    })
    .join("");
}

/** What sounds now: two wings at the number's sides, as deep as it is bent; level with it is right. */
export function heardDrawing(p: Picture, h: Heard, scale: number): unknown {
  const lit = h.note === null ? undefined : p.notes[h.note]?.lit[0];
  const token = lit === undefined ? undefined : p.tokens[lit];
  if (!token || token[8] === undefined || token[9] === undefined) return nothing;
  const y = token[9] + (Math.max(-250, Math.min(250, h.off)) / 100) * step * scale;
  const from = (token[10] ?? 0) / 2 + gap * scale;
  const wings = [-1, 1].map((side) => `M${token[8]! + side * from} ${y}h${side * wing * scale}`).join("");
  return svg`<g mask="url(#numbers)" fill="none" stroke-linecap="round"><path d=${wings} stroke="var(--lw-paper)" stroke-width=${6.4 * scale}/><path
      d=${wings} stroke="var(--lw-take)" stroke-width=${3.4 * scale} data-heard="1"/></g>`;
}
