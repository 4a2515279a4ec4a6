// SPDX-License-Identifier: Apache-2.0
//
// <lw-player>: a lick to see, hear and practise: picture, play bar, choices, the walk-through in words. With an Ear it
// listens as well (try-panel.ts). How it is played is its transport's; here it is put together.
import { css, html, nothing, type PropertyValues, type TemplateResult } from "lit";
import type { Engine, Picture, Reading } from "../engine/engine";
import { Memory } from "../engine/remember";
import "./lick-choices";
import "./lick-picture";
import type { Heard } from "./heard-drawing";
import type { LickPicture, Mark } from "./lick-picture";
import { LickElement } from "./lick-element";
import { faultsOf } from "./lick-faults";
import { look } from "./look";
import { playKey } from "./play-bar";
import type { Trail } from "./trail";
import { Transport } from "./transport";

export class LickPlayer extends LickElement {
  static override properties = {
    number: { type: Number },
    ladder: { attribute: false },
    large: { type: Boolean },
    memory: { attribute: false },
    marks: { attribute: false },
    trail: { attribute: false },
  };
  /** Which lick of a lesson; 0 for one that stands alone. */
  declare number: number;
  /** Percent of the lick's tempo, slow to fast; the first is where it begins. */
  declare ladder: readonly number[] | undefined;
  declare large: boolean;
  declare memory: Memory;
  declare marks: Map<number, Mark>;
  declare trail: Trail | null;

  transport: Transport | undefined;
  private told: string[] = [];
  /** Harp and lick that were told. */
  private toldOf = "";

  constructor() {
    super();
    this.number = 0;
    this.large = false;
    this.memory = new Memory("lickwright");
    this.marks = new Map();
    this.trail = null;
  }

  static override styles = [
    look,
    css`
      :host {
        container-type: inline-size;
        margin-block: var(--lw-apart, 1.5em);
      }
      section {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        column-gap: 1.5em;
        align-items: baseline;
      }
      section > * {
        grid-column: 1 / -1;
      }
      h2 {
        font-size: 1.3em;
        line-height: 1.25;
        grid-column: 1;
        overflow-wrap: anywhere;
      }
      .now {
        grid-area: 1 / 2;
      }
      /* On a phone what sounds stands under the buttons: nothing above them moves when it comes. */
      @container (max-width: 36em) {
        h2 {
          grid-column: 1 / -1;
        }
        .now {
          grid-area: auto / 1 / auto / -1;
        }
      }
      .says {
        font-size: 0.95em;
      }
      lw-picture {
        margin: 0.9em 0 0.6em;
      }
      .drawers {
        display: grid;
        grid-template-columns: repeat(auto-fit, minmax(13em, max-content));
        gap: 0 2em;
        margin-top: 0.7em;
        border-top: 1px solid var(--lw-rule);
        padding-top: 0.4em;
      }
      details[open] {
        grid-column: 1 / -1;
        padding-bottom: 0.4em;
      }
      summary {
        cursor: pointer;
        padding: 0.6em 0;
        font-weight: 700;
      }
      ol {
        padding-left: 0;
        list-style: none;
      }
      li {
        padding: 0.15em 0;
      }
      a {
        color: inherit;
      }
      @media print {
        details:not([open]),
        .choices {
          display: none;
        }
        .drawers {
          border: 0;
          margin: 0;
          padding: 0;
        }
      }
    `,
  ];

  override disconnectedCallback(): void {
    this.transport?.stop();
    super.disconnectedCallback();
  }

  override willUpdate(_: PropertyValues): void {
    if (!this.engine || !this.lick) return;
    if (this.transport?.engine !== this.engine) this.transport = this.opened(this.engine);
    const t = this.transport;
    if (this.lick !== t.lick) t.open(this.lick, this.number, this.ladder);
    const asked = `${t.harp}\n${this.lick}`;
    if (asked === this.toldOf) return;
    this.toldOf = asked;
    this.told = t.reading?.ok ? this.engine.told(this.lick, t.harp) : [];
  }

  private opened(engine: Engine): Transport {
    this.transport?.stop();
    const t = new Transport(engine, this.memory);
    t.addEventListener("change", () => {
      this.requestUpdate();
      this.dispatchEvent(new CustomEvent("lw-changed"));
    });
    // Sixty times a second: past everything but the picture.
    t.addEventListener("place", () => {
      const picture = this.pictureElement;
      if (!picture) return;
      picture.beat = t.beat;
      if (t.beat !== null) picture.follow();
    });
    t.addEventListener("stopped", () => this.dispatchEvent(new CustomEvent("lw-stopped")));
    t.addEventListener("trouble", () =>
      this.dispatchEvent(new CustomEvent("lw-trouble", { detail: t.trouble, bubbles: true, composed: true })),
    );
    return t;
  }

  private get pictureElement(): LickPicture | null {
    return this.renderRoot.querySelector("lw-picture");
  }

  /** What the ear hears now, past everything but the picture. */
  show(heard: Heard | null): void {
    const picture = this.pictureElement;
    if (picture) picture.heard = heard;
  }

  /** What is drawn now. */
  get picture(): Picture | null {
    return this.pictureElement?.picture ?? null;
  }

  get reading(): Reading | null {
    return this.transport?.reading ?? null;
  }

  override render(): TemplateResult | typeof nothing {
    const t = this.transport;
    const r = t?.reading;
    if (!t || !r) return this.wrong();
    if (!r.ok) return faultsOf(r);
    return html`<section aria-labelledby="title" @keydown=${(e: KeyboardEvent) => playKey(e, t)}>
      <h2 id="title">${this.number > 0 ? `${this.number} · ` : nothing}${r.title || "A lick"}</h2>
      <p class="says soft">${this.says(r, t.harp)}</p>
      <lw-picture
        .engine=${this.engine}
        .lick=${this.lick}
        .harp=${t.harp}
        .count=${t.count}
        .spelling=${t.spelling}
        .large=${this.large}
        .chosen=${t.chosen}
        .marks=${this.marks}
        .trail=${this.trail}
        @lw-part=${(e: CustomEvent<{ from: number; to: number; done: boolean }>) => {
          if (e.detail.done) t.choose([e.detail.from, e.detail.to]);
        }}
        @lw-drawn=${(e: CustomEvent<Picture | null>) => {
          t.span = e.detail ? [e.detail.start, e.detail.end] : null;
          this.requestUpdate();
        }}
      ></lw-picture>
      <lw-play-bar .transport=${t}><slot name="more"></slot></lw-play-bar>
      <div class="now"><slot name="now"></slot></div>
      <div class="drawers">
        <details class="choices">
          <summary>Harp, click and spelling</summary>
          <lw-choices .transport=${t}></lw-choices>
        </details>
        <details>
          <summary>In words</summary>
          <ol>
            ${this.told.map((line) => html`<li>${line}</li>`)}
          </ol>
        </details>
      </div>
      ${r.more.length || r.credit
        ? html`<p class="soft says">
            ${r.credit ? html`${r.credit}. ` : nothing}
            ${r.more.map((m) => html`<a href=${m}>The full lesson</a> `)}
          </p>`
        : nothing}
    </section>`;
  }

  private says(r: Reading, harp: string): string {
    const music = this.picture?.music ?? r.music;
    const parts = [`Harp in ${harp || r.harp}`];
    if (r.position && music) parts.push(`${ordinal(r.position)} position, so the music is in ${music}`);
    if (r.meter !== "4/4") parts.push(r.meter);
    if (r.feel !== "1") parts.push("swung");
    return parts.join(" · ");
  }
}

function ordinal(n: number): string {
  const names = ["", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"];
  return names[n] ?? String(n);
}

if (!customElements.get("lw-player")) customElements.define("lw-player", LickPlayer);
