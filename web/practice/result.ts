// SPDX-License-Identifier: Apache-2.0
//
// What a try came to: what is kept of it, what is said of the step of the ladder, and the file that it is saved as.
import type { Verdict } from "../engine/engine";
import { clean, usualSteps, withClick, type Try } from "../engine/ladder";
import { tryFile, tryName } from "../engine/try-file";
import { blameless } from "./came";
import { playedPercent, sentence, temposOf } from "./judged";

/** What is kept of a try at `percent` of the lick's own tempo (`written` beats a minute). */
export function tryOf(v: Verdict, percent: number, written: number): Try {
  const right = v.notes.filter(blameless).length;
  const played = playedPercent(v, written);
  const t: Try = { when: new Date().toISOString(), percent, right, of: v.notes.length, more: v.extras.length, words: "" };
  if (played !== undefined) t.played = played;
  t.words = sentence(v, t, written);
  return t;
}

/** What is said of the ladder after a try: it goes on at `next` percent, `tempo` beats a minute. */
export function stepWords(t: Try, next: number, tempo: number, steps = usualSteps): string {
  if (next > t.percent) return `Two clean tries: on to ${tempo} beats a minute.`;
  if (next < t.percent) return `A little slower, at ${tempo} beats a minute, it will settle.`;
  if (!withClick(t)) return "Only a try with the click leads to another tempo.";
  if (!clean(t)) return "";
  return steps.some((step) => step > next) ? "Clean. Once more like this and the tempo goes up." : "Clean, at the top of the ladder.";
}

/** Saves the sound of a try with what was said of it. `rate` in hertz, `written` in beats a minute. */
export function saveTry(samples: Float32Array, rate: number, title: string, t: Try, written: number, advice: readonly string[]): void {
  const { click, played } = temposOf(t, written);
  const tempo = played === null ? `click at ${click} beats a minute` : `click at ${click}, played at ${played} beats a minute`;
  const link = document.createElement("a");
  link.href = URL.createObjectURL(tryFile(samples, rate, [title, tempo, ...advice].join("\n")));
  link.download = tryName(title, played ?? click);
  link.click();
  window.setTimeout(() => URL.revokeObjectURL(link.href), 10000);
}
