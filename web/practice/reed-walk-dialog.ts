// SPDX-License-Identifier: Apache-2.0
//
// <lw-reed-walk>: the learner's own harp, breath by breath. A dialog over the practice page: which reed is asked, what is
// heard, what is known; skip, back, keep, forget. It only shows; the walk itself is engine/reed-walk.ts.
import { css, html, LitElement, nothing, type TemplateResult } from "lit";
import { look } from "../elements/look";
import { onceAFrame } from "../elements/once-a-frame";
import type { Look } from "../engine/engine";
import { breathOf, holeOf, reedCount, ReedWalk } from "../engine/reed-walk";

/** With fewer reeds than this nothing is gained over what each try tells by itself (wasm/ear.cpp asks for as many). */
const enough = 10;

export class ReedWalkDialog extends LitElement {
  static override properties = { harp: { state: true }, kept: { state: true }, walk: { state: true } };
  declare harp: string;
  /** Is there a walk of this harp on this machine? */
  declare kept: boolean;
  declare walk: ReedWalk | null;
  private made: number[] = [];
  private sounding = 0;
  private readonly redraw = onceAFrame(() => this.requestUpdate());

  constructor() {
    super();
    this.harp = "";
    this.kept = false;
    this.walk = null;
  }

  static override styles = [
    look,
    css`
      dialog {
        width: min(34em, calc(100vw - 2em));
        border: 1.5px solid var(--lw-ink);
        border-radius: 1em;
        background: var(--lw-paper);
        padding: 1.2em 1.3em 1.3em;
      }
      dialog::backdrop {
        background: rgb(0 0 0 / 0.45);
      }
      h2 {
        font-size: 1.3em;
        margin-bottom: 0.4em;
      }
      p {
        margin-bottom: 0.6em;
      }
      .board {
        display: grid;
        grid-template-columns: repeat(10, 1fr);
        gap: 2px;
        margin: 0.8em 0;
        font-size: 0.85em;
        font-variant-numeric: tabular-nums;
        text-align: center;
      }
      .board i {
        font-style: normal;
        padding: 0.35em 0;
        border-bottom: 1px solid var(--lw-rule);
      }
      .board .draw {
        border-bottom: 0;
        border-top: 1px solid var(--lw-ink);
      }
      .board .now {
        background: var(--lw-ink);
        color: var(--lw-paper);
        border-radius: 0.3em;
      }
      .asked {
        font-size: 1.5em;
        font-weight: 700;
        margin: 0;
      }
      meter {
        width: 100%;
        height: 0.8em;
      }
      .row {
        display: flex;
        flex-wrap: wrap;
        gap: 0.6em;
        margin-top: 0.9em;
      }
    `,
  ];

  /** `made`: the frequencies of the harp's reeds, hole 1 blow first. */
  async open(harp: string, made: number[], kept: boolean): Promise<void> {
    this.harp = harp;
    this.made = made;
    this.kept = kept;
    this.walk = null;
    await this.updateComplete;
    this.renderRoot.querySelector("dialog")?.showModal();
  }

  get opened(): boolean {
    return this.renderRoot.querySelector("dialog")?.open ?? false;
  }

  hear(l: Look): void {
    if (!this.walk) return;
    this.sounding = l.hz;
    this.walk.hear(l);
    this.redraw();
  }

  private close(): void {
    this.renderRoot.querySelector("dialog")?.close();
  }

  private say(reeds: (number | null)[] | null): void {
    this.dispatchEvent(new CustomEvent("lw-reeds", { detail: reeds }));
    this.close();
  }

  private step(by: 1 | -1): void {
    this.walk?.step(by);
    this.requestUpdate();
  }

  override render(): TemplateResult {
    return html`<dialog aria-labelledby="name" @close=${() => this.dispatchEvent(new CustomEvent("lw-closed"))}>
      <h2 id="name">Measure your harp in ${this.harp}</h2>
      ${this.walk ? this.walking(this.walk) : this.first()}
    </dialog>`;
  }

  private first(): TemplateResult {
    return html`<p>
        No two harps are tuned alike. One easy breath through every reed tells the page where yours stand, so that it never
        takes a reed that is a little off for a bend. Without it, it goes by the plain notes of each try.
      </p>
      <p>
        It takes a minute or two: one long, plain note for each hole, blown, then drawn. Leave out what you like; rest between
        breaths. If you feel light in the head, stop and breathe normally.
      </p>
      <div class="row">
        <button class="main" @click=${() => (this.walk = new ReedWalk(this.made))}>Begin</button>
        ${this.kept ? html`<button @click=${() => this.say(null)}>Forget this harp</button>` : nothing}
        <button @click=${this.close}>Not now</button>
      </div>`;
  }

  private walking(walk: ReedWalk): TemplateResult {
    const cells = ["blow", "draw"].flatMap((breath, row) =>
      Array.from({ length: 10 }, (_, hole) => {
        const reed = 2 * hole + row;
        const cents = walk.cents[reed]!;
        const words = reed === walk.at ? `${hole + 1}` : cents === null ? "·" : `${cents > 0 ? "+" : ""}${Math.round(cents)}`;
        return html`<i class="${breath} ${reed === walk.at ? "now" : ""}">${words}</i>`;
      }),
    );
    return html`<div role="status">
        ${walk.done
          ? html`<p class="asked">${walk.known} of ${reedCount} reeds heard</p>`
          : html`<p class="asked">Hole ${holeOf(walk.at)}, ${breathOf(walk.at)}</p>`}
      </div>
      ${walk.done
        ? html`<p>${walk.known >= enough ? said(walk.cents) : `That is too little to go by: ${enough} reeds are needed.`}</p>`
        : html`<meter min="0" max="1" value=${walk.heard} aria-label="how much of the breath was heard"></meter>
            <p class="soft">${this.sounding > 0 && walk.heard === 0 ? "Another note sounds, or the last one still does." : "One long, plain note."}</p>`}
      <div class="board" aria-hidden="true">${cells}</div>
      <div class="row">
        ${walk.done ? nothing : html`<button @click=${() => this.step(1)}>Leave it out</button>`}
        ${walk.at > 0 ? html`<button @click=${() => this.step(-1)}>One back</button>` : nothing}
        ${walk.known >= enough ? html`<button class="main" @click=${() => this.say(walk.cents)}>Keep it</button>` : nothing}
        <button @click=${this.close}>Stop</button>
      </div>`;
  }
}

/** The harp in a sentence: how high it stands, and the reed that is farthest from the others. */
function said(cents: (number | null)[]): string {
  const known = cents.flatMap((c, reed) => (c === null ? [] : [{ c, reed }])).sort((a, b) => a.c - b.c);
  const middle = known[known.length >> 1]!.c;
  const far = known.reduce((a, b) => (Math.abs(b.c - middle) > Math.abs(a.c - middle) ? b : a));
  const stands = Math.round(middle) === 0 ? "It stands at A 440" : `It stands ${Math.abs(Math.round(middle))} cents ${middle > 0 ? "above" : "below"} A 440`;
  const off = Math.round(far.c - middle);
  return `${stands}; hole ${holeOf(far.reed)} ${breathOf(far.reed)} is farthest from the others, ${Math.abs(off)} cents ${off > 0 ? "high" : "low"}.`;
}

if (!customElements.get("lw-reed-walk")) customElements.define("lw-reed-walk", ReedWalkDialog);
