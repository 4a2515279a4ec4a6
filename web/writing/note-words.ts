// SPDX-License-Identifier: Apache-2.0
//
// Single notes as they are typed: which holes they are on the harp, and how one sounds.
import type { Transport } from "../elements/transport";

/** `3'+4d{dip}` is `3d'` and `4d`: the notes of the harp that a word sounds. */
export function tabsOf(word: string): string[] {
  const m = /^>{0,2}((?:\d+['’]*q?\+)*\d+)([bdBD])(['’]*)q?(o?)/.exec(word);
  if (!m) return [];
  const breath = m[2]!.toLowerCase();
  const marks = m[3]!.replaceAll("’", "'");
  return m[1]!.split("+").map((hole) => {
    const own = hole.replace(/\D/g, "");
    const bent = hole.replaceAll("’", "'").replace(/[^']/g, "");
    return `${own}${breath}${bent || marks}${m[4]}`;
  });
}

const heads = /^\s*(harp|tuning|temperament|a4)\s*:.*$/gm;

/** Plays one note on the harp of this lick, for three quarters of a second. */
export async function soundOf(transport: Transport, lick: string, tab: string): Promise<void> {
  const head = lick.match(heads) ?? [];
  transport.open([...head, "tempo: 80", `tab | ${tab} . . . |`, ""].join("\n"), 0);
  transport.percent = 100;
  transport.countIn = false;
  transport.rounds = false;
  transport.clicks = false;
  transport.voice = true;
  transport.chosen = [0, 1];
  await transport.play();
}
