// SPDX-License-Identifier: Apache-2.0
//
// <lw-beginnings>: what to begin with, in a dialog: a new text, or one lick more in a lesson with what is there.
import { html, LitElement, type TemplateResult } from "lit";
import { starts, type Start } from "./starts";

export class Beginnings extends LitElement {
  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  private get dialog(): HTMLDialogElement {
    return this.querySelector("dialog")!;
  }

  open(): void {
    this.dialog.showModal();
  }

  private choice(start: Start, more: boolean): TemplateResult {
    const chosen = () => {
      this.dialog.close();
      this.dispatchEvent(new CustomEvent("lw-begin", { detail: { start, more }, bubbles: true }));
    };
    return html`<li>
      <button @click=${chosen}><b>${start.name}</b> <span>${start.words}</span></button>
    </li>`;
  }

  override render(): TemplateResult {
    return html`<dialog aria-labelledby="starts-title">
      <div class="line">
        <h2 id="starts-title">Begin with</h2>
        <button @click=${() => this.dialog.close()}>Close</button>
      </div>
      <p class="soft small">A new text takes the place of this one; undo brings it back.</p>
      <ul>
        ${starts.map((s) => this.choice(s, false))}
      </ul>
      <h3>Or one lick more, in a lesson with what is there</h3>
      <ul>
        ${starts.map((s) => this.choice(s, true))}
      </ul>
    </dialog>`;
  }
}

if (!customElements.get("lw-beginnings")) customElements.define("lw-beginnings", Beginnings);
