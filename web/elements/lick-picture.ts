// SPDX-License-Identifier: Apache-2.0
//
// <lw-picture>: the breath line of one lick. What moves lies in a second drawing over the still one: the place mark, the
// note that sounds, the part that is looped, what the ear hears and how each note came.
import { css, html, nothing, svg, type PropertyValues, type TemplateResult } from "lit";
import { unsafeHTML } from "lit/directives/unsafe-html.js";
import { beatNear, beatUnder, spotAt, stretch } from "../engine/clock";
import type { Picture, Spelling } from "../engine/engine";
import { LickElement } from "./lick-element";
import { look } from "./look";
import { heardDrawing, numbersMask, trailDrawing, type Heard } from "./heard-drawing";
import type { Trail } from "./trail";

/** How a note of a try came: in words, and whether it was right. */
export interface Mark {
  words: string;
  /** The same to stand under the note, the fullest first; nothing where all is right. */
  short: string[];
  right: boolean;
}

/** Half a number's shape, in points. */
const reach = 9;

export class LickPicture extends LickElement {
  static override properties = {
    harp: { type: String },
    spelling: { type: String },
    large: { type: Boolean },
    beat: { attribute: false },
    chosen: { attribute: false },
    marks: { attribute: false },
    heard: { attribute: false },
    trail: { attribute: false },
    count: { attribute: false },
    still: { type: Boolean },
    under: { attribute: false },
    sketch: { type: Boolean },
  };
  declare harp: string;
  declare spelling: Spelling;
  declare large: boolean;
  /** Where the place mark stands; null hides it. */
  declare beat: number | null;
  /** What is looped, when it is not the whole. */
  declare chosen: [number, number] | null;
  declare marks: Map<number, Mark>;
  declare heard: Heard | null;
  /** What was played; it is drawn again with every move of the place mark. */
  declare trail: Trail | null;
  /** The number that was counted last before the first note; 0 when nothing is counted. */
  declare count: number;
  /** Shows the picture alone: no part can be chosen. */
  declare still: boolean;
  /** What the cursor of an editor stands on, in beats. */
  declare under: [number, number] | null;
  /** A lick with errors is drawn as far as it can be; where nothing can, what was drawn last stays. */
  declare sketch: boolean;

  picture: Picture | null = null;
  private width = 0;
  private drawn = "";
  private drag: number | null = null;
  private observer: ResizeObserver | null = null;

  constructor() {
    super();
    this.harp = "";
    this.spelling = "none";
    this.large = false;
    this.beat = null;
    this.chosen = null;
    this.marks = new Map();
    this.heard = null;
    this.trail = null;
    this.count = 0;
    this.still = false;
    this.under = null;
    this.sketch = false;
  }

  static override styles = [
    look,
    css`
      .frame {
        position: relative;
        touch-action: pan-y;
        /* Whoever judges tries keeps room for what is said under the last line. */
        margin-bottom: var(--lw-told, 0);
      }
      .frame.choosing {
        touch-action: none;
      }
      .frame > svg {
        display: block;
        width: 100%;
        height: auto;
      }
      .frame > svg.over {
        position: absolute;
        inset: 0;
        height: 100%;
        pointer-events: none;
        overflow: visible;
      }
      .over text {
        font-weight: 700;
      }
    `,
  ];

  override connectedCallback(): void {
    super.connectedCallback();
    this.observer = new ResizeObserver(([entry]) => {
      const width = Math.round(entry?.contentRect.width ?? 0);
      if (width > 0 && width !== this.width) {
        this.width = width;
        this.requestUpdate();
      }
    });
    this.observer.observe(this);
  }

  override disconnectedCallback(): void {
    this.observer?.disconnect();
    super.disconnectedCallback();
  }

  /** What was drawn last is not to stand for a lick that cannot be drawn. */
  forget(): void {
    this.picture = null;
    this.drawn = "";
    this.requestUpdate();
  }

  override willUpdate(changed: PropertyValues): void {
    if (changed.has("beat") && this.beat === null) this.followed = -1;
    if (!this.engine || !this.lick || this.width === 0) return;
    // A point is 4/3 of a CSS pixel: numbers of 12 pt are as large as text of 16 px.
    const width = Math.max(120, this.width * 0.75);
    const key = [this.lick, this.harp, this.spelling, this.large, width].join("\u0000");
    if (key === this.drawn) return;
    this.drawn = key;
    const picture = this.engine.picture(this.lick, {
      width,
      scale: this.large ? 1.5 : 1,
      spelling: this.spelling,
      harp: this.harp,
      sketch: this.sketch,
    });
    if (picture || !this.sketch) this.picture = picture;
    this.dispatchEvent(new CustomEvent("lw-drawn", { detail: picture }));
  }

  override render(): TemplateResult | typeof nothing {
    const p = this.picture;
    if (!p) return this.wrong();
    return html`<div
      class="frame"
      @pointerdown=${this.down}
      @pointermove=${this.move}
      @pointerup=${this.up}
      @pointercancel=${this.up}
    >
      ${unsafeHTML(p.svg)}
      <svg class="over" viewBox="0 0 ${p.width} ${p.height}" aria-hidden="true">
        ${this.partDrawing(p)} ${this.underDrawing(p)} ${this.noteDrawing(p)}
        ${this.trail || this.heard ? numbersMask(p, this.scale) : nothing}
        ${this.trail ? trailDrawing(p, this.trail, this.scale) : nothing}
        ${this.heard ? heardDrawing(p, this.heard, this.scale) : nothing}
        ${this.markDrawing(p)} ${this.saidDrawing(p)} ${this.placeDrawing(p)} ${this.countDrawing(p)}
      </svg>
    </div>`;
  }

  /** Large print is half as large again, as everywhere on the page. */
  private get scale(): number {
    return this.large ? 1.5 : 1;
  }

  private partDrawing(p: Picture): unknown {
    if (!this.chosen) return nothing;
    const [from, to] = this.chosen;
    return stretch(p, from, to).map(({ line, left, right }) => {
      const [, top, , bottom] = p.systems[line]!;
      return svg`<path d="M${left} ${top - 2}H${right}" stroke="var(--lw-accent)" stroke-width="3.6"
          stroke-linecap="round" fill="none"/>
        <rect x=${left} y=${top} width=${right - left} height=${bottom - top} fill="var(--lw-accent)" opacity="0.1"/>`;
    });
  }

  /** A frame around what the cursor stands on, as high as its line: a rest has no ink of its own. */
  private underDrawing(p: Picture): unknown {
    if (!this.under) return nothing;
    const [from, to] = this.under;
    return stretch(p, from, to).map(({ line, left, right }) => {
      const [, top, , bottom] = p.systems[line]!;
      return svg`<rect x=${left - reach} y=${top + 1} width=${Math.max(right - left, 2 * reach)} height=${bottom - top - 2} rx="5"
        fill="var(--lw-accent)" fill-opacity="0.1" stroke="var(--lw-accent)" stroke-width="1.3" data-under="1"/>`;
    });
  }

  /** A ring around the number that sounds, in the accent's colour and thick enough to be seen without it. */
  private noteDrawing(p: Picture): unknown {
    if (this.beat === null) return nothing;
    const beat = this.beat;
    const note = p.notes.find((n) => beat >= n.beat && beat < n.end);
    const token = note && note.lit[0] !== undefined ? p.tokens[note.lit[0]] : undefined;
    if (!token || token[8] === undefined || token[9] === undefined) return nothing;
    const radius = this.scale * (note!.tab.length > 3 ? 14 : 11.5);
    return svg`<circle cx=${token[8]} cy=${token[9]} r=${radius} fill="none" stroke="var(--lw-accent)"
      stroke-width="2.4"/>`;
  }

  private markDrawing(p: Picture): unknown {
    return [...this.marks].map(([index, mark]) => {
      const note = p.notes[index];
      const token = note && note.lit[0] !== undefined ? p.tokens[note.lit[0]] : undefined;
      if (!token || token[8] === undefined || token[9] === undefined) return nothing;
      const r = this.scale * 9;
      const x = token[8] - r * 0.95;
      const y = token[9] - r * 0.95;
      // A tick or a cross beside the number; the words stand in the list below.
      const size = this.large ? 4.6 : 3.2;
      return mark.right
        ? svg`<circle cx=${x} cy=${y} r=${size * 1.35} fill="var(--lw-take)"/><path
            d="M${x - size * 0.62} ${y}l${size * 0.45} ${size * 0.5}l${size * 0.8} ${-size}"
            stroke="var(--lw-paper)" stroke-width="1.3" fill="none" stroke-linecap="round" stroke-linejoin="round"/>`
        : svg`<rect x=${x - size * 1.3} y=${y - size * 1.3} width=${size * 2.6} height=${size * 2.6} rx="1"
            fill="var(--lw-accent)"/><path
            d="M${x - size * 0.6} ${y - size * 0.6}l${size * 1.2} ${size * 1.2}m0 ${-size * 1.2}l${-size * 1.2} ${size * 1.2}"
            stroke="var(--lw-paper)" stroke-width="1.3" fill="none" stroke-linecap="round"/>`;
    });
  }

  /** Under a note that came otherwise: how. Where the words of two notes would meet, the later one stands lower, else shorter;
   *  what finds no room is left to the list. */
  private saidDrawing(p: Picture): unknown {
    const size = this.large ? 11 : 8;
    const taken = p.systems.map(() => [-Infinity, -Infinity]);
    return [...this.marks]
      .sort(([a], [b]) => a - b)
      .map(([index, mark]) => {
        const lit = p.notes[index]?.lit[0];
        const token = lit === undefined ? undefined : p.tokens[lit];
        const system = token && p.systems[token[0]];
        const middle = token?.[8];
        if (!system || middle === undefined) return nothing;
        const rows = taken[token[0]]!;
        for (const words of mark.short) {
          const half = words.length * size * 0.27;
          const x = Math.min(Math.max(middle, system[0] + half), system[0] + system[2] - half);
          const row = rows.findIndex((end) => x - half > end);
          if (row < 0) continue;
          rows[row] = x + half + size * 0.5;
          return svg`<text x=${x} y=${system[6] + size * (1.05 + row)} text-anchor="middle" font-size=${size}
            fill="var(--lw-take)" data-said=${index}>${words}</text>`;
        }
        return nothing;
      });
  }

  private placeDrawing(p: Picture): unknown {
    if (this.beat === null) return nothing;
    const { line, x } = spotAt(p, this.beat);
    const system = p.systems[line];
    if (!system) return nothing;
    const [, top, , bottom] = system;
    return svg`<path d="M${x} ${top - 3}V${bottom}" stroke="var(--lw-accent)" stroke-width="1.6" data-place="1"/>
      <path d="M${x - 4.4} ${top - 3}h8.8l-4.4 5.4z" fill="var(--lw-accent)"/>`;
  }

  /** The count stands where the eye waits: at the left end of the line that begins. */
  private countDrawing(p: Picture): unknown {
    if (this.count === 0 || this.beat === null) return nothing;
    const system = p.systems[spotAt(p, this.beat).line];
    if (!system) return nothing;
    const size = this.large ? 30 : 22;
    return svg`<text x=${system[0] + size * 0.45} y=${(system[4] + system[5]) / 2 + size * 0.36} font-size=${size}
      text-anchor="middle" fill="var(--lw-accent)" stroke="var(--lw-paper)" stroke-width="5" paint-order="stroke"
      data-count="1">${this.count}</text>`;
  }

  private followed = -1;

  /** Keeps the line that plays in sight; a line that can be seen stays where it is. */
  follow(): void {
    const p = this.picture;
    const frame = this.renderRoot.querySelector(".frame");
    if (!p || !frame || this.beat === null) return;
    const { line } = spotAt(p, this.beat);
    if (line === this.followed) return;
    this.followed = line;
    const [, top, , , , , foot] = p.systems[line]!;
    const box = frame.getBoundingClientRect();
    const scale = box.width / p.width;
    const from = box.top + top * scale - 40;
    const to = box.top + foot * scale + 24;
    const by = from < 0 ? from : Math.min(from, Math.max(0, to - window.innerHeight));
    const calm = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
    if (by !== 0) window.scrollBy({ top: by, behavior: calm ? "instant" : "smooth" });
  }

  // --- Choosing a part by dragging

  private point(e: PointerEvent): { x: number; y: number } {
    const r = this.renderRoot.querySelector(".frame")!.getBoundingClientRect();
    const scale = this.picture!.width / r.width;
    return { x: (e.clientX - r.left) * scale, y: (e.clientY - r.top) * scale };
  }

  private beatOf(e: PointerEvent): number | null {
    if (!this.picture) return null;
    const { x, y } = this.point(e);
    return beatUnder(this.picture, x, y, 12);
  }

  /** Exactly where a tap was. A number stands over its beat, half of it before. */
  private pointed(e: PointerEvent): number | null {
    const { x, y } = this.point(e);
    return beatNear(this.picture!, x + reach, y);
  }

  private down(e: PointerEvent): void {
    if (this.still || e.button !== 0) return;
    this.drag = this.beatOf(e);
    if (this.drag === null) return;
    if (e.pointerType === "mouse") (e.currentTarget as Element).setPointerCapture(e.pointerId);
  }

  private move(e: PointerEvent): void {
    if (this.drag === null) return;
    const to = this.beatOf(e);
    if (to === null || to === this.drag) return;
    this.choose(Math.min(this.drag, to), Math.max(this.drag, to), false);
  }

  private up(e: PointerEvent): void {
    if (this.drag === null) return;
    const to = e.type === "pointerup" ? this.beatOf(e) : null;
    if (to !== null && to === this.drag) {
      this.dispatchEvent(new CustomEvent("lw-tapped", { detail: to, bubbles: true, composed: true }));
      this.dispatchEvent(new CustomEvent("lw-pointed", { detail: this.pointed(e), bubbles: true, composed: true }));
    } else if (this.chosen) this.choose(this.chosen[0], this.chosen[1], true);
    this.drag = null;
  }

  private choose(from: number, to: number, done: boolean): void {
    this.chosen = [from, to];
    this.dispatchEvent(new CustomEvent("lw-part", { detail: { from, to, done }, bubbles: true, composed: true }));
  }
}

if (!customElements.get("lw-picture")) customElements.define("lw-picture", LickPicture);
