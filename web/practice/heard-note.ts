// SPDX-License-Identifier: Apache-2.0
//
// What sounds and what was played, laid against what is written: which number a reed belongs to, and the beats of a take.
import type { Heard } from "../elements/heard-drawing";
import type { Live, Verdict, WrittenNote } from "../engine/engine";

/** Cents that a written note is bent; its marks are `'` for a half step, `q` for a quarter. */
const askedDepth = (tab: string): number => 100 * (tab.split("'").length - 1) + (tab.includes("q") ? 50 : 0);

/** The number that `live` stands beside, and how far it is off what that asks for: of the notes on its reed the one that the
 *  place mark at `beat` is nearest to. */
export function heardNote(notes: WrittenNote[], live: Live, beat: number | null): Heard | null {
  if (live.note === null) return null;
  const reed = (n: number) => notes[n]?.tab.replace(/['q]/g, "");
  const off = (n: number) => Math.abs((notes[n]?.beat ?? 0) - (beat ?? 0));
  const asked = live.note;
  const note = beat === null ? asked : notes.reduce((best, _, n) => (reed(n) === reed(asked) && off(n) < off(best) ? n : best), asked);
  return { note, off: live.cents - askedDepth(notes[note]?.tab ?? "") };
}

/** Seconds of a take and the beats they stand for by its own tempo, both rising. */
export function tempoOf(v: Verdict, notes: WrittenNote[]): [number, number][] {
  const pairs: [number, number][] = [];
  for (const g of v.notes) {
    const beat = notes[g.note]?.beat;
    const last = pairs[pairs.length - 1];
    if (g.onset === undefined || beat === undefined) continue;
    const meant = g.onset - (g.late ?? 0);
    if (!last || (meant > last[0] && beat > last[1])) pairs.push([meant, beat]);
  }
  return pairs;
}
