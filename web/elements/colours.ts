// SPDX-License-Identifier: Apache-2.0
//
// Colours of an element in a page that is not ours. Where a page's own style sheet says `--lw-...` for it, that holds;
// otherwise the sheet's colours do, by day or by night as the page around it is (its `color-scheme`), or as the attribute
// `look` says.
import type { Engine } from "../engine/engine";

let made: CSSStyleSheet | null = null;

export function wearColours(root: ShadowRoot, engine: Engine): void {
  made ??= sheetOf(engine);
  if (!root.adoptedStyleSheets.includes(made)) root.adoptedStyleSheets = [...root.adoptedStyleSheets, made];
}

/** `--lw-ink:#111;...` of day and night, name by name. */
function sheetOf(engine: Engine): CSSStyleSheet {
  const day = engine.colours("", false);
  const night = new Map(declarations(engine.colours("", true)));
  const both = declarations(day).map(([name, value]) => `${name}:light-dark(${value},${night.get(name) ?? value});`);
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(`:host{${day}background:var(--lw-paper);padding:.9em 1em;border-radius:.8em}
@supports (color:light-dark(red,red)){:host{${both.join("")}}}
:host([look=day]){color-scheme:light}:host([look=night]){color-scheme:dark}
@media print{:host{color-scheme:light!important}}`);
  return sheet;
}

const declarations = (css: string): [string, string][] =>
  css
    .split(";")
    .map((d) => d.split(":").map((part) => part.trim()))
    .filter((d): d is [string, string] => d.length === 2);
