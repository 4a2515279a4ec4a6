// SPDX-License-Identifier: Apache-2.0
//
// <lw-music>: the lick that the cursor stands in, to see and to hear. What is pointed at goes to the page, which owns the
// cursor.
import { html, LitElement, nothing, type PropertyValues, type TemplateResult } from "lit";
import "../elements/lick-picture";
import type { LickPicture } from "../elements/lick-picture";
import "../elements/play-bar";
import { playKey } from "../elements/play-bar";
import type { Transport } from "../elements/transport";
import { spotAt } from "../engine/clock";
import type { Engine, Picture } from "../engine/engine";
import type { Part } from "./document";

/** A phone's frame is at most this high, in rem: two lines in usual print. */
const phoneLimit = 22;
/** Room under a line's ink that still belongs to it, in points. */
const underInk = 4;

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
    rest: { state: true },
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
  /** Lines of the picture that its frame has no room for: below what is seen; null where all of it is seen. */
  declare rest: number | null;
  private heard: Transport | null = null;

  constructor() {
    super();
    this.stale = false;
    this.rest = null;
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
    this.rest = null;
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

  protected override updated(changed: PropertyValues): void {
    if (changed.has("under")) this.bringCursor();
  }

  /** Where the cursor stands comes into sight when it moves, and not when somebody looks on in the picture. */
  private bringCursor(): void {
    if (this.under && !this.transport.playing) this.bringInto(this.under[0]);
  }

  private get frame(): HTMLElement | null {
    return this.querySelector(".drawing");
  }

  /** Where the lines of the picture end in its frame, in pixels: under the ink of each, over the chords of the next. */
  private get ends(): number[] {
    const p = this.drawing?.picture;
    const scale = p ? (this.frame?.clientWidth ?? 0) / p.width : 0;
    return p ? p.systems.map((s, i) => scale * (i + 1 < p.systems.length ? s[6] + underInk : p.height)) : [];
  }

  /** A phone's frame is as high as whole lines are. */
  private fit(): void {
    const { frame, ends } = this;
    if (!frame) return;
    const all = ends[ends.length - 1] ?? 0;
    const most = window.matchMedia("(max-width: 40rem)").matches ? phoneLimit * parseFloat(getComputedStyle(document.documentElement).fontSize) : Infinity;
    const whole = all <= most ? null : Math.ceil(Math.max(ends[0]!, ...ends.filter((e) => e <= most)));
    frame.style.maxHeight = whole === null ? "" : `${whole}px`;
    this.look();
    this.bringCursor();
  }

  /** What the frame shows of the picture has changed. */
  private look(): void {
    const { frame, ends } = this;
    if (!frame) return;
    const bottom = frame.scrollTop + frame.clientHeight;
    this.rest = frame.style.maxHeight === "" ? null : ends.filter((e) => e > bottom + 4).length;
  }

  /** On to the lines that are not seen; from the last ones to the first. */
  private turn(): void {
    const { frame, ends } = this;
    if (!frame) return;
    const bottom = frame.scrollTop + frame.clientHeight;
    frame.scrollTop = this.rest ? Math.max(0, ...ends.filter((e) => e <= bottom + 4)) : 0;
  }

  /** Where the picture is higher than its frame, the line of this beat comes into sight. */
  private bringInto(beat: number): void {
    const { frame, picture, ends } = this;
    if (!frame || !picture || this.rest === null) return;
    const { line } = spotAt(picture, beat);
    const [top, bottom] = [ends[line - 1] ?? 0, ends[line] ?? 0];
    if (top < frame.scrollTop - 4 || bottom > frame.scrollTop + frame.clientHeight + 4) frame.scrollTop = top;
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
    requestAnimationFrame(() => this.fit());
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
        class="drawing ${this.stale ? "dim" : ""} ${this.rest === null ? "" : "cut"}"
        tabindex="0"
        role="group"
        aria-label="Breath line; left and right go from note to note"
        @keydown=${this.keyed}
        @scroll=${this.look}
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
      ${this.rest === null
        ? nothing
        : html`<button class="lines" @click=${this.turn}>
            ${this.rest > 0 ? `${this.rest} more ${this.rest === 1 ? "line" : "lines"} below ↓` : "Back to the first line ↑"}
          </button>`}
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
