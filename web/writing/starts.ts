// SPDX-License-Identifier: Apache-2.0
//
// Texts to begin with: the 12-bar form in several feels, a turnaround, a tune, all with a bar or two to change. Chords of
// the forms: common practice, no source. The notes are our own.

export interface Start {
  name: string;
  words: string;
  text: string;
}

const bars = (chords: string[], tab: string[], each: number): string => {
  const lines: string[] = [];
  for (let i = 0; i < chords.length; i += each) {
    const c = chords.slice(i, i + each);
    const t = tab.slice(i, i + each);
    const wide = c.map((chord, k) => Math.max(chord.length, t[k]!.length));
    lines.push(`chords | ${c.map((x, k) => x.padEnd(wide[k]!)).join(" | ")} |`);
    lines.push(`tab    | ${t.map((x, k) => x.padEnd(wide[k]!)).join(" | ")} |`);
  }
  return lines.join("\n") + "\n";
};
const rest = ". . . .";
const rests = (many: number) => Array<string>(many).fill(rest);

export const starts: Start[] = [
  {
    name: "An empty lick",
    words: "two bars of rests",
    text: `title: A new lick\nharp: C\nposition: 2\ntempo: 90\n\ntab | ${rest} | ${rest} |\n`,
  },
  {
    name: "12 bars, shuffle",
    words: "second position, swung; the call is there, the answers are yours",
    text:
      "title: Twelve bars, shuffled\nharp: C\nposition: 2\ntempo: 108\nfeel: swing\n\n" +
      bars(
        ["G7", "G7", "G7", "G7", "C7", "C7", "G7", "G7", "D7", "C7", "G7 - C7 -", "G7 - D7 -"],
        ["(2d 3d') 4d . .", ...rests(3), "(2d 3d') 4d' >4d .", ...rests(3), "(4d 4b) 3d' 2d .", rest, "(2d 2d'') (1d 1b) . .", rest],
        4,
      ),
  },
  {
    name: "12 bars, quick change",
    words: "the fourth comes in bar two; straight eighths",
    text:
      "title: Twelve bars with a quick change\nharp: A\nposition: 2\ntempo: 132\nfeel: straight\n\n" +
      bars(
        ["E7", "A7", "E7", "E7", "A7", "A7", "E7", "E7", "B7", "A7", "E7 - A7 -", "E7 - B7 -"],
        ["(2d 2d) 3d' 3d .", ...rests(3), "(4b 4b) 4d' 4d .", ...rests(3), "(4d 3d) 2d . .", ...rests(3)],
        4,
      ),
  },
  {
    name: "12 bars, slow",
    words: "12/8, every beat naturally three",
    text:
      "title: Twelve slow bars\nharp: C\nposition: 2\nmeter: 12/8\ntempo: 58\n\n" +
      bars(
        ["G7", "C7", "G7", "G7", "C7", "C7", "G7", "G7", "D7", "C7", "G7 - C7 -", "G7 - D7 -"],
        ["(2d - 3d') 4d - .", ...rests(3), "(4d' - >4d) 4b - .", ...rests(3), "(4d 4b 3d') 2d - .", rest, ...rests(2)],
        2,
      ),
  },
  {
    name: "12 bars, minor",
    words: "third position on a C harp: the music is in D",
    text:
      "title: Twelve bars in the dark\nharp: C\nposition: 3\ntempo: 96\nfeel: swing\n\n" +
      bars(
        ["Dm7", "Dm7", "Dm7", "Dm7", "Gm7", "Gm7", "Dm7", "Dm7", "A7", "Gm7", "Dm7", "A7"],
        ["4d (5d 6d) 5d .", ...rests(3), "(6d 5d) 4d . .", ...rests(3), "5b (4d 4b) . .", ...rests(3)],
        4,
      ),
  },
  {
    name: "A turnaround",
    words: "two bars home, with a pickup",
    text:
      "title: Home in two bars\nharp: C\nposition: 2\ntempo: 92\nfeel: swing\n\n" +
      "chords .       | G7 - C7 -               | G7 - D7 |\n" +
      "tab    (4b 4d) | (5d 4d) 4d' (4b 3d) 3d' | 2d . 1d |\n",
  },
  {
    name: "A tune, first position",
    words: "a waltz of eight bars, no bends",
    text:
      "title: A tune to fill\nharp: C\nposition: 1\nmeter: 3/4\ntempo: 112\n\n" +
      bars(
        ["C", "F", "C", "G7", "C", "F", "G7", "C"],
        ["4b 5b 6b", "6d - 5d", ". . .", ". . .", "4b 5b 6b", ". . .", ". . .", "4b - ."],
        4,
      ),
  },
];

/** Behind the last line of a lesson: one lick more. */
export function asFence(text: string): string {
  return `\n\`\`\`lick\n${text.trimEnd()}\n\`\`\`\n`;
}

/** A single lick as the first of a lesson. */
export function asLesson(title: string, text: string): string {
  return `---\ntitle: ${title || "A lesson"}\n---\n\nWhat you say before the first lick.\n${asFence(text)}`;
}
