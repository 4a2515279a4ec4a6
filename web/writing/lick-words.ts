// SPDX-License-Identifier: Apache-2.0
//
// A line of the lick language as an editor needs it: which sign is what. The engine alone decides what is right; this
// only colours, and finds the token under a cursor, also in a text that is broken.
import { StreamLanguage, type StreamParser } from "@codemirror/language";
import { tags, Tag } from "@lezer/highlight";

export const noteTag = { blow: Tag.define(tags.string), draw: Tag.define(tags.number) };

interface State {
  /** In a lesson: prose, its head, or a lick between fences. A lick alone is all lick. */
  room: "prose" | "head" | "lick";
  first: boolean;
  fence: string;
  /** What the rest of this line is. */
  rest: "" | "value" | "tab" | "chords";
}

const key = /^[a-z0-9]+(?=\s*:)/;
const fence = /^ {0,3}(```+|~~~+)\s*lick\s*$/;

export const lickParser: StreamParser<State> = {
  name: "lick",
  startState: () => ({ room: "lick", first: true, fence: "", rest: "" }),
  copyState: (s) => ({ ...s }),
  token(stream, state) {
    if (stream.sol()) {
      state.rest = "";
      const line = stream.string;
      if (state.first) {
        state.first = false;
        if (line.trim() === "---") state.room = "head";
      } else if (state.room === "head" && line.trim() === "---") {
        state.room = "prose";
        stream.skipToEnd();
        return "meta";
      }
      const open = fence.exec(line);
      if (open && state.fence === "") {
        state.room = "lick";
        state.fence = open[1]!;
        stream.skipToEnd();
        return "meta";
      }
      if (state.fence !== "" && line.trim().startsWith(state.fence)) {
        state.room = "prose";
        state.fence = "";
        stream.skipToEnd();
        return "meta";
      }
      if (line.trim() === "---") {
        stream.skipToEnd();
        return "meta";
      }
      if (state.room === "prose") {
        stream.skipToEnd();
        return /^#/.test(line) ? "heading" : null;
      }
    }
    if (stream.eatSpace()) return null;
    // A comment stands at a line's start or after white space.
    const before = stream.pos === 0 ? " " : stream.string[stream.pos - 1]!;
    if (stream.peek() === "#" && /\s/.test(before) && (stream.pos === 0 || state.rest !== "" || state.room === "lick")) {
      const isNote = state.rest === "chords" || state.rest === "value" ? /^#(\s|$)/.test(stream.string.slice(stream.pos)) : true;
      if (isNote) {
        stream.skipToEnd();
        return "comment";
      }
    }
    if (state.rest === "") {
      if (stream.match(key)) {
        state.rest = "value";
        return "keyword";
      }
      if (stream.match(/^(tab|chords)(?=[\s|]|$)/)) {
        state.rest = stream.current() === "tab" ? "tab" : "chords";
        return "keyword";
      }
      stream.skipToEnd();
      return null;
    }
    if (state.rest === "value") {
      if (stream.eat(":")) return "punctuation";
      stream.match(/^[^#]+/) || stream.next();
      return "attributeValue";
    }
    if (stream.match(/^(\|:|:\||\|\d(?=\s)|\|)/) || stream.eat(":")) return "bracket";
    if (state.rest === "chords") {
      if (stream.match(/^[-.%](?=[\s|]|$)/)) return "operator";
      stream.match(/^[^\s|]+/) || stream.next();
      return "typeName";
    }
    if (stream.match(/^\{[^}|]*\}?/)) return "modifier";
    if (stream.match(/^(>>?)?\d[\d+'’q]*[bB]o?/)) return "blow";
    if (stream.match(/^(>>?)?\d[\d+'’q]*[dD][’'q]*o?/)) return "draw";
    if (stream.match(/^[()]|^\/\d+/)) return "paren";
    if (stream.eat(/[-.=%,]/)) return "operator";
    stream.match(/^[^\s|(){}]+/) || stream.next();
    return "invalid";
  },
  tokenTable: { blow: noteTag.blow, draw: noteTag.draw },
  languageData: { commentTokens: { line: "#" }, closeBrackets: { brackets: ["(", "{"] } },
};

export const lickLanguage = StreamLanguage.define(lickParser);

/** A word of the tab lane: a note with its braces, a rest, a hold or a copy. */
export interface Word {
  from: number;
  to: number;
  text: string;
}

/** Is this line of the text a tab lane, and where does what it holds begin? -1 when it is not. */
export function laneStart(line: string): number {
  const lane = /^\s*tab(?=[\s|]|$)/.exec(line);
  return lane ? lane[0].length : -1;
}

/** The words of a tab lane; places count in the line. Comments, bar lines, brackets and `,` are no words. */
export function wordsOf(line: string): Word[] {
  const start = laneStart(line);
  if (start < 0) return [];
  const words: Word[] = [];
  const sign = /(\s#.*$)|\|\d(?=\s)|\/\d+|[|:(),\s]|((?:[^\s|:(){},]|\{[^}]*\}?)+)/y;
  sign.lastIndex = start;
  for (let m = sign.exec(line); m; m = sign.exec(line)) {
    if (m[1] !== undefined) break;
    if (m[2] !== undefined) words.push({ from: m.index, to: m.index + m[2].length, text: m[2] });
  }
  return words;
}
