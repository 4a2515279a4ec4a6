// SPDX-License-Identifier: Apache-2.0
//
// <lw-faults>: what is to be mended in the text, each with its place, its words and its remedy; a press goes there.
import { html, LitElement, nothing, type TemplateResult } from "lit";
import { readable } from "../elements/lick-faults";
import type { Fault } from "../engine/engine";

/** More than these at once is more than anybody reads; the rest comes when they are mended. */
const shown = 12;

/** The engine stops counting at some point, and says so in a fault of its own. */
const unfinished = (f: Fault) => f.slug === "too-many-faults";

/** `1 fault, 3 things to look at`: only what keeps a lick from sounding is a fault. */
export function countOf(faults: Fault[]): string {
  const counted = faults.filter((f) => !unfinished(f));
  const errors = counted.filter((f) => f.level === "error").length;
  const others = counted.length - errors;
  const said = [];
  if (counted.length < faults.length) said.push(`more than ${errors} faults`);
  else if (errors > 0) said.push(errors === 1 ? "1 fault" : `${errors} faults`);
  if (others > 0) said.push(others === 1 ? "1 thing to look at" : `${others} things to look at`);
  const all = said.join(", ") || "no faults";
  return all[0]!.toUpperCase() + all.slice(1);
}

export class Faults extends LitElement {
  static override properties = { faults: { attribute: false } };
  declare faults: Fault[];

  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  override render(): TemplateResult {
    if (this.faults.length === 0) return html`<p class="fine"><span aria-hidden="true">✓</span> Everything here can be played.</p>`;
    const left = this.faults.length - shown;
    const go = (f: Fault) => () => this.dispatchEvent(new CustomEvent("lw-fault", { detail: f, bubbles: true }));
    return html`<h3>${countOf(this.faults)}</h3>
      <ol class="faults">
        ${this.faults.slice(0, shown).map(
          (f) => html`<li class=${f.level}>
            <button @click=${go(f)}>
              <span class="where">line ${f.line}${f.level === "error" ? "" : ", a hint"}</span> ${readable(f.words)}
              ${f.remedy ? html`<span class="remedy">${readable(f.remedy)}</span>` : nothing}
            </button>
          </li>`,
        )}
      </ol>
      ${left > 0 ? html`<p class="soft">and ${this.faults.some(unfinished) ? `more than ${left - 1}` : left} more</p>` : nothing}`;
  }
}

if (!customElements.get("lw-faults")) customElements.define("lw-faults", Faults);
