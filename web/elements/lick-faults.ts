// SPDX-License-Identifier: Apache-2.0
//
// What stands in somebody's page where a lick cannot be shown: each fault with its line, its words and its remedy, for
// whoever writes that page. A phone's width is enough for it.
import { html, nothing, type TemplateResult } from "lit";
import type { Reading } from "../engine/engine";

/** What is typed, as `3d''''`, in the signs of the text, so that each of its marks can be counted. */
export function readable(words: string): unknown[] {
  return words.split(/((?<![\w.])\d+[bd]['\u2019]*o?(?!\w))/).map((part, i) => (i % 2 ? html`<code>${part}</code>` : part));
}

export function faultsOf(r: Reading): TemplateResult {
  const errors = r.faults.filter((f) => f.level === "error");
  return html`<div role="alert" class="faults">
    <p><b>${r.title ? html`<bdi>${r.title}</bdi>` : "This lick"}</b> cannot be shown:</p>
    <ul>
      ${errors.map((f) => html`<li>line ${f.line}: ${readable(f.words)}${f.remedy ? html` <span class="soft">${readable(f.remedy)}</span>` : nothing}</li>`)}
    </ul>
  </div>`;
}
