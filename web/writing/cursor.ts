// SPDX-License-Identifier: Apache-2.0
//
// Between text and picture: which word the cursor is on, when that word sounds, and the way back from a beat to a word.
import type { EditorState } from "@codemirror/state";
import type { Picture } from "../engine/engine";
import type { Shown } from "./document";
import { placeOf, positionOf } from "./editor";
import { wordAt, wordsIn, type Room } from "./enter";
import type { Word } from "./lick-words";

type Event = Picture["events"][number];

export class Cursor {
  readonly room: Room;

  /** `picture` is that of the lick that is shown, or null while there is none that fits the text. */
  constructor(
    private readonly state: EditorState,
    private readonly now: Shown,
    private readonly picture: Picture | null,
  ) {
    this.room = { first: now.part.first, end: now.part.end, beats: now.reading.beats };
  }

  /** The word that a note would take the place of; null at the lane's end. */
  get place(): Word | null {
    return wordAt(this.state.doc, this.room, this.state.selection.main.from);
  }

  /** The word that the cursor touches, or else the next. */
  get word(): Word | null {
    const { from, head } = this.state.selection.main;
    const touched = wordsIn(this.state.doc, this.room).find((w) => w.from <= from && (from < w.to || (from === w.to && head === from)));
    return touched ?? this.place;
  }

  /** First and last beat of that word, when it is first played. */
  get beats(): [number, number] | null {
    const event = this.word && this.eventOf(this.word);
    return event ? [event[3], event[4]] : null;
  }

  /** The bars of what is selected, in beats. */
  bars(meter: number): [number, number] | null {
    const { from, to } = this.state.selection.main;
    const first = this.beats;
    if (!first) return null;
    const last = wordsIn(this.state.doc, this.room).filter((w) => w.from < Math.max(to, from + 1)).pop();
    const end = Math.max(first[1], (last && this.eventOf(last)?.[4]) ?? first[1]);
    return [Math.floor(first[0] / meter + 1e-9) * meter, Math.ceil(end / meter - 1e-9) * meter];
  }

  /** The word that sounds, or rests, at this beat. */
  at(beat: number): Word | null {
    const event = this.picture?.events.find(([, , , from, to]) => beat >= from && beat < to);
    if (!event) return null;
    const { first, shift } = this.now.part;
    return wordAt(this.state.doc, this.room, positionOf(this.state.doc, event[0] - shift + first - 1, event[1]));
  }

  /** The next word, or the one before. */
  beside(step: 1 | -1): Word | null {
    const words = wordsIn(this.state.doc, this.room);
    const here = this.word;
    const at = words.findIndex((w) => w.from === here?.from);
    return words[at < 0 ? 0 : at + step] ?? null;
  }

  private eventOf(word: Word): Event | undefined {
    const at = placeOf(this.state.doc, word.from);
    const line = at.line - this.now.part.first + 1 + this.now.part.shift;
    return this.picture?.events.find(([l, column, length]) => l === line && column <= at.column && at.column < column + Math.max(1, length));
  }
}
