// SPDX-License-Identifier: Apache-2.0
//
// <lw-entry>: the harp and what else writes without typing: rests, holds, cut beats, gestures, and notes by playing them.
import { html, LitElement, nothing, type TemplateResult } from "lit";
import type { Text } from "@codemirror/state";
import "../elements/lick-harp";
import { wayOf } from "../elements/lick-harp";
import type { Shown } from "./document";
import { ByEar } from "./by-ear";
import { gestures } from "./complete";
import { entered, gestured, parted, takenBack, type Change, type Room } from "./enter";

/** What is to be done to the text where the cursor stands, and how it is said; `tab` is a note to be heard. */
export interface Edit {
  change: (doc: Text, room: Room, at: number) => Change | null;
  said: string;
  tab?: string;
}

export class Entry extends LitElement {
  static override properties = {
    now: { attribute: false },
    lit: { attribute: false },
    module: { attribute: false },
  };
  declare now: Shown | null;
  /** Notes under the cursor, as they are typed. */
  declare lit: string[];
  declare module: WebAssembly.Module;
  private ear: ByEar | null = null;

  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  private edit(edit: Edit): void {
    this.dispatchEvent(new CustomEvent<Edit>("lw-edit", { detail: edit, bubbles: true }));
  }

  private word(word: string, said: string, heard = false): void {
    this.edit({ change: (doc, room, at) => entered(doc, room, at, word), said: `${said} written`, ...(heard ? { tab: word } : {}) });
  }

  private note(tab: string, heard: boolean): void {
    const note = this.now?.harp.notes.find((n) => n.tab === tab);
    this.word(tab, note ? `${wayOf(note)}, ${note.note}` : tab, heard);
  }

  private async listen(): Promise<void> {
    this.dispatchEvent(new CustomEvent("lw-listens", { bubbles: true }));
    this.ear ??= new ByEar(this.module, {
      harp: () => this.now?.harp ?? null,
      note: (tab) => this.note(tab, false),
      changed: () => this.requestUpdate(),
    });
    if (this.now) await this.ear.turn(this.now.part.text);
  }

  override render(): TemplateResult | typeof nothing {
    const h = this.now?.harp;
    if (!h) return nothing;
    const ear = this.ear;
    const cut = (parts: number, words: string) => html`<button
      @click=${() => this.edit({ change: (doc, room, at) => parted(doc, room, at, parts), said: `the beat is cut ${words}` })}
    >
      Cut ${words}
    </button>`;
    return html`<div class="line">
        <h2 id="harp-title">Harp in ${h.harp}</h2>
        <p class="soft">position ${h.position}, music in ${h.music}${h.tuning === "standard" ? nothing : html`, ${h.tuning}`}</p>
      </div>
      <p class="soft small">Blow above, draw below. A hole you choose takes the place that is marked in the text; the mark goes on to the next.</p>
      <lw-harp .reading=${h} .lit=${this.lit} .sounding=${ear?.sounding ?? ""} @lw-note=${(e: CustomEvent<string>) => this.note(e.detail, true)}></lw-harp>
      <details class="small signs">
        <summary>What the signs say</summary>
        <p>
          <b>On the harp</b>: the small figure is the degree of the position, a coloured frame its root. Straight sides are plain reeds, round
          ones bends, the deeper the further from the comb; a double edge is an overbend. <b>In the text</b>: a line over a note is blown, bold
          is drawn.
        </p>
      </details>
      <div class="tools">
        <button @click=${() => this.word(".", "rest")}>Rest</button>
        <button @click=${() => this.word("-", "hold")}>Hold</button>
        ${cut(2, "in two")} ${cut(3, "in three")} ${cut(4, "in four")}
        <button @click=${() => this.edit({ change: takenBack, said: "the last one is erased" })}>Erase last note</button>
        <label
          >Gesture
          <select
            @change=${(e: Event) => {
              const select = e.target as HTMLSelectElement;
              const gesture = select.value;
              if (gesture) this.edit({ change: (doc, room, at) => gestured(doc, room, at, gesture), said: gesture });
              select.value = "";
            }}
          >
            <option value="">add to the last note</option>
            ${Object.keys(gestures).map((g) => html`<option value=${g}>${g}</option>`)}
          </select></label
        >
        <button aria-pressed=${ear?.on ?? false} @click=${() => void this.listen()}>${ear?.on ? "Listening" : "Write what I play"}</button>
      </div>
      ${ear?.on
        ? html`<p class="live">${ear.live ? html`you: <b>${ear.live}</b>` : html`<span class="soft">play a note: it is written when it ends</span>`}</p>`
        : nothing}
      ${ear?.trouble ? html`<p class="notice" role="alert">${ear.trouble}</p>` : nothing}`;
  }
}

if (!customElements.get("lw-entry")) customElements.define("lw-entry", Entry);
