// SPDX-License-Identifier: Apache-2.0
//
// Writing by holes: what is chosen on the harp, on a key or by playing takes the place of the word at the cursor, and the
// cursor goes to the next one. A bar is always full: where the lane ends, a new bar of rests begins. So the picture and
// the sound follow every note, and a lick can be filled in like a form. Plain functions over the text.
import type { Text } from "@codemirror/state";
import { laneStart, wordsOf, type Word } from "./lick-words";

/** What is done to the text, and what is selected then. */
export interface Change {
  from: number;
  to: number;
  insert: string;
  select: [number, number];
}

/** The lines of a document between which one lick stands, from 1, `end` excluded, and how many slots its bar has. */
export interface Room {
  first: number;
  end: number;
  beats: number;
}

/** Every word of the lick's tab lanes, with its place in the document. */
export function wordsIn(doc: Text, room: Room): Word[] {
  const all: Word[] = [];
  for (let n = room.first; n < room.end && n <= doc.lines; ++n) {
    const line = doc.line(n);
    for (const w of wordsOf(line.text)) all.push({ ...w, from: line.from + w.from, to: line.from + w.to });
  }
  return all;
}

/** The word that the selection stands on or before; outside the lane that is the first rest. Null at the lane's end. */
export function wordAt(doc: Text, room: Room, from: number): Word | null {
  const words = wordsIn(doc, room);
  const line = doc.lineAt(from);
  const inLane = line.number >= room.first && line.number < room.end && laneStart(line.text) >= 0;
  if (!inLane) return words.find((w) => w.text === ".") ?? null;
  return words.find((w) => w.from >= from || (w.from < from && from < w.to)) ?? null;
}

/** Slots of a bar as far as it is written: groups count once, or as often as `/n` says. */
function slotsIn(bar: string): number {
  let depth = 0;
  let slots = 0;
  for (const m of bar.matchAll(/[()]|\/(\d+)|(?:[^\s|:(){},/]|\{[^}]*\}?)+/g)) {
    if (m[0] === "(") ++depth;
    else if (m[0] === ")") {
      if (--depth === 0) ++slots;
    } else if (m[1] !== undefined) slots += depth === 0 ? Number(m[1]) - 1 : 0;
    else if (depth === 0) ++slots;
  }
  return slots;
}

const codeOf = (line: string) => /\s#(\s|$)/.exec(line)?.index ?? line.length;

/** `word` behind the end of the tab lane, in a bar of its own when the last one is full. */
function appended(doc: Text, room: Room, word: string): Change {
  let lane = 0;
  for (let n = room.first; n < room.end && n <= doc.lines; ++n) if (laneStart(doc.line(n).text) >= 0) lane = n;
  const rests = (many: number) => " .".repeat(Math.max(0, many));
  if (lane === 0) {
    const last = doc.line(Math.min(doc.lines, Math.max(room.first, room.end - 1)));
    const insert = `${last.text.trim() === "" ? "" : "\n"}tab | ${word}${rests(room.beats - 1)} |`;
    const from = last.to + insert.indexOf(word);
    const next = room.beats > 1 ? from + word.length + 1 : from + word.length;
    return { from: last.to, to: last.to, insert, select: [next, room.beats > 1 ? next + 1 : next] };
  }
  const line = doc.line(lane);
  const code = line.text.slice(0, codeOf(line.text)).trimEnd();
  const at = line.from + code.length;
  const bar = code.slice(Math.max(code.lastIndexOf("|") + 1, laneStart(code)));
  const slots = slotsIn(bar);
  // A bar that is not closed is filled first.
  const open = slots > 0 && slots < room.beats;
  const before = open || /\|$/.test(code) ? " " : " | ";
  const left = room.beats - 1 - (open ? slots : 0);
  const insert = `${before}${word}${rests(left)} |`;
  const from = at + before.length;
  const next = left > 0 ? from + word.length + 1 : from + word.length;
  return { from: at, to: at, insert, select: [next, left > 0 ? next + 1 : next] };
}

/** Writes `word` (`4d'`, `.`, `-`) at the selection. */
export function entered(doc: Text, room: Room, selection: number, word: string): Change {
  const here = wordAt(doc, room, selection);
  if (!here) return appended(doc, room, word);
  const next = wordsIn(doc, room).find((w) => w.from >= here.to);
  const moved = word.length - (here.to - here.from);
  // Behind the last word the cursor stands at the lane's end, where a new bar will begin.
  const line = doc.lineAt(here.from);
  const end = line.from + line.text.slice(0, codeOf(line.text)).trimEnd().length + moved;
  return {
    from: here.from,
    to: here.to,
    insert: word,
    select: next ? [next.from + moved, next.to + moved] : [end, end],
  };
}

/** The group of rests alone around a word, as one rest: a beat that was cut and not filled yet. */
function emptyCut(doc: Text, word: Word | null): Word | null {
  if (word?.text !== ".") return null;
  const line = doc.lineAt(word.from);
  for (const group of line.text.matchAll(/\(\s*\.(?:\s+\.)*\s*\)/g)) {
    const from = line.from + group.index;
    if (from < word.from && word.to < from + group[0].length) return { from, to: from + group[0].length, text: "." };
  }
  return null;
}

/** Cuts the word at the selection into equal parts, the first of which it keeps: `4d` becomes `(4d .)`. What is cut and empty is cut anew. */
export function parted(doc: Text, room: Room, selection: number, parts: number): Change | null {
  const empty = emptyCut(doc, wordAt(doc, room, selection));
  const here = empty ?? wordAt(doc, room, selection);
  if (!here || here.text === "%" || here.text === "=") return null;
  const insert = `(${here.text}${" .".repeat(parts - 1)})`;
  const first = here.from + 1;
  // A rest is filled from its first part on, a note goes on with the second.
  const at = here.text === "." ? first : first + here.text.length + 1;
  return { from: here.from, to: here.to, insert, select: [at, at + 1] };
}

/** Takes the word before the selection back: a rest stands there again. In a beat that is cut and empty it takes back the cut. */
export function takenBack(doc: Text, room: Room, selection: number): Change | null {
  const here = wordAt(doc, room, selection);
  const cut = emptyCut(doc, here);
  if (cut) return { from: cut.from, to: cut.to, insert: ".", select: [cut.from, cut.from + 1] };
  const words = wordsIn(doc, room);
  const before = here ? words.filter((w) => w.to <= here.from).pop() : words[words.length - 1];
  if (!before) return null;
  return { from: before.from, to: before.to, insert: ".", select: [before.from, before.from + 1] };
}

/** Puts a gesture's braces behind the note that was written last, or takes them away. */
export function gestured(doc: Text, room: Room, selection: number, gesture: string): Change | null {
  const here = wordAt(doc, room, selection);
  const words = wordsIn(doc, room);
  const note = words.filter((w) => /\d/.test(w.text) && (here === null || w.to <= here.from)).pop();
  if (!note) return null;
  const braces = `{${gesture}}`;
  const has = note.text.indexOf(braces);
  const insert = has < 0 ? note.text + braces : note.text.slice(0, has) + note.text.slice(has + braces.length);
  const moved = insert.length - note.text.length;
  const select: [number, number] = here ? [here.from + moved, here.to + moved] : [selection + moved, selection + moved];
  return { from: note.from, to: note.to, insert, select };
}
