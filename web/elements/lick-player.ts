// SPDX-License-Identifier: Apache-2.0
//
// <lw-player>: a lick to see, hear and practise: picture, play, loop, tempo, harp. With an Ear it listens as well
// (try-panel.ts). One sound at a time: a player that starts stops the others of the page.
import { css, html, LitElement, nothing, type PropertyValues, type TemplateResult } from "lit";
import type { Engine, Picture, Reading, Spelling } from "../engine/engine";
import { Player, type Part } from "../engine/player";
import { Memory } from "../engine/remember";
import "./lick-picture";
import { LickPicture, type Heard, type Mark } from "./lick-picture";
import { look } from "./look";

/** Every harp that is made, low to high: the trade's names. */
const keys = ["G", "Ab", "A", "Bb", "B", "C", "Db", "D", "Eb", "E", "F", "F#"];
const harps = [...["C", "D", "Eb", "E", "F", "F#"].map((k) => `low ${k}`), ...keys, "high G"];

const spellingNames: Record<Spelling, string> = {
  none: "none",
  signs: "signs: 4 -4",
  arrows: "arrows: 4↑ 4↓",
  letters: "letters: 4B 4D",
};

export class LickPlayer extends LitElement {
  static override properties = {
    lick: { type: String },
    number: { type: Number },
    engine: { attribute: false },
    memory: { attribute: false },
    large: { type: Boolean },
    percent: { state: true },
    harp: { state: true },
    spelling: { state: true },
    chosen: { state: true },
    rounds: { state: true },
    clicks: { state: true },
    voice: { state: true },
    countIn: { state: true },
    playing: { state: true },
    count: { state: true },
    beat: { state: true },
    marks: { attribute: false },
    heard: { attribute: false },
    panel: { attribute: false },
  };
  declare lick: string;
  declare number: number;
  declare engine: Engine | undefined;
  declare memory: Memory;
  declare large: boolean;
  declare percent: number;
  declare harp: string;
  declare spelling: Spelling;
  /** What is played; null is the whole. */
  declare chosen: [number, number] | null;
  declare rounds: boolean;
  declare clicks: boolean;
  declare voice: boolean;
  declare countIn: boolean;
  declare playing: boolean;
  declare count: number;
  declare beat: number | null;
  declare marks: Map<number, Mark>;
  declare heard: Heard | null;
  /** More of the card, below the transport: what listens. */
  declare panel: TemplateResult | undefined;

  reading: Reading | null = null;
  private told: string[] = [];
  player: Player | null = null;
  private frame = 0;
  private readLick = "";
  /** The try goes on with the place mark and without the harp. */
  private quiet = false;

  constructor() {
    super();
    this.lick = "";
    this.number = 1;
    this.large = false;
    this.memory = new Memory("lickwright");
    this.percent = 70;
    this.harp = "";
    this.spelling = "none";
    this.chosen = null;
    this.rounds = true;
    this.clicks = true;
    this.voice = true;
    this.countIn = true;
    this.playing = false;
    this.count = 0;
    this.beat = null;
    this.marks = new Map();
    this.heard = null;
  }

  static override styles = [
    look,
    css`
      .head {
        display: flex;
        flex-wrap: wrap;
        gap: 0.1rem 1.5rem;
        align-items: baseline;
        justify-content: space-between;
      }
      h2 {
        font-size: 1.3rem;
        line-height: 1.25;
      }
      .says {
        font-size: 0.95rem;
      }
      lw-picture {
        margin: 0.9rem 0 0.6rem;
      }
      .row {
        display: flex;
        flex-wrap: wrap;
        gap: 0.6rem;
        align-items: center;
      }
      .tempo {
        flex: 1 1 13rem;
        display: grid;
        grid-template-columns: 1fr auto;
        align-items: end;
      }
      .tempo label {
        font-size: 0.95rem;
      }
      .tempo output {
        font-size: 0.95rem;
        font-variant-numeric: tabular-nums;
      }
      .tempo input {
        grid-column: 1 / -1;
      }
      .count {
        font-size: 1.6rem;
        font-weight: 700;
        min-width: 1.4em;
        text-align: center;
        font-variant-numeric: tabular-nums;
      }
      details {
        margin-top: 0.7rem;
        border-top: 1px solid var(--lw-rule);
        padding-top: 0.4rem;
      }
      summary {
        cursor: pointer;
        padding: 0.45rem 0;
        font-weight: 700;
      }
      .choices {
        display: grid;
        grid-template-columns: repeat(auto-fit, minmax(12rem, 1fr));
        gap: 0.8rem 1.4rem;
        padding: 0.4rem 0 0.6rem;
      }
      .choices label,
      .choices .pair {
        display: flex;
        flex-direction: column;
        gap: 0.2rem;
        font-size: 0.95rem;
      }
      .choices label.tick {
        flex-direction: row;
        align-items: center;
        gap: 0.6rem;
        min-height: 2.75rem;
      }
      .choices input[type="checkbox"] {
        width: 1.35rem;
        height: 1.35rem;
        accent-color: var(--lw-accent);
      }
      .bars {
        display: flex;
        gap: 0.5rem;
        align-items: center;
      }
      .bars select {
        padding: 0.4rem 0.6rem;
      }
      ol {
        padding-left: 0;
        list-style: none;
      }
      li {
        padding: 0.15rem 0;
      }
      a {
        color: inherit;
      }
      @media print {
        .row,
        details:not([open]),
        .choices {
          display: none;
        }
      }
    `,
  ];

  override willUpdate(changed: PropertyValues): void {
    if (!this.engine) return;
    if (changed.has("engine") || this.lick !== this.readLick) {
      this.readLick = this.lick;
      this.stop();
      this.reading = this.engine.read(this.lick);
      this.told = this.reading.ok ? this.engine.told(this.lick) : [];
      if (!this.player) {
        this.player = new Player(this.engine);
        this.player.ended = () => this.stopped();
      }
      this.recall();
    }
  }

  private get slug(): string {
    return `${this.number} ${this.reading?.title ?? ""}`;
  }

  private recall(): void {
    const kept = this.memory.get<Record<string, unknown>>(this.slug, {});
    if (typeof kept["percent"] === "number") this.percent = Math.min(130, Math.max(30, kept["percent"]));
    if (typeof kept["harp"] === "string" && harps.includes(kept["harp"])) this.harp = kept["harp"];
    if (typeof kept["clicks"] === "boolean") this.clicks = kept["clicks"];
    if (typeof kept["voice"] === "boolean") this.voice = kept["voice"];
    if (typeof kept["countIn"] === "boolean") this.countIn = kept["countIn"];
    if (typeof kept["rounds"] === "boolean") this.rounds = kept["rounds"];
    const spelling = this.memory.get<Spelling>("spelling", "none");
    if (spelling in spellingNames) this.spelling = spelling;
    this.levels();
  }

  private keep(): void {
    const { percent, harp, clicks, voice, countIn, rounds } = this;
    this.memory.set(this.slug, { percent, harp, clicks, voice, countIn, rounds });
    this.memory.set("spelling", this.spelling);
    if (this.memory.trouble) this.dispatchEvent(new CustomEvent("lw-trouble", { detail: this.memory.trouble, bubbles: true, composed: true }));
  }

  private levels(): void {
    this.player?.level("click", this.clicks ? 1 : 0);
    this.player?.level("voice", this.voice && !this.quiet ? 1 : 0);
  }

  private get pictureElement(): LickPicture | null {
    return this.renderRoot.querySelector("lw-picture");
  }

  /** What is drawn now. */
  get picture(): Picture | null {
    return this.pictureElement?.picture ?? null;
  }

  /** Whole beats of the whole lick. */
  private get whole(): [number, number] {
    const p = this.picture;
    return p ? [Math.floor(p.start), Math.ceil(p.end - 1e-6)] : [0, this.reading?.beats ?? 4];
  }

  private get asked(): Part {
    const [from, to] = this.chosen ?? this.whole;
    return {
      lick: this.lick,
      harp: this.harp,
      percent: this.percent,
      from,
      to,
      meter: this.reading?.beats ?? 4,
    };
  }

  // --- Playing

  /** Plays what is chosen; `quiet` gives the count and the click alone and goes through once. */
  async play(quiet = false): Promise<void> {
    if (!this.player || !this.reading?.ok) return;
    this.dispatchEvent(new CustomEvent("lw-plays", { bubbles: true, composed: true }));
    this.quiet = quiet;
    this.levels();
    this.playing = true;
    await this.player.play(this.asked, {
      round: this.rounds && !quiet,
      countIn: this.countIn || quiet,
      silent: quiet,
    });
    cancelAnimationFrame(this.frame);
    this.follow();
  }

  stop(): void {
    this.player?.stop();
    this.stopped();
  }

  private stopped(): void {
    cancelAnimationFrame(this.frame);
    const was = this.playing;
    this.playing = false;
    this.beat = null;
    this.count = 0;
    this.quiet = false;
    this.levels();
    if (was) this.dispatchEvent(new CustomEvent("lw-stopped"));
  }

  private follow(): void {
    const place = this.player?.place();
    if (!place) return;
    this.count = place.beat === null ? place.count : 0;
    this.beat = place.beat ?? this.asked.from;
    this.frame = requestAnimationFrame(() => this.follow());
  }

  private changed(): void {
    this.keep();
    if (this.playing) this.player?.change(this.asked);
  }

  setPercent(percent: number): void {
    this.percent = Math.round(Math.min(130, Math.max(30, percent)));
    this.changed();
  }

  private setPart(part: [number, number] | null): void {
    this.chosen = part;
    if (this.playing) void this.play(this.quiet);
  }

  private keyed(e: KeyboardEvent): void {
    const inField = (e.composedPath()[0] as HTMLElement).matches?.("select, input, summary, a, textarea");
    if (e.altKey || e.ctrlKey || e.metaKey) return;
    if (e.key === "+" || e.key === "-") this.setPercent(this.percent + (e.key === "+" ? 5 : -5));
    else if (e.key === "Escape" && this.playing) this.stop();
    else if (e.key === "l" && !inField) this.toggleRounds();
    else if (e.key === "w" && !inField) this.setPart(null);
    else return;
    e.preventDefault();
  }

  private toggleRounds(): void {
    this.rounds = !this.rounds;
    this.keep();
    if (this.playing && !this.quiet) void this.play();
  }

  // --- What is seen

  override render(): TemplateResult | typeof nothing {
    const r = this.reading;
    if (!r || !this.engine) return nothing;
    if (!r.ok)
      return html`<p role="alert">
        ${r.title || "This lick"} cannot be shown: ${r.faults.find((f) => f.level === "error")?.words}
      </p>`;
    const tempo = Math.round((r.tempo * this.percent) / 100);
    const [from, to] = this.chosen ?? this.whole;
    return html`<section aria-labelledby="title" @keydown=${this.keyed}>
      <div class="head">
        <h2 id="title">${this.number > 0 ? `${this.number} · ` : nothing}${r.title || "A lick"}</h2>
        <slot name="now"></slot>
      </div>
      <p class="says soft">${this.says(r)}</p>
      <lw-picture
        .engine=${this.engine}
        .lick=${this.lick}
        .harp=${this.harp}
        .spelling=${this.spelling}
        .large=${this.large}
        .beat=${this.beat}
        .chosen=${this.chosen}
        .marks=${this.marks}
        .heard=${this.heard}
        @lw-part=${(e: CustomEvent<{ from: number; to: number; done: boolean }>) => {
          if (e.detail.done) this.setPart([e.detail.from, e.detail.to]);
        }}
        @lw-drawn=${() => this.requestUpdate()}
      ></lw-picture>
      <div class="row">
        <button class="main" @click=${() => (this.playing ? this.stop() : void this.play())}>
          ${this.playing ? "Stop" : "Play"}
        </button>
        <button aria-pressed=${this.rounds} @click=${this.toggleRounds}>
          ${this.chosen ? `Loop ${this.partName(from, to)}` : "Loop"}
        </button>
        ${this.chosen ? html`<button @click=${() => this.setPart(null)}>Whole lick</button>` : nothing}
        <div class="tempo">
          <label for="tempo">Tempo</label>
          <output for="tempo">${tempo} of ${Math.round(r.tempo)}</output>
          <input
            id="tempo"
            type="range"
            min="30"
            max="130"
            step="1"
            .value=${String(this.percent)}
            aria-valuetext="${tempo} beats a minute, ${this.percent} percent"
            @input=${(e: Event) => this.setPercent(Number((e.target as HTMLInputElement).value))}
          />
        </div>
        <span class="count" aria-hidden="true">${this.count > 0 ? this.count : nothing}</span>
        <slot name="more"></slot>
      </div>
      ${this.panel ?? nothing}
      <details>
        <summary>Harp, click and spelling</summary>
        <div class="choices">
          <label>
            Key of the harp
            <select @change=${(e: Event) => this.setHarp((e.target as HTMLSelectElement).value)}>
              ${harps.map(
                (h) => html`<option value=${h} ?selected=${h === (this.harp || r.harp)}>${h}${h === r.harp ? " (as written)" : ""}</option>`,
              )}
            </select>
          </label>
          <label>
            Plain spelling
            <select
              @change=${(e: Event) => {
                this.spelling = (e.target as HTMLSelectElement).value as Spelling;
                this.keep();
              }}
            >
              ${Object.entries(spellingNames).map(
                ([s, name]) => html`<option value=${s} ?selected=${s === this.spelling}>${name}</option>`,
              )}
            </select>
          </label>
          <div class="pair">
            <span id="bars">Bars that are looped</span>
            <span class="bars" role="group" aria-labelledby="bars">${this.barChoice("from", from, to)} to ${this.barChoice("to", from, to)}</span>
          </div>
          ${this.tick("Click", this.clicks, (on) => (this.clicks = on))}
          ${this.tick("Harp sounds", this.voice, (on) => (this.voice = on))}
          ${this.tick("Count in", this.countIn, (on) => (this.countIn = on))}
        </div>
      </details>
      <details>
        <summary>In words</summary>
        <ol>
          ${this.told.map((line) => html`<li>${line}</li>`)}
        </ol>
      </details>
      ${r.more.length || r.credit
        ? html`<p class="soft says">
            ${r.credit ? html`${r.credit}. ` : nothing}
            ${r.more.map((m) => html`<a href=${m}>The full lesson</a> `)}
          </p>`
        : nothing}
    </section>`;
  }

  private says(r: Reading): string {
    const music = this.picture?.music ?? r.music;
    const parts = [`Harp in ${this.harp || r.harp}`];
    if (r.position && music) parts.push(`${ordinal(r.position)} position, so the music is in ${music}`);
    if (r.meter !== "4/4") parts.push(r.meter);
    if (r.feel !== "1") parts.push("swung");
    return parts.join(" · ");
  }

  private partName(from: number, to: number): string {
    const meter = this.reading?.beats ?? 4;
    const bar = (beat: number) => Math.floor(beat / meter) + 1;
    if (to - from <= 0) return "";
    const a = bar(from);
    const b = bar(to - 1e-6);
    const whole = from % meter === 0 && to % meter === 0;
    const name = a === b ? `bar ${a}` : `bars ${a} to ${b}`;
    return whole ? name : `in ${name}`;
  }

  private barChoice(which: "from" | "to", from: number, to: number): TemplateResult {
    const meter = this.reading?.beats ?? 4;
    const [start, end] = this.whole;
    const bars = Math.max(1, Math.ceil(end / meter));
    const now = which === "from" ? Math.floor(Math.max(0, from) / meter) : Math.ceil(to / meter) - 1;
    return html`<select
      aria-label=${which === "from" ? "first bar" : "last bar"}
      @change=${(e: Event) => {
        const bar = Number((e.target as HTMLSelectElement).value);
        let a = which === "from" ? bar : Math.floor(Math.max(0, from) / meter);
        let b = which === "to" ? bar : Math.ceil(to / meter) - 1;
        if (which === "from") b = Math.max(a, b);
        else a = Math.min(a, b);
        const part: [number, number] = [a === 0 ? start : a * meter, Math.min(end, (b + 1) * meter)];
        this.setPart(part[0] === start && part[1] === end ? null : part);
      }}
    >
      ${Array.from({ length: bars }, (_, i) => html`<option value=${i} ?selected=${i === now}>${i + 1}</option>`)}
    </select>`;
  }

  private tick(name: string, on: boolean, set: (on: boolean) => void): TemplateResult {
    return html`<label class="tick"
      ><input
        type="checkbox"
        .checked=${on}
        @change=${(e: Event) => {
          set((e.target as HTMLInputElement).checked);
          this.levels();
          this.keep();
        }}
      />${name}</label
    >`;
  }

  private setHarp(harp: string): void {
    this.harp = harp === this.reading?.harp ? "" : harp;
    this.changed();
  }
}

function ordinal(n: number): string {
  const names = ["", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"];
  return names[n] ?? String(n);
}

if (!customElements.get("lw-picture")) customElements.define("lw-picture", LickPicture);
if (!customElements.get("lw-player")) customElements.define("lw-player", LickPlayer);
