// SPDX-License-Identifier: Apache-2.0
//
// <lw-faults>: what is to be mended in the text, each with its place, its words and its remedy; a press goes there.
import { html, LitElement, nothing, type TemplateResult } from "lit";
import type { Fault } from "../engine/engine";

/** More than these at once is more than anybody reads; the rest comes when they are mended. */
const shown = 12;

export class Faults extends LitElement {
  static override properties = { faults: { attribute: false } };
  declare faults: Fault[];

  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  override render(): TemplateResult {
    if (this.faults.length === 0) return html`<p class="fine"><span aria-hidden="true">✓</span> Everything here can be played.</p>`;
    const go = (f: Fault) => () => this.dispatchEvent(new CustomEvent("lw-fault", { detail: f, bubbles: true }));
    return html`<h3>To mend</h3>
      <ol class="faults">
        ${this.faults.slice(0, shown).map(
          (f) => html`<li class=${f.level}>
            <button @click=${go(f)}>
              <span class="where">${f.level === "error" ? "" : "look at "}line ${f.line}</span> ${f.words}
              ${f.remedy ? html`<span class="remedy">${f.remedy}</span>` : nothing}
            </button>
          </li>`,
        )}
      </ol>
      ${this.faults.length > shown ? html`<p class="soft">and ${this.faults.length - shown} more</p>` : nothing}`;
  }
}

if (!customElements.get("lw-faults")) customElements.define("lw-faults", Faults);
