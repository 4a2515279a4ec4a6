// SPDX-License-Identifier: Apache-2.0
//
// The text, in CodeMirror: colours, completion, faults at their places, undo. Tab leaves it as it leaves any field.
import { autocompletion, closeBrackets, closeBracketsKeymap, completionKeymap } from "@codemirror/autocomplete";
import { defaultKeymap, history, historyKeymap } from "@codemirror/commands";
import { HighlightStyle, syntaxHighlighting } from "@codemirror/language";
import { lintGutter, nextDiagnostic, setDiagnostics, type Diagnostic } from "@codemirror/lint";
import { EditorSelection, EditorState, Prec, StateEffect, StateField, type Text } from "@codemirror/state";
import { Decoration, drawSelection, EditorView, keymap, lineNumbers, type DecorationSet, type ViewUpdate } from "@codemirror/view";
import { tags } from "@lezer/highlight";
import type { Fault } from "../engine/engine";
import { completions, type Known } from "./complete";
import type { Change } from "./enter";
import { lickLanguage, noteTag } from "./lick-words";

const colours = HighlightStyle.define([
  { tag: noteTag.blow, class: "t-blow" },
  { tag: noteTag.draw, class: "t-draw" },
  { tag: tags.keyword, class: "t-key" },
  { tag: tags.attributeValue, class: "t-value" },
  { tag: tags.typeName, class: "t-chord" },
  { tag: tags.modifier, class: "t-gesture" },
  { tag: [tags.operator, tags.paren], class: "t-sign" },
  { tag: tags.bracket, class: "t-bar" },
  { tag: tags.comment, class: "t-comment" },
  { tag: tags.meta, class: "t-meta" },
  { tag: tags.heading, class: "t-heading" },
]);

/** The word that would be replaced when a note is entered: seen also while the harp has the focus. */
const setPlace = StateEffect.define<{ from: number; to: number } | null>();
const place = StateField.define<DecorationSet>({
  create: () => Decoration.none,
  update(marks, tr) {
    marks = marks.map(tr.changes);
    for (const e of tr.effects)
      if (e.is(setPlace)) marks = e.value && e.value.to > e.value.from ? Decoration.set([placeMark.range(e.value.from, e.value.to)]) : Decoration.none;
    return marks;
  },
  provide: (f) => EditorView.decorations.from(f),
});
const placeMark = Decoration.mark({ class: "t-place" });

export interface Wants {
  text: string;
  cursor: number;
  /** The text changed; `whole` when another one took its place. */
  changed: (whole: boolean) => void;
  moved: () => void;
  known: Known;
  /** Keys of the page that work in the text as well; false leaves the key to the text. */
  keys: { key: string; run: () => boolean }[];
}

export function openEditor(parent: HTMLElement, wants: Wants): EditorView {
  const state = EditorState.create({
    doc: wants.text,
    selection: { anchor: Math.min(wants.cursor, wants.text.length) },
    extensions: [
      Prec.highest(keymap.of(wants.keys)),
      lineNumbers(),
      history(),
      drawSelection(),
      closeBrackets(),
      lickLanguage,
      syntaxHighlighting(colours),
      autocompletion({ override: [completions(wants.known)], icons: false, activateOnTyping: true }),
      lintGutter(),
      place,
      keymap.of([{ key: "F8", run: nextDiagnostic }, ...closeBracketsKeymap, ...completionKeymap, ...historyKeymap, ...defaultKeymap]),
      EditorView.contentAttributes.of({
        "aria-label": "The lick, as text",
        "aria-describedby": "text-help",
        // A field is reached by Tab without it; tools that look for what can be scrolled want it said.
        tabindex: "0",
        spellcheck: "false",
        autocapitalize: "off",
        autocorrect: "off",
        translate: "no",
      }),
      EditorView.updateListener.of((u) => {
        if (u.docChanged) wants.changed(isWhole(u));
        else if (u.selectionSet) wants.moved();
      }),
    ],
  });
  return new EditorView({ state, parent });
}

/** Code points to UTF-16: where a column of the engine stands in the document. */
export function positionOf(doc: Text, line: number, column: number): number {
  if (line > doc.lines) return doc.length;
  const l = doc.line(Math.max(1, line));
  let at = 0;
  for (let i = 1; i < column && at < l.length; ++i) at += l.text.codePointAt(at)! > 0xffff ? 2 : 1;
  return l.from + at;
}

/** The other way: line and column as the engine counts them. */
export function placeOf(doc: Text, at: number): { line: number; column: number } {
  const l = doc.lineAt(at);
  return { line: l.number, column: [...l.text.slice(0, at - l.from)].length + 1 };
}

export function showFaults(view: EditorView, faults: Fault[]): void {
  const doc = view.state.doc;
  const shown: Diagnostic[] = faults.map((f) => {
    const from = positionOf(doc, f.line, f.column);
    const to = Math.max(from, positionOf(doc, f.line, f.column + f.length));
    return { from, to, severity: f.level, message: f.remedy ? `${f.words} ${f.remedy}` : f.words };
  });
  view.dispatch(setDiagnostics(view.state, shown));
}

export function showPlace(view: EditorView, word: { from: number; to: number } | null): void {
  view.dispatch({ effects: setPlace.of(word) });
}

export function apply(view: EditorView, change: Change): void {
  view.dispatch({
    changes: { from: change.from, to: change.to, insert: change.insert },
    selection: EditorSelection.single(change.select[0], change.select[1]),
    scrollIntoView: true,
    userEvent: "input.enter",
  });
}

export function select(view: EditorView, place: { from: number; to: number }): void {
  view.dispatch({ selection: { anchor: place.from, head: place.to }, scrollIntoView: true });
}

/** Did everything that stood here give way, other than to the same lick in better order? */
function isWhole(update: ViewUpdate): boolean {
  if (update.transactions.some((t) => t.isUserEvent("input.tidy"))) return false;
  let whole = false;
  update.changes.iterChangedRanges((from, to) => {
    if (from === 0 && to === update.startState.doc.length) whole = true;
  });
  return whole;
}

/** Another text, in one step that can be undone. */
export function replaceAll(view: EditorView, text: string, cursor = 0, userEvent = "input.replace"): void {
  view.dispatch({
    changes: { from: 0, to: view.state.doc.length, insert: text },
    selection: { anchor: Math.min(cursor, text.length) },
    scrollIntoView: true,
    userEvent,
  });
}
