// SPDX-License-Identifier: Apache-2.0
//
// <lw-harp>: a harp as its player sees it, and all it can play in half steps: blown above the comb, outlined; drawn below
// it, filled; bends away from the comb; what overblows has a peak; the key note of the music has a frame. Every note is a button; arrow keys go from one to
// the next.
import { css, html, LitElement, nothing, type TemplateResult } from "lit";
import type { HarpNote, HarpReading } from "../engine/engine";
import { look } from "./look";

const holes = Array.from({ length: 10 }, (_, i) => i + 1);
const depth = ["", "a half step down", "a whole step down", "three half steps down", "two whole steps down"];

/** What a note is, apart from its name: `4 draw, a half step down`. */
export function wayOf(n: HarpNote): string {
  const breath = n.overbend ? (n.breath === "blow" ? "overblow" : "overdraw") : n.breath;
  return n.bend > 0 ? `${n.hole} ${breath}, ${depth[n.bend] ?? `${n.bend} half steps down`}` : `${n.hole} ${breath}`;
}

export class LickHarp extends LitElement {
  static override properties = {
    reading: { attribute: false },
    lit: { attribute: false },
    sounding: { attribute: false },
    focus_: { state: true },
  };
  declare reading: HarpReading | null;
  /** Notes of the word under the cursor, as they are typed. */
  declare lit: string[];
  /** The note that is heard. */
  declare sounding: string;
  /** The note that Tab reaches. */
  declare focus_: string;

  constructor() {
    super();
    this.reading = null;
    this.lit = [];
    this.sounding = "";
    this.focus_ = "4d";
  }

  static override styles = [
    look,
    css`
      .harp {
        display: grid;
        grid-template-columns: repeat(10, minmax(0, 1fr));
        gap: 3px;
      }
      .column {
        display: flex;
        flex-direction: column;
        gap: 3px;
        justify-content: flex-start;
      }
      .column.up {
        flex-direction: column-reverse;
      }
      .comb {
        grid-column: 1 / -1;
        display: grid;
        grid-template-columns: subgrid;
        gap: inherit;
        background: var(--lw-ink);
        border-radius: 0.55rem;
        padding: 0.32rem 0;
        margin: 2px -0.2rem;
      }
      .comb b {
        justify-self: center;
        display: grid;
        place-items: center;
        width: min(2.1rem, 88%);
        aspect-ratio: 1.15;
        border-radius: 0.3rem;
        background: var(--lw-paper);
        color: var(--lw-ink);
        font-size: 0.95rem;
        font-variant-numeric: tabular-nums;
      }
      button {
        min-height: 2.55rem;
        padding: 0.12rem 0;
        border-radius: 0.45rem;
        line-height: 1.05;
        font-size: 0.98rem;
        display: flex;
        flex-direction: column;
        align-items: center;
        justify-content: center;
        min-width: 0;
        position: relative;
      }
      button small {
        font-weight: 400;
        font-size: 0.78rem;
      }
      button.draw {
        background: var(--lw-ink);
        color: var(--lw-paper);
        border-color: var(--lw-ink);
      }
      button.bend {
        border-radius: 1.2rem;
        min-height: 2.25rem;
        font-weight: 400;
      }
      button.bend.draw {
        background: color-mix(in srgb, var(--lw-ink) 82%, var(--lw-paper));
      }
      button.over {
        min-height: 2.5rem;
        font-weight: 400;
        border-style: double;
        border-width: 4px 1.5px 1.5px;
        border-radius: 1rem 1rem 0.4rem 0.4rem;
      }
      button.over.draw {
        border-width: 1.5px 1.5px 4px;
        border-radius: 0.4rem 0.4rem 1rem 1rem;
        border-color: var(--lw-paper);
        outline: 1.5px solid var(--lw-ink);
        outline-offset: -1px;
      }
      button.root {
        box-shadow: inset 0 0 0 2px var(--lw-paper);
        border-width: 3px;
        border-color: var(--lw-accent);
        border-style: solid;
      }
      button.lit {
        box-shadow:
          0 0 0 2px var(--lw-paper),
          0 0 0 5px var(--lw-accent);
        z-index: 1;
      }
      button.heard {
        box-shadow:
          0 0 0 2px var(--lw-paper),
          0 0 0 6px var(--lw-take);
        z-index: 2;
      }
      button:focus-visible {
        outline: 3px solid var(--lw-accent);
        outline-offset: 2px;
        z-index: 3;
      }
      .said {
        position: absolute;
        width: 1px;
        height: 1px;
        overflow: hidden;
        clip-path: inset(50%);
        white-space: nowrap;
      }
      @media (max-width: 30rem) {
        button {
          font-size: 0.9rem;
        }
        button small {
          font-size: 0.72rem;
        }
      }
    `,
  ];

  override render(): TemplateResult | typeof nothing {
    const r = this.reading;
    if (!r) return nothing;
    const side = (hole: number, breath: "blow" | "draw") => r.notes.filter((n) => n.hole === hole && n.breath === breath);
    if (!r.notes.some((n) => n.tab === this.focus_)) this.focus_ = r.notes[0]?.tab ?? "";
    return html`<div class="harp" role="group" aria-label=${`Notes of the harp in ${r.harp}, for music in ${r.music}`} @keydown=${this.keyed}>
      ${holes.map((hole) => html`<div class="column up">${side(hole, "blow").map((n) => this.note(n))}</div>`)}
      <div class="comb" aria-hidden="true">${holes.map((h) => html`<b>${h}</b>`)}</div>
      ${holes.map((hole) => html`<div class="column">${side(hole, "draw").map((n) => this.note(n))}</div>`)}
    </div>`;
  }

  private note(n: HarpNote): TemplateResult {
    const kind = [n.breath, n.overbend ? "over" : n.bend > 0 ? "bend" : "", n.degree === "1" ? "root" : "", this.lit.includes(n.tab) ? "lit" : "", this.sounding === n.tab ? "heard" : ""];
    return html`<button
      type="button"
      class=${kind.join(" ")}
      data-tab=${n.tab}
      tabindex=${n.tab === this.focus_ ? 0 : -1}
      @focus=${() => (this.focus_ = n.tab)}
      @click=${() => this.dispatchEvent(new CustomEvent("lw-note", { detail: n.tab, bubbles: true, composed: true }))}
    >
      <span class="said">${wayOf(n)}: </span>${n.note.replace(/-?\d+$/, "")}<small>${n.degree}</small>
    </button>`;
  }

  /** Arrows go over the harp as it lies: left and right to the next hole, up and down away from the comb or through it. */
  private keyed(e: KeyboardEvent): void {
    const r = this.reading;
    if (!r || e.altKey || e.ctrlKey || e.metaKey) return;
    const column = (hole: number) => {
      const of = (breath: string) => r.notes.filter((n) => n.hole === hole && n.breath === breath).map((n) => n.tab);
      return { tabs: [...of("blow").reverse(), ...of("draw")], comb: of("blow").length };
    };
    const now = r.notes.find((n) => n.tab === this.focus_);
    if (!now) return;
    const here = column(now.hole);
    const row = here.tabs.indexOf(now.tab);
    let to: string | undefined;
    if (e.key === "ArrowUp") to = here.tabs[row - 1];
    else if (e.key === "ArrowDown") to = here.tabs[row + 1];
    else if (e.key === "ArrowLeft" || e.key === "ArrowRight") {
      const hole = now.hole + (e.key === "ArrowLeft" ? -1 : 1);
      const next = column(hole);
      if (next.tabs.length > 0) {
        // As far from the comb as before, where that hole goes so far.
        const off = row - here.comb;
        const low = off < 0 ? 0 : next.comb;
        const high = off < 0 ? next.comb - 1 : next.tabs.length - 1;
        to = next.tabs[Math.min(high, Math.max(low, next.comb + off))];
      }
    } else if (e.key === "Home") to = column(1).tabs[column(1).comb];
    else if (e.key === "End") to = column(10).tabs[column(10).comb];
    else return;
    e.preventDefault();
    if (!to) return;
    this.focus_ = to;
    void this.updateComplete.then(() => this.renderRoot.querySelector<HTMLElement>(`[data-tab="${to}"]`)?.focus());
  }
}

if (!customElements.get("lw-harp")) customElements.define("lw-harp", LickHarp);
