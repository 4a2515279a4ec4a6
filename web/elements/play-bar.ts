// SPDX-License-Identifier: Apache-2.0
//
// <lw-play-bar>: play, loop, tempo and the count, as one row. More buttons come in through the slot.
import { css, html, nothing, type TemplateResult } from "lit";
import { look } from "./look";
import { fastest, slowest, type Transport } from "./transport";
import { TransportElement } from "./transport-element";

export class PlayBar extends TransportElement {
  static override styles = [
    look,
    css`
      :host {
        container-type: inline-size;
      }
      .row {
        display: flex;
        flex-wrap: wrap;
        gap: 0.6em;
        align-items: center;
      }
      .tempo {
        flex: 1 1 12em;
        max-width: 26em;
        display: grid;
        grid-template-columns: auto auto 1fr auto;
        grid-template-areas: "slower name value faster" "slower slider slider faster";
        align-items: center;
        gap: 0 0.6em;
      }
      /* Large print on the narrowest phone: words above, slider between its buttons. */
      @container (max-width: 15em) {
        .tempo {
          grid-template-columns: auto minmax(0, 1fr) auto auto;
          grid-template-areas: "name name value value" "slower slider slider faster";
        }
      }
      .tempo label {
        grid-area: name;
      }
      .tempo input {
        grid-area: slider;
        min-width: 0;
      }
      .tempo label,
      .tempo output {
        font-size: 0.95em;
        line-height: 1.2;
        font-variant-numeric: tabular-nums;
      }
      .tempo output {
        grid-area: value;
        text-align: right;
        white-space: nowrap;
      }
      .step {
        width: 2.75em;
        padding: 0;
      }
      .step:first-of-type {
        grid-area: slower;
      }
      .step:last-of-type {
        grid-area: faster;
      }
      .more {
        display: flex;
        flex-wrap: wrap;
        gap: 0.6em;
        margin-left: auto;
      }
      /* On a phone the buttons share one row and the tempo has the next to itself. */
      @container (max-width: 36em) {
        .tempo {
          order: 1;
          flex-basis: 100%;
          max-width: none;
        }
        .more {
          margin-left: 0;
        }
      }
      @media print {
        .row {
          display: none;
        }
      }
    `,
  ];

  /** How far the slider is filled. A style set by script, which a page's Content-Security-Policy lets in; an attribute is not. */
  override updated(): void {
    const percent = this.transport?.percent ?? slowest;
    const slider = this.renderRoot.querySelector<HTMLElement>("#tempo");
    slider?.style.setProperty("--at", `${(100 * (percent - slowest)) / (fastest - slowest)}%`);
  }

  override render(): TemplateResult | typeof nothing {
    const t = this.transport;
    if (!t?.reading) return nothing;
    const written = t.reading.tempo;
    return html`<div class="row">
      <button class="main" @click=${() => (t.playing ? t.stop() : void t.play())}>${t.playing ? "Stop" : "Play"}</button>
      <button aria-pressed=${t.rounds} @click=${() => t.setRounds(!t.rounds)}>
        ${t.chosen ? `Loop ${partName(t.chosen, t.meter)}` : "Loop"}
      </button>
      ${t.chosen ? html`<button @click=${() => t.choose(null)}>Whole lick</button>` : nothing}
      <div class="tempo">
        <label for="tempo">Tempo</label>
        <output for="tempo">${t.tempo} of ${Math.round(written)}</output>
        <button class="step" aria-label="slower" @click=${() => step(t, -1)}>${"−"}</button>
        <input
          id="tempo"
          type="range"
          min=${slowest}
          max=${fastest}
          step="1"
          .value=${String(t.percent)}
          aria-valuetext="${t.tempo} beats a minute, ${t.percent} percent"
          @input=${(e: Event) => t.set({ percent: Number((e.target as HTMLInputElement).value) })}
        />
        <button class="step" aria-label="faster" @click=${() => step(t, 1)}>+</button>
      </div>
      <div class="more"><slot></slot></div>
    </div>`;
  }
}

/** To the next whole beat a minute, so that any tempo can be had with a finger. */
function step(t: Transport, by: number): void {
  const written = t.reading?.tempo ?? 60;
  t.set({ percent: by > 0 ? Math.ceil((100 * (t.tempo + 0.5)) / written) : Math.floor((100 * (t.tempo - 0.5)) / written) });
}

/** Which bars a part of whole beats covers, in words. */
function partName([from, to]: [number, number], meter: number): string {
  if (to - from <= 0) return "";
  const bar = (beat: number) => Math.floor(beat / meter) + 1;
  const first = bar(from);
  const last = bar(to - 1e-6);
  const name = first === last ? `bar ${first}` : `bars ${first} to ${last}`;
  return from % meter === 0 && to % meter === 0 ? name : `in ${name}`;
}

/** The keys of everything that plays: + and - for the tempo, l for the loop, w for the whole lick, Escape to stop. */
export function playKey(e: KeyboardEvent, t: Transport): void {
  const inField = (e.composedPath()[0] as HTMLElement).matches?.("select, input, summary, a, textarea");
  if (e.altKey || e.ctrlKey || e.metaKey) return;
  if (e.key === "+" || e.key === "-") t.set({ percent: t.percent + (e.key === "+" ? 5 : -5) });
  else if (e.key === "Escape" && t.playing) t.stop();
  else if (e.key === "l" && !inField) t.setRounds(!t.rounds);
  else if (e.key === "w" && !inField) t.choose(null);
  else return;
  e.preventDefault();
}

if (!customElements.get("lw-play-bar")) customElements.define("lw-play-bar", PlayBar);
