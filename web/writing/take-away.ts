// SPDX-License-Identifier: Apache-2.0
//
// <lw-take-away>: what leaves the page. Text, sheet and practice page are of the whole document; picture, MIDI and sound of
// the lick that is shown.
import { html, LitElement, nothing, type PropertyValues, type TemplateResult } from "lit";
import { Memory } from "../engine/remember";
import { partAt, type Shown, type Written } from "./document";
import { download, slug } from "./files";
import { practicePage } from "./practice-file";
import { wavFile } from "./wav";
import type { Writing } from "./writing-page";

export class TakeAway extends LitElement {
  static override properties = {
    page: { attribute: false },
    doc: { attribute: false },
    now: { attribute: false },
    percent: { type: Number },
    house: { state: true },
    done: { state: true },
  };
  declare page: Writing;
  declare doc: Written;
  declare now: Shown | null;
  declare percent: number;
  declare house: string;
  declare done: string;
  private readonly memory = new Memory("lickwright writing");

  constructor() {
    super();
    this.house = this.memory.get("house", "");
    this.done = "";
  }

  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  /** What was made belongs to the text as it was. */
  override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has("doc") && changed.get("doc")?.text !== this.doc.text) this.done = "";
  }

  private give(name: string, bytes: BlobPart, type: string): void {
    download(name, new Blob([bytes], { type }));
    this.done = `${name} is made`;
  }

  private get lickName(): string {
    return slug(this.now?.reading.title ?? "");
  }

  private svg(): void {
    const pages = this.page.engine.sheet(this.now!.part.text, false) ?? [];
    pages.forEach((svg, i) => this.give(`${this.lickName}${i > 0 ? `-${i + 1}` : ""}.svg`, svg, "image/svg+xml"));
  }

  private midi(): void {
    this.give(`${this.lickName}.mid`, new Uint8Array(this.page.engine.midi(this.now!.part.text, false)), "audio/midi");
  }

  private wav(): void {
    const samples = this.page.engine.clip(this.now!.part.text, { percent: this.percent, repeats: 2, click: true });
    const tempo = Math.round((this.now!.reading.tempo * this.percent) / 100);
    const name = `${this.lickName}-${tempo}.wav`;
    download(name, wavFile(samples, 48000, 2));
    this.done = `${name} is made`;
  }

  private async practice(): Promise<void> {
    const page = await practicePage(this.doc, this.house);
    this.give(`${slug(this.doc.title)}-practice.html`, page, "text/html");
  }

  override render(): TemplateResult | typeof nothing {
    if (!this.doc) return nothing;
    const lick = this.now?.reading.ok ?? false;
    const what = this.doc.lesson ? "lesson" : "lick";
    const broken = this.doc.faults.filter((f) => f.level === "error").map((f) => partAt(this.doc, f.line)?.title || "a lick without a title");
    const why = this.doc.ok ? "" : `${[...new Set(broken)].join(", ")}: faults are to be mended before the whole ${what} can be printed or made a practice page.`;
    const tempo = Math.round(((this.now?.reading.tempo ?? 0) * this.percent) / 100);
    return html`<h2 id="away-title">Take away</h2>
      <div class="away-grid">
        <div role="group" aria-labelledby="away-whole">
          <h3 id="away-whole">The ${what}</h3>
          <div class="tools">
            <button @click=${() => void this.page.save()}>Text of the ${what}</button>
            <button ?disabled=${!this.doc.ok} aria-describedby="away-why" @click=${() => window.print()}>Print the sheet</button>
            <button ?disabled=${!this.doc.ok} aria-describedby="away-why" @click=${() => void this.practice()}>Practice page</button>
          </div>
          <p id="away-why" class="soft small">${why}</p>
          <label
            >Your name or your school's, on the practice page
            <input
              type="text"
              maxlength="120"
              .value=${this.house}
              @input=${(e: Event) => {
                this.house = (e.target as HTMLInputElement).value;
                this.memory.set("house", this.house);
              }}
          /></label>
        </div>
        <div role="group" aria-labelledby="away-one">
          <h3 id="away-one">${this.now?.part.title || "This lick"}</h3>
          <div class="tools">
            <button ?disabled=${!lick} @click=${this.svg}>Picture (SVG)</button>
            <button ?disabled=${!lick} @click=${this.midi}>MIDI</button>
            <button ?disabled=${!lick} @click=${this.wav}>Sound at ${tempo} (WAV)</button>
          </div>
        </div>
      </div>
      <p class="soft small" role="status">${this.done || (lick ? "" : "With faults in it, only the text can be taken away.")}</p>`;
  }
}

if (!customElements.get("lw-take-away")) customElements.define("lw-take-away", TakeAway);
