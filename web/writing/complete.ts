// SPDX-License-Identifier: Apache-2.0
//
// What can be written at the cursor: keys of the head and their values, gestures inside braces, and the notes that this
// harp has on the hole that was begun. The words are those of docs/language.md; a test reads them there.
import { startCompletion, type Completion, type CompletionContext, type CompletionResult } from "@codemirror/autocomplete";
import type { EditorView } from "@codemirror/view";
import type { HarpNote, HarpReading } from "../engine/engine";
import { harps } from "../elements/transport";
import { laneStart } from "./lick-words";

/** Keys of a lick's head: what they say, and values to choose from. */
export const headKeys: Record<string, { says: string; values: string[] }> = {
  title: { says: "its name", values: [] },
  harp: { says: "key of the harp", values: harps },
  position: { says: "1 to 12", values: ["1", "2", "3", "4", "5", "12"] },
  meter: { says: "beats of a bar", values: ["2/4", "3/4", "4/4", "5/4", "6/8", "9/8", "12/8"] },
  tempo: { says: "beats a minute", values: ["60", "76", "92", "108", "120"] },
  feel: { says: "straight or swung", values: ["straight", "swing", "swing 3:2"] },
  tuning: {
    says: "of the harp",
    values: ["standard", "raised 3 blow", "raised 5 draw", "raised 5 and 9 draw", "second-position major", "natural minor", "harmonic minor"],
  },
  temperament: { says: "how the reeds are tuned", values: ["equal", "just 1st position", "just 2nd position", "just 3rd position", "just 19-limit", "half-tempered compromise"] },
  a4: { says: "pitch of A4 in Hz", values: ["440", "442"] },
  tags: { says: "words to find it by", values: [] },
  more: { says: "address of the full lesson", values: [] },
  credit: { says: "where it comes from", values: ["our own", "traditional shape, own variation"] },
  ladder: { says: "steps from slow to fast", values: ["60% 80% 100%", "50% 60% 70% 80% 90% 100%"] },
  repeats: { says: "how often in a clip", values: ["1", "2", "4"] },
  click: { says: "in the clips", values: ["throughout", "count-in"] },
  formats: { says: "of the clips", values: ["mp3", "wav", "flac", "ogg"] },
};

export const gestures: Record<string, string> = {
  vibrato: "a slow wave in the pitch",
  dip: "starts bent, comes up at once",
  scoop: "comes up from below",
  fall: "falls off at the end",
  wah: "the hand opens",
  flutter: "the tongue or the hand beats",
  slap: "the tongue slaps the chord away",
  accent: "stronger",
  short: "cut short",
  ghost: "hardly there",
  "shake 5": "to and fro with the other hole",
  "from 3d": "a quick approach from there",
};

const bends = ["plain", "bent a half step", "bent a whole step", "bent three half steps"];

/** A note in words: `hole 4, draw, bent a half step`. */
export function noteInWords(n: HarpNote): string {
  const how = n.overbend ? (n.breath === "blow" ? "overblow" : "overdraw") : n.bend > 0 ? `${n.breath}, ${bends[n.bend]}` : n.breath;
  return `hole ${n.hole}, ${how}`;
}

/** What the page knows of the text: the harp of the lick that is shown, and whether a line is prose of a lesson. */
export interface Known {
  harp: () => HarpReading | null;
  prose: (line: number) => boolean;
}

/** Tells what fits at the cursor. Nothing is offered for what is complete as it stands, so that Enter is Enter. */
export function completions(known: Known): (context: CompletionContext) => CompletionResult | null {
  return (context) => {
    const line = context.state.doc.lineAt(context.pos);
    if (known.prose(line.number)) return null;
    const before = line.text.slice(0, context.pos - line.from);
    const options = (list: Completion[], typed: string, ask = false): CompletionResult | null =>
      !context.explicit && ((typed === "" && !ask) || list.some((c) => c.label === typed)) ? null : { from: context.pos - typed.length, options: list, filter: true };

    const brace = /\{([a-z0-9' ]*)$/.exec(before);
    if (brace && laneStart(line.text) >= 0) {
      return options(
        Object.entries(gestures).map(([label, detail]) => ({ label, detail, apply: closing(label), type: "keyword" })),
        brace[1]!,
        true,
      );
    }
    const value = /^\s*([a-z0-9]+)\s*:\s*(.*)$/.exec(before);
    if (value) {
      const key = headKeys[value[1]!];
      return key && key.values.length > 0
        ? options(key.values.map((label) => ({ label, type: "constant" })), value[2]!, true)
        : null;
    }
    if (laneStart(line.text) >= 0) {
      const note = /(?:^|[\s(>])(\d{1,2}[bd]?[o']*)$/.exec(before);
      if (!note && !context.explicit) return null;
      const typed = note?.[1] ?? "";
      const hole = /^\d+/.exec(typed)?.[0];
      const all = (known.harp()?.notes ?? []).filter((n) => hole === undefined || String(n.hole).startsWith(hole));
      return options(
        all.map((n) => ({ label: n.tab, detail: `${n.note.replace(/\d$/, "")}, ${n.degree} · ${noteInWords(n)}`, type: "variable" })),
        typed,
      );
    }
    const word = /^\s*([a-z0-9]*)$/.exec(before);
    if (word)
      return options(
        [
          ...Object.entries(headKeys).map(([k, v]) => ({ label: k, detail: v.says, apply: opening(k, v.values.length > 0), type: "property" })),
          { label: "tab", detail: "the notes", apply: "tab    | ", type: "keyword" },
          { label: "chords", detail: "chord symbols above them", apply: "chords | ", type: "keyword" },
        ],
        word[1]!,
      );
    return null;
  };
}

/** A key of the head, and what can stand behind it at once. */
const opening = (key: string, values: boolean) => (view: EditorView, _: Completion, from: number, to: number) => {
  view.dispatch({ changes: { from, to, insert: `${key}: ` }, selection: { anchor: from + key.length + 2 } });
  if (values) startCompletion(view);
};

/** A gesture closes its brace, unless the brace is closed already. */
const closing = (label: string) => (view: EditorView, _: Completion, from: number, to: number) => {
  const closed = view.state.sliceDoc(to, to + 1) === "}";
  view.dispatch({ changes: { from, to, insert: closed ? label : `${label}}` }, selection: { anchor: from + label.length + 1 } });
};
