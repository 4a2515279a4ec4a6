// SPDX-License-Identifier: Apache-2.0
//
// <lw-beginnings>: what to begin with, in a dialog: a new text, or one lick more in a lesson with what is there.
import { html, LitElement, type TemplateResult } from "lit";
import { starts, type Start } from "./starts";

export class Beginnings extends LitElement {
  static override properties = { more: { state: true } };
  /** One lick more behind what is there, and not a new text in its place. */
  declare more: boolean;

  constructor() {
    super();
    this.more = false;
  }

  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  private get dialog(): HTMLDialogElement {
    return this.querySelector("dialog")!;
  }

  open(): void {
    this.more = false;
    this.dialog.showModal();
  }

  private choice(start: Start): TemplateResult {
    const chosen = () => {
      this.dialog.close();
      this.dispatchEvent(new CustomEvent("lw-begin", { detail: { start, more: this.more }, bubbles: true }));
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
      <div class="tools" role="group" aria-label="Where it goes">
        <button aria-pressed=${!this.more} @click=${() => (this.more = false)}>A new text</button>
        <button aria-pressed=${this.more} @click=${() => (this.more = true)}>One lick more</button>
      </div>
      <p class="soft small" role="status">
        ${this.more ? "It comes behind what is there; together they are a lesson." : "It takes the place of what is there; undo brings that back."}
      </p>
      <ul>
        ${starts.map((s) => this.choice(s))}
      </ul>
    </dialog>`;
  }
}

if (!customElements.get("lw-beginnings")) customElements.define("lw-beginnings", Beginnings);
