// SPDX-License-Identifier: Apache-2.0
//
// <lw-choices>: key of harp, plain spelling, looped bars, and what sounds.
import { css, html, nothing, type TemplateResult } from "lit";
import type { Spelling } from "../engine/engine";
import { look } from "./look";
import { harps, type Transport } from "./transport";
import { TransportElement } from "./transport-element";

const spellingNames: Record<Spelling, string> = {
  none: "none",
  signs: "signs: 4 -4",
  arrows: "arrows: 4↑ 4↓",
  letters: "letters: 4B 4D",
};

export class LickChoices extends TransportElement {
  static override styles = [
    look,
    css`
      .choices {
        display: grid;
        grid-template-columns: repeat(auto-fit, minmax(11em, 15em));
        gap: 0.6em 1.4em;
        padding: 0.4em 0 0.6em;
      }
      .choices label,
      .choices .pair {
        display: flex;
        flex-direction: column;
        gap: 0.2em;
        font-size: 0.95em;
      }
      .choices label.tick {
        flex-direction: row;
        align-items: center;
        gap: 0.6em;
        min-height: 2.75em;
      }
      .ticks {
        grid-column: 1 / -1;
        display: flex;
        flex-wrap: wrap;
        gap: 0 1.8em;
      }
      .keys {
        grid-column: 1 / -1;
        font-size: 0.95em;
      }
      kbd {
        font: inherit;
        font-weight: 700;
        padding: 0 0.35em;
        border: 1px solid var(--lw-rule);
        border-radius: 0.3em;
      }
      .choices input[type="checkbox"] {
        width: 1.35em;
        height: 1.35em;
        accent-color: var(--lw-accent);
      }
      .bars {
        display: flex;
        gap: 0.5em;
        align-items: center;
      }
      .bars select {
        padding: 0.4em 0.6em;
      }
      @media print {
        .choices {
          display: none;
        }
      }
    `,
  ];

  override render(): TemplateResult | typeof nothing {
    const t = this.transport;
    if (!t?.reading) return nothing;
    const written = t.reading.harp;
    const harp = t.harp || written;
    return html`<div class="choices">
      <label>
        Key of the harp
        <select @change=${(e: Event) => t.set({ harp: chosen(e) })}>
          ${harps.map((h) => html`<option value=${h} .selected=${h === harp}>${h}${h === written ? " (as written)" : ""}</option>`)}
        </select>
      </label>
      <label>
        Plain spelling
        <select @change=${(e: Event) => t.set({ spelling: chosen(e) as Spelling })}>
          ${Object.entries(spellingNames).map(
            ([s, name]) => html`<option value=${s} .selected=${s === t.spelling}>${name}</option>`,
          )}
        </select>
      </label>
      <div class="pair">
        <span id="bars">Bars that are looped</span>
        <span class="bars" role="group" aria-labelledby="bars">${barChoice(t, "from")} to ${barChoice(t, "to")}</span>
      </div>
      <div class="ticks">
        ${tick(t, "Click", "clicks")} ${tick(t, "Harp sounds", "voice")} ${tick(t, "Count in", "countIn")}
      </div>
      <p class="keys soft">
        Keys: <kbd>+</kbd> and <kbd>-</kbd> tempo, <kbd>l</kbd> loop, <kbd>w</kbd> the whole lick, <kbd>Esc</kbd> stop. Drag along
        the picture to loop a part of it.
      </p>
    </div>`;
  }
}

const chosen = (e: Event): string => (e.target as HTMLSelectElement).value;

function tick(t: Transport, name: string, which: "clicks" | "voice" | "countIn"): TemplateResult {
  return html`<label class="tick"
    ><input
      type="checkbox"
      .checked=${t[which]}
      @change=${(e: Event) => t.set({ [which]: (e.target as HTMLInputElement).checked })}
    />${name}</label
  >`;
}

/** The first or the last bar; the other one gives way, so that the part is never empty. A pickup belongs to bar 1. */
function barChoice(t: Transport, which: "from" | "to"): TemplateResult {
  const { meter, whole } = t;
  const [from, to] = t.chosen ?? whole;
  const bars = Math.max(1, Math.ceil(whole[1] / meter));
  const first = Math.floor(Math.max(0, from) / meter);
  const last = Math.ceil(to / meter) - 1;
  const choose = (bar: number) => {
    const a = which === "from" ? bar : Math.min(first, bar);
    const b = which === "to" ? bar : Math.max(last, bar);
    const part: [number, number] = [a === 0 ? whole[0] : a * meter, Math.min(whole[1], (b + 1) * meter)];
    t.choose(part[0] === whole[0] && part[1] === whole[1] ? null : part);
  };
  return html`<select aria-label=${which === "from" ? "first bar" : "last bar"} @change=${(e: Event) => choose(Number(chosen(e)))}>
    ${Array.from(
      { length: bars },
      (_, i) => html`<option value=${i} .selected=${i === (which === "from" ? first : last)}>${i + 1}</option>`,
    )}
  </select>`;
}

if (!customElements.get("lw-choices")) customElements.define("lw-choices", LickChoices);
