// SPDX-License-Identifier: Apache-2.0
//
// <lw-look-choice>: day or night, large print; worn by the page and remembered on this machine.
import { html, LitElement, type TemplateResult } from "lit";
import { Memory } from "../engine/remember";

const looks = [
  ["", "auto"],
  ["day", "day"],
  ["night", "night"],
] as const;

export class LookChoice extends LitElement {
  static override properties = { look: { state: true }, large: { state: true } };
  declare look: string;
  declare large: boolean;
  private readonly memory = new Memory("lickwright writing");

  constructor() {
    super();
    this.look = this.memory.get("look", "");
    this.large = this.memory.get("large", false);
  }

  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  protected override updated(): void {
    const page = document.documentElement;
    if (this.look === "") delete page.dataset["look"];
    else page.dataset["look"] = this.look;
    page.classList.toggle("large", this.large);
    this.dispatchEvent(new CustomEvent("lw-large", { detail: this.large, bubbles: true }));
  }

  private choose(look: string, large: boolean): void {
    this.look = look;
    this.large = large;
    this.memory.set("look", look);
    this.memory.set("large", large);
  }

  override render(): TemplateResult {
    return html`<label
        >Look
        <select @change=${(e: Event) => this.choose((e.target as HTMLSelectElement).value, this.large)}>
          ${looks.map(([value, words]) => html`<option value=${value} ?selected=${value === this.look}>${words}</option>`)}
        </select></label
      >
      <label class="tick"
        ><input type="checkbox" .checked=${this.large} @change=${(e: Event) => this.choose(this.look, (e.target as HTMLInputElement).checked)} />
        Large print</label
      >`;
  }
}

if (!customElements.get("lw-look-choice")) customElements.define("lw-look-choice", LookChoice);
