// SPDX-License-Identifier: Apache-2.0
//
// <lw-practice>: a player that listens. What sounds is shown as it sounds; a try is counted in, followed and judged; the
// tries of this machine are kept, and the ladder says where to go on.
import { css, html, LitElement, nothing, type PropertyValues, type TemplateResult } from "lit";
import { beatBy } from "../engine/clock";
import { Ear, NoMicrophone } from "../engine/ear";
import type { Engine, Look, Verdict } from "../engine/engine";
import { nextPercent, type Try } from "../engine/ladder";
import { Memory } from "../engine/remember";
import { historyView, judgedStyle, verdictView } from "./judged";
import "./reed-walk-dialog";
import type { ReedWalkDialog } from "./reed-walk-dialog";
import "../elements/lick-player";
import type { Heard } from "../elements/heard-drawing";
import type { Mark } from "../elements/lick-picture";
import type { LickPlayer } from "../elements/lick-player";
import { look } from "../elements/look";
import { Trail } from "../elements/trail";
import type { Transport } from "../elements/transport";
import { onceAFrame } from "../elements/once-a-frame";
import { mark, markNow } from "./came";
import { heardNote, tempoOf } from "./heard-note";
import { saveTry, stepWords, tryOf } from "./result";

/** After the last note has had its time, the ear waits this long for a late one, in milliseconds. */
const patience = 1200;
/** What sounds is told this long after it sounded, in seconds: the ear's own delay (docs/pages.md). */
const hearing = 0.06;
/** A first note this much before its beat is early, and no part of the count, in beats. */
const upbeat = 0.5;
/** Tries that are kept for each lick. */
const kept = 60;

type State = "off" | "asking" | "on" | "walking" | "trying" | "judging";

export class Practice extends LitElement {
  static override properties = {
    lick: { type: String },
    number: { type: Number },
    ladder: { attribute: false },
    large: { type: Boolean },
    engine: { attribute: false },
    module: { attribute: false },
    workerText: { attribute: false },
    memory: { attribute: false },
    state: { state: true },
    sounding: { state: true },
    marks: { state: true },
    verdict: { state: true },
    trouble: { state: true },
    dropped: { state: true },
    tries: { state: true },
  };
  declare lick: string;
  declare number: number;
  declare ladder: readonly number[] | undefined;
  declare large: boolean;
  declare engine: Engine;
  declare module: WebAssembly.Module;
  declare workerText: string;
  declare memory: Memory;
  declare state: State;
  declare sounding: Look | null;
  declare marks: Map<number, Mark>;
  declare verdict: Verdict | null;
  declare trouble: string;
  declare dropped: string;
  declare tries: Try[];

  private ear: Ear | null = null;
  /** What is kept of harps holds for every lesson on this machine. */
  private readonly harps = new Memory("lickwright");
  /** The ear tells oftener than a screen shows. */
  private latest: Look | null = null;
  private readonly showLatest = onceAFrame(() => {
    if (this.state === "on" || this.state === "trying") this.sounding = this.latest;
  });
  private timer = 0;
  private trail: Trail | null = null;
  /** When the count of a try ended, in seconds of the ear's clock; null while it is counted. */
  private begun: number | null = null;
  private raised = "";
  /** What a try was begun with; the part that was chosen before it, for afterwards. */
  private asked: { harp: string; percent: number; part: [number, number] | null } | null = null;
  /** Has the count of this try ended, and did anything sound since? */
  private counted = false;
  private sounded = false;
  /** The harp that the ear goes by. */
  private heardHarp = "";
  /** The try that the verdict is about; null when it was not this lick. */
  private last: Try | null = null;

  constructor() {
    super();
    this.lick = "";
    this.number = 1;
    this.large = false;
    this.state = "off";
    this.sounding = null;
    this.marks = new Map();
    this.verdict = null;
    this.trouble = "";
    this.dropped = "";
    this.tries = [];
  }

  static override styles = [
    look,
    judgedStyle,
    css`
      /* Room for what is said under the last line: nothing moves when it comes. */
      lw-player {
        --lw-told: 1.5em;
        --lw-apart: 0;
      }
      .live {
        font-size: 1em;
      }
      .live b {
        font-size: 1.25em;
      }
      .row {
        display: flex;
        flex-wrap: wrap;
        gap: 0.6em 1em;
        align-items: center;
      }
      .trouble {
        border-left: 4px solid var(--lw-accent);
        padding-left: 0.8em;
        margin-top: 0.7em;
      }
      /* On a phone what is pressed in a try shares one row, whichever words stand on it. */
      @media (max-width: 30rem) {
        button[slot="more"] {
          padding-inline: 0.5em;
        }
      }
      @media print {
        lw-player {
          --lw-told: 0;
        }
        /* Paper takes the lick, not how it was played just now. */
        .live,
        .trouble,
        .ear,
        [role="status"] {
          display: none;
        }
      }
    `,
  ];

  override disconnectedCallback(): void {
    this.ear?.stop();
    super.disconnectedCallback();
  }

  override willUpdate(changed: PropertyValues): void {
    if (this.memory && (changed.has("lick") || changed.has("memory"))) this.tries = this.memory.get<Try[]>(`tries ${this.number}`, []);
  }

  override updated(): void {
    this.player.show(this.heardBar());
  }

  get player(): LickPlayer {
    return this.renderRoot.querySelector("lw-player")!;
  }

  private get transport(): Transport {
    return this.player.transport!;
  }

  /** Beats a minute as written. */
  private get written(): number {
    return this.player?.reading?.tempo ?? 0;
  }

  /** The harp in the learner's hands. */
  private get harp(): string {
    return this.transport.harp || this.transport.reading?.harp || "";
  }

  /** Its reeds, when the learner has walked through them on this machine. */
  private get reeds(): (number | null)[] | undefined {
    return this.harps.get<(number | null)[] | null>(`reeds ${this.harp}`, null) ?? undefined;
  }

  // --- The ear

  private async listen(): Promise<void> {
    if (this.state !== "off") {
      this.silence();
      return;
    }
    this.trouble = "";
    this.state = "asking";
    this.dispatchEvent(new CustomEvent("lw-listens", { bubbles: true, composed: true }));
    this.ear = new Ear(this.module, this.workerText, {
      look: (l) => this.heard(l),
      verdict: (v) => this.judged(v),
      lost: (words) => {
        this.silence();
        this.trouble = words;
      },
    });
    try {
      await this.ear.start();
      this.hear();
      this.state = "on";
      if (this.ear.rate < 32000)
        this.trouble = `This microphone runs at ${Math.round(this.ear.rate / 1000)} kHz: the highest notes may be missed.`;
    } catch (error) {
      this.state = "off";
      this.ear = null;
      this.trouble = error instanceof NoMicrophone ? error.message : "The microphone could not be opened. All the rest works.";
    }
  }

  /** A fresh ear for the harp in the learner's hands. */
  private hear(): void {
    this.heardHarp = this.harp;
    this.ear?.begin(this.lick, this.transport.harp, this.reeds);
  }

  /** A try keeps to the harp and the tempo that it was begun with, and what is shown to the harp that is chosen now. */
  private changed(): void {
    this.requestUpdate();
    if (this.state === "trying" && this.asked) {
      if (this.transport.playing && this.transport.count === 0 && this.transport.player.place()?.beat != null) this.counted = true;
      if (this.harp !== this.asked.harp) this.drop("Another harp was chosen, so that try does not count.");
      else if (this.transport.percent !== this.asked.percent) this.drop("The tempo was changed, so that try does not count.");
    }
    if (this.state === "on" && this.harp !== this.heardHarp) this.hear();
  }

  /** Ends a try that says nothing. */
  private drop(words: string): void {
    window.clearTimeout(this.timer);
    this.state = "on";
    this.dropped = words;
    this.marks = new Map();
    this.trail = null;
    this.transport.stop();
    this.transport.choose(this.asked?.part ?? null);
    this.hear();
  }

  /** Gives the microphone back. */
  silence(): void {
    window.clearTimeout(this.timer);
    this.ear?.stop();
    this.ear = null;
    this.sounding = null;
    this.state = "off";
  }

  // --- The learner's own harp

  private get walk(): ReedWalkDialog {
    return this.renderRoot.querySelector("lw-reed-walk")!;
  }

  private async openWalk(): Promise<void> {
    if (this.state !== "on") return;
    this.transport.stop();
    this.ear?.begin(this.lick, this.transport.harp, undefined);
    this.state = "walking";
    await this.walk.open(this.harp, this.engine.reeds(this.lick, this.transport.harp), this.reeds !== undefined);
  }

  private keepReeds(reeds: (number | null)[] | null): void {
    if (reeds) this.harps.set(`reeds ${this.harp}`, reeds);
    else this.harps.forget(`reeds ${this.harp}`);
    this.trouble = this.harps.trouble;
  }

  private walked(): void {
    if (this.state !== "walking") return;
    this.state = "on";
    this.hear();
  }

  private heard(l: Look): void {
    if (this.state === "walking") this.walk.hear(l);
    if (this.state !== "on" && this.state !== "trying") return;
    this.latest = l;
    this.showLatest();
    if (this.state === "trying") this.followed(l);
  }

  /** What is heard while it is counted in stands nowhere on the picture. */
  private followed(l: Look): void {
    const { player, tempo, whole } = this.transport;
    const beat = player.place(hearing)?.beat ?? null;
    if (beat !== null) {
      this.begun ??= l.at - hearing - ((beat - whole[0]) * 60) / tempo;
      if (l.live) this.sounded = true;
      if (l.live) this.trail?.add([beat, l.live.cents, l.at - hearing], l.live.hole, l.live.breath, l.live.note === null);
    }
    if (!l.follow || this.begun === null) return;
    const from = this.begun - (upbeat * 60) / tempo;
    this.marks = new Map(l.follow.filter((f) => f[4] >= from).map(([note, came, late, cents]) => [note, markNow(came, late, cents)]));
  }

  /** Is a try counted in? */
  private get counting(): boolean {
    if (this.state !== "trying") return false;
    const { playing, player } = this.transport;
    return playing && (player.place()?.beat ?? null) === null;
  }

  // --- A try

  private async try(): Promise<void> {
    if (!this.ear) return;
    if (this.state === "trying") {
      this.end();
      return;
    }
    this.marks = new Map();
    this.trail = new Trail();
    this.begun = null;
    this.verdict = null;
    this.dropped = "";
    this.counted = this.sounded = false;
    this.transport.stop();
    this.asked = { harp: this.harp, percent: this.transport.percent, part: this.transport.chosen };
    this.transport.choose(null);
    this.hear();
    this.state = "trying";
    await this.transport.play(true);
  }

  /** The place mark has come to its end. */
  private playedOut(): void {
    if (this.state === "trying") this.timer = window.setTimeout(() => this.end(), patience);
  }

  private end(): void {
    window.clearTimeout(this.timer);
    if (this.state !== "trying") return;
    if (!this.counted) {
      this.drop("");
      return;
    }
    this.state = "judging";
    this.transport.stop();
    this.ear?.finish();
  }

  private judged(v: Verdict): void {
    this.state = "on";
    this.verdict = v;
    this.hear();
    this.transport.choose(this.asked?.part ?? null);
    this.raised = "";
    this.last = null;
    if (!v.same_lick) {
      this.marks = new Map();
      this.trail = null;
      return;
    }
    this.marks = new Map(v.notes.map((g) => [g.note, mark(g)]));
    this.settle(v);
    const percent = this.transport.percent;
    const t = tryOf(v, percent, this.written);
    this.last = t;
    this.tries = [...this.tries, t].slice(-kept);
    this.memory.set(`tries ${this.number}`, this.tries);
    const next = nextPercent(this.tries, percent, this.ladder);
    if (next !== percent) this.transport.set({ percent: next });
    this.raised = stepWords(t, next, this.transport.tempo, this.ladder);
  }

  /** Lays the learner's line where the take's own tempo has it: early and late stand beside the written place. */
  private settle(v: Verdict): void {
    const pairs = tempoOf(v, this.player.picture?.notes ?? []);
    if (pairs.length > 0) this.trail?.settle((at) => beatBy(pairs, at, v.tempo));
  }

  private save(): void {
    const samples = this.ear?.take();
    if (samples && this.ear && this.verdict && this.last)
      saveTry(samples, this.ear.rate, this.player.reading?.title ?? "", this.last, this.written, this.verdict.advice);
  }

  // --- What is seen

  override render(): TemplateResult {
    const on = this.state !== "off" && this.state !== "asking";
    return html`<lw-player
        .engine=${this.engine}
        .lick=${this.lick}
        .number=${this.number}
        .ladder=${this.ladder}
        .memory=${this.memory}
        .large=${this.large}
        .marks=${this.marks}
        .trail=${this.trail}
        @lw-stopped=${this.playedOut}
        @lw-changed=${this.changed}
      >
        <p slot="now" class="live">${on ? this.live() : nothing}</p>
        <button slot="more" aria-pressed=${on} @click=${this.listen} ?disabled=${this.state === "asking"}>
          ${on ? "Listening" : "Listen"}
        </button>
        ${on
          ? html`<button slot="more" @click=${this.try} ?disabled=${this.state === "judging"}>
                ${this.state === "trying" ? "End try" : "Try it"}
              </button>
              <button slot="more" @click=${this.openWalk} ?disabled=${this.state !== "on"}>Measure harp</button>`
          : nothing}
      </lw-player>
      <lw-reed-walk
        @lw-reeds=${(e: CustomEvent<(number | null)[] | null>) => this.keepReeds(e.detail)}
        @lw-closed=${this.walked}
      ></lw-reed-walk>
      ${this.trouble ? html`<p class="trouble" role="alert">${this.trouble}</p>` : nothing}
      <div role="status">${this.verdict
        ? verdictView(
            this.verdict,
            this.last,
            this.written,
            (note) => this.placeOf(note),
            this.raised,
            this.sounded,
            () => this.save(),
          )
        : this.dropped
          ? html`<p class="soft">${this.dropped}</p>`
          : nothing}</div>
      ${this.tries.length > 0 ? historyView(this.tries, this.written) : nothing}`;
  }

  private heardBar(): Heard | null {
    // The count belongs to the count, and after a try the picture to its result, until something plays again.
    if (this.counting || (this.verdict && !this.transport.playing)) return null;
    const live = this.sounding?.live;
    return live ? heardNote(this.player.picture?.notes ?? [], live, this.transport.beat) : null;
  }

  private live(): TemplateResult {
    if (this.counting) {
      const { count } = this.transport;
      return count > 0 ? html`count <b>${count}</b>` : html`<span class="soft">listen to the count</span>`;
    }
    const live = this.sounding?.live;
    if (!live) return html`<span class="soft">${this.state === "trying" ? "play" : "listening; this machine only"}</span>`;
    const bent = live.cents > 35 ? ` bent ${Math.round(live.cents)} cents` : "";
    return html`you: <b>${live.hole} ${live.breath}</b>${bent}`;
  }

  private placeOf(note: number): string {
    const n = this.player.picture?.notes[note];
    if (!n) return "";
    const bar = Math.floor(n.beat / this.transport.meter) + 1;
    return `${bar > 0 ? `bar ${bar}` : "the pickup"}, ${n.place}`;
  }
}

if (!customElements.get("lw-practice")) customElements.define("lw-practice", Practice);
