// SPDX-License-Identifier: Apache-2.0
//
// How a note of a try came, in words: whole for the list, short for under the note.
import type { Mark } from "../elements/lick-picture";
import type { Grade } from "../engine/engine";

/** Right, and nothing to say against it. */
export const blameless = (g: Grade): boolean => g.came === "right" && (g.faults?.length ?? 0) === 0;

/** While the try goes on: coarser than the verdict, which hears the whole take. */
export function markNow(came: string, late: number, cents: number | null): Mark {
  const right = came === "right";
  if (!right) return { words: came, short: [came], right };
  if (Math.abs(late) > 0.035) return { ...timing(late, late > 0 ? "late" : "early"), right };
  if (cents !== null && Math.abs(cents) > 20) return { ...tuning(cents), right };
  return { words: "right", short: [], right };
}

export function mark(g: Grade): Mark {
  const said = faults(g);
  return { words: said.map((s) => s.words).join(", ") || "right", short: said[0]?.short ?? [], right: blameless(g) };
}

interface Said {
  words: string;
  short: string[];
}

function faults(g: Grade): Said[] {
  if (g.came === "missing") return [{ words: "missing", short: ["missing"] }];
  const said = (g.faults ?? []).map((fault): Said => {
    if (fault === "late" || fault === "early") return timing(g.late ?? 0, fault);
    if (fault === "flat" || fault === "sharp" || fault === "wrong bend")
      return g.cents === null || g.cents === undefined ? { words: fault, short: [fault] } : tuning(g.cents);
    if (fault === "wrong hole" || fault === "wrong breath") return { words: `came as ${g.heard}`, short: [`as ${g.heard}`] };
    if (fault === "short" || fault === "long") return { words: `too ${fault}`, short: [fault] };
    return { words: fault, short: [fault] };
  });
  // A wrong bend is flat as well: one of the two is enough.
  return said.filter((s, i) => said.findIndex((other) => other.words === s.words) === i);
}

function timing(late: number, word: string): Said {
  const words = `${Math.round(Math.abs(late) * 1000)} ms ${word}`;
  return { words, short: [words, word] };
}

function tuning(cents: number): Said {
  const size = Math.round(Math.abs(cents));
  const word = cents > 0 ? "sharp" : "flat";
  return { words: `${size} cents too ${cents > 0 ? "high" : "low"}`, short: [`${size} cents ${word}`, word] };
}
