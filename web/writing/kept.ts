// SPDX-License-Identifier: Apache-2.0
//
// The work, kept in this browser at every change, under the text that its page was made with: two pages never show each
// other's work, each may offer it. A text that nobody changed is not kept. What does not fit is said, so that it can be
// saved as a file in time.

export interface Work {
  text: string;
  /** Of the file it came from or went to. */
  name: string;
  cursor: number;
  /** When it was kept, in milliseconds since 1970. */
  when?: number;
}

const all = "lickwright writing/work";

/** Where the work on this text is kept: 64 bits of FNV-1a (draft-eastlake-fnv). */
export function placeFor(text: string): string {
  let hash = 0xcbf29ce484222325n;
  for (const byte of new TextEncoder().encode(text)) hash = BigInt.asUintN(64, (hash ^ BigInt(byte)) * 0x100000001b3n);
  return `${all}/${hash.toString(16)}`;
}

export function kept(place: string): Work | null {
  try {
    const work = JSON.parse(localStorage.getItem(place) ?? "null") as Work | null;
    return work && typeof work.text === "string" ? work : null;
  } catch {
    return null;
  }
}

/** The work that was kept last somewhere else than here. */
export function keptElsewhere(here: string): { place: string; work: Work } | null {
  let last: { place: string; work: Work } | null = null;
  try {
    for (const place of Object.keys(localStorage)) {
      if (!place.startsWith(all) || place === here) continue;
      const work = kept(place);
      if (work && work.text.trim() !== "" && (work.when ?? 0) >= (last?.work.when ?? 0)) last = { place, work };
    }
  } catch {
    // A closed store has kept nothing.
  }
  return last;
}

/** Words for the writer when it could not be kept; empty when all is well. */
export function keep(place: string, work: Work): string {
  try {
    localStorage.setItem(place, JSON.stringify({ ...work, when: Date.now() }));
    return "";
  } catch {
    return "This browser cannot keep your work: its store is full or closed. Save it as a file before you leave.";
  }
}
