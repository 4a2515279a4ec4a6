// SPDX-License-Identifier: Apache-2.0
//
// The text that is written: one lick, or a lesson with licks in it. Either way the page shows one lick at a time: the one
// the cursor stands in. A lick of a lesson is read alone, with what the lesson's head says for all of them before its own
// head; `shift` says how many lines that adds, so that places go both ways.
import type { Engine, Fault, HarpReading, Lesson, Reading } from "../engine/engine";

/** A lick of the document, as a text of its own. */
export interface Part {
  title: string;
  /** The text alone. */
  text: string;
  /** Line of the document on which its own text begins, from 1, and the line after it. */
  first: number;
  end: number;
  /** Lines before its own in `text`. */
  shift: number;
}

export interface Written {
  text: string;
  lesson: Lesson | null;
  title: string;
  faults: Fault[];
  ok: boolean;
  parts: Part[];
}

/** What a lesson's head says for every lick that does not say otherwise (docs/language.md). */
const inherited = new Set(["harp", "position", "meter", "tempo", "feel", "tuning", "temperament", "a4"]);
const keyLine = /^\s*([a-z0-9]+)\s*:/;

/** A lesson begins with a head between lines of `---`, or has a fence marked `lick`. */
export function isLesson(text: string): boolean {
  return /^---\s*$/m.test(text.split("\n", 1)[0] ?? "") || /^ {0,3}(```+|~~~+)\s*lick\s*$/m.test(text);
}

function headKeys(lines: string[]): Set<string> {
  const keys = new Set<string>();
  for (const line of lines) {
    const key = keyLine.exec(line)?.[1];
    if (key) keys.add(key);
  }
  return keys;
}

/** Index of the line that closes a lesson's head; 0 when there is none. */
function headEnd(lines: string[]): number {
  return lines[0]?.trim() === "---" ? Math.max(0, lines.findIndex((l, i) => i > 0 && l.trim() === "---")) : 0;
}

function partsOf(text: string, lesson: Lesson): Part[] {
  const lines = text.split("\n");
  const head = lines.slice(1, Math.max(1, headEnd(lines))).filter((l) => inherited.has(keyLine.exec(l)?.[1] ?? ""));
  return lesson.licks.map((lick) => {
    const own = lick.source.split("\n");
    if (own[own.length - 1] === "") own.pop();
    const said = headKeys(own);
    const before = head.filter((l) => !said.has(keyLine.exec(l)![1]!));
    return {
      title: lick.title,
      text: [...before, ...own, ""].join("\n"),
      first: lick.first_line,
      end: lick.first_line + own.length,
      shift: before.length,
    };
  });
}

/** Reads a document; cost as the engine's, linear in the text. */
export function written(engine: Engine, text: string): Written {
  if (isLesson(text)) {
    const lesson = engine.lesson(text);
    return { text, lesson, title: lesson.title, faults: lesson.faults, ok: lesson.ok, parts: partsOf(text, lesson) };
  }
  const reading = engine.read(text);
  const part = { title: reading.title, text, first: 1, end: text.split("\n").length + 1, shift: 0 };
  return { text, lesson: null, title: reading.title, faults: reading.faults, ok: reading.ok, parts: [part] };
}

/** The lick on this line, or else the last one before it, or the first. */
export function partAt(doc: Written, line: number): Part | undefined {
  return [...doc.parts].reverse().find((p) => line >= p.first) ?? doc.parts[0];
}

/** Is this line of a lesson neither head nor lick? */
export function isProse(doc: Written, line: number): boolean {
  if (!doc.lesson || doc.parts.some((p) => line >= p.first && line < p.end)) return false;
  const lines = doc.text.split("\n");
  return line > headEnd(lines) + 1;
}

/** What stands on the page for one lick. */
export interface Shown {
  part: Part;
  reading: Reading;
  harp: HarpReading;
}

export function shown(engine: Engine, part: Part): Shown {
  return { part, reading: engine.read(part.text), harp: engine.harpOf(part.text) };
}
