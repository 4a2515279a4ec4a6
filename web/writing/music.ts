// SPDX-License-Identifier: Apache-2.0
//
// <lw-music>: the lick that the cursor stands in, to see and to hear. What is pointed at goes to the page, which owns the
// cursor.
import { html, LitElement, nothing, type TemplateResult } from "lit";
import "../elements/lick-picture";
import type { LickPicture } from "../elements/lick-picture";
import "../elements/play-bar";
import { playKey } from "../elements/play-bar";
import type { Transport } from "../elements/transport";
import { spotAt } from "../engine/clock";
import type { Engine, Picture } from "../engine/engine";
import type { Part } from "./document";

export class Music extends LitElement {
  static override properties = {
    engine: { attribute: false },
    transport: { attribute: false },
    parts: { attribute: false },
    shown: { attribute: false },
    stale: { state: true },
    broken: { type: Boolean },
    under: { attribute: false },
    large: { type: Boolean },
  };
  declare engine: Engine;
  declare transport: Transport;
  declare parts: Part[];
  /** The lick of the cursor. */
  declare shown: Part;
  /** It has errors. */
  declare broken: boolean;
  /** It could not be drawn at all: what is seen is the last that could. */
  declare stale: boolean;
  /** What the cursor stands on, in beats. */
  declare under: [number, number] | null;
  declare large: boolean;
  private heard: Transport | null = null;

  constructor() {
    super();
    this.stale = false;
  }

  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  private get drawing(): LickPicture | null {
    return this.querySelector("lw-picture");
  }

  /** What is drawn of the text as it is now. */
  get picture(): Picture | null {
    return this.stale ? null : (this.drawing?.picture ?? null);
  }

  /** Another text: the last picture is none of its. */
  forget(): void {
    this.stale = true;
    this.drawing?.forget();
  }

  private tell(name: string, detail: unknown = null): void {
    this.dispatchEvent(new CustomEvent(name, { detail, bubbles: true }));
  }

  protected override willUpdate(): void {
    if (this.heard === this.transport) return;
    this.heard = this.transport;
    this.transport.addEventListener("change", () => this.requestUpdate());
    this.transport.addEventListener("place", () => {
      const { beat } = this.transport;
      if (this.drawing) this.drawing.beat = beat;
      if (beat !== null) this.bringInto(beat);
    });
  }

  protected override updated(): void {
    if (this.under && !this.transport.playing) this.bringInto(this.under[0]);
  }

  /** Where the picture is higher than its frame, the line of this beat comes into sight. */
  private bringInto(beat: number): void {
    const frame = this.querySelector<HTMLElement>(".drawing");
    const picture = this.picture;
    const system = picture?.systems[spotAt(picture, beat).line];
    if (!frame || !picture || !system || frame.scrollHeight <= frame.clientHeight + 4) return;
    const scale = frame.scrollHeight / picture.height;
    // With its chords above and its count below.
    const [top, bottom] = [system[1] * scale - 30, system[3] * scale + 30];
    if (top < frame.scrollTop) frame.scrollTop = top;
    else if (bottom > frame.scrollTop + frame.clientHeight) frame.scrollTop = bottom - frame.clientHeight;
  }

  private keyed(e: KeyboardEvent): void {
    const step = e.key === "ArrowRight" ? 1 : e.key === "ArrowLeft" ? -1 : 0;
    if (step === 0 || e.altKey || e.ctrlKey || e.metaKey) return;
    e.preventDefault();
    this.tell("lw-step", step);
  }

  private drawn(picture: Picture | null): void {
    const t = this.transport;
    this.stale = picture === null;
    if (picture && !this.broken) {
      t.span = [picture.start, picture.end];
      if (t.chosen && t.chosen[1] > Math.ceil(picture.end)) t.choose(null);
    }
    this.tell("lw-seen");
  }

  private get hint(): string {
    const plays = this.transport.reading?.ok ? "it plays as it was before the slip." : "it plays when that is mended.";
    if (!this.stale) return `What could not be read is silent here; ${plays}`;
    return this.drawing?.picture ? `This is the last picture that could be drawn; ${plays}` : "Nothing can be drawn of this text yet.";
  }

  override render(): TemplateResult {
    const t = this.transport;
    const number = this.parts.findIndex((p) => p.first === this.shown.first);
    const several = this.parts.length > 1;
    return html`<section class="card" aria-labelledby="picture-title" @keydown=${(e: KeyboardEvent) => playKey(e, t)}>
      <div class="line">
        <h2 id="picture-title">${several ? `${number + 1} · ` : nothing}${this.shown.title || "Breath line"}</h2>
        ${several
          ? html`<label
              >Lick
              <select @change=${(e: Event) => this.tell("lw-lick", this.parts[Number((e.target as HTMLSelectElement).value)])}>
                ${this.parts.map((p, i) => html`<option value=${i} ?selected=${i === number}>${i + 1} · ${p.title || "without a title"}</option>`)}
              </select></label
            >`
          : nothing}
      </div>
      <div
        class=${this.stale ? "drawing dim" : "drawing"}
        tabindex="0"
        role="group"
        aria-label="Breath line; left and right go from note to note"
        @keydown=${this.keyed}
      >
        <lw-picture
          .engine=${this.engine}
          .lick=${this.shown.text}
          .sketch=${true}
          .large=${this.large}
          .chosen=${t.chosen}
          .under=${this.under}
          @lw-part=${(e: CustomEvent<{ from: number; to: number; done: boolean }>) => {
            if (e.detail.done) t.choose([e.detail.from, e.detail.to]);
          }}
          @lw-drawn=${(e: CustomEvent<Picture | null>) => this.drawn(e.detail)}
        ></lw-picture>
      </div>
      ${this.broken
        ? html`<p class="soft small">${this.hint}</p>`
        : nothing}
      <lw-play-bar .transport=${t}>
        <button @click=${() => this.tell("lw-from-here")} ?disabled=${t.playing}>Play from the cursor</button>
        <button @click=${() => this.tell("lw-loop-here")} ?disabled=${this.under === null}>Loop from here</button>
        <button aria-pressed=${t.clicks} @click=${() => t.set({ clicks: !t.clicks })}>Click</button>
        <button aria-pressed=${t.countIn} @click=${() => t.set({ countIn: !t.countIn })}>Count in</button>
      </lw-play-bar>
    </section>`;
  }
}

if (!customElements.get("lw-music")) customElements.define("lw-music", Music);
