// SPDX-License-Identifier: Apache-2.0
//
// <lw-practice>: a player that listens. What sounds is shown as it sounds; a try is counted in, followed and judged; the
// tries of this machine are kept, and the ladder says where to go on.
import { css, html, LitElement, nothing, type PropertyValues, type TemplateResult } from "lit";
import { beatBy } from "../engine/clock";
import { Ear, NoMicrophone } from "../engine/ear";
import type { Engine, Look, Verdict } from "../engine/engine";
import { clean, nextPercent, type Try } from "../engine/ladder";
import type { Memory } from "../engine/remember";
import { tryFile } from "../engine/try-file";
import "../elements/lick-player";
import type { Heard, Mark } from "../elements/lick-picture";
import type { LickPlayer } from "../elements/lick-player";
import { look } from "../elements/look";
import { Trail } from "../elements/trail";
import type { Transport } from "../elements/transport";
import { blameless, mark, markNow } from "./came";

/** After the last note has had its time, the ear waits this long for a late one, in milliseconds. */
const patience = 1200;
/** What sounds is told this long after it sounded, in seconds: the ear's own delay (docs/pages.md). */
const hearing = 0.06;
/** Tries that are kept for each lick. */
const kept = 60;

type State = "off" | "asking" | "on" | "trying" | "judging";

export class Practice extends LitElement {
  static override properties = {
    lick: { type: String },
    number: { type: Number },
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
    tries: { state: true },
  };
  declare lick: string;
  declare number: number;
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
  declare tries: Try[];

  private ear: Ear | null = null;
  private timer = 0;
  private trail: Trail | null = null;
  private raised = "";

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
    this.tries = [];
  }

  static override styles = [
    look,
    css`
      .live {
        font-size: 1em;
        min-height: 1.6em;
      }
      .live b {
        font-size: 1.25em;
      }
      .ear {
        border-top: 1px solid var(--lw-rule);
        margin-top: 0.8em;
        padding-top: 0.8em;
      }
      .row {
        display: flex;
        flex-wrap: wrap;
        gap: 0.6em 1em;
        align-items: center;
      }
      .verdict {
        font-size: 1.15em;
        font-weight: 700;
        margin: 0.7em 0 0.1em;
      }
      table {
        border-collapse: collapse;
        margin: 0.5em 0;
        font-size: 0.95em;
        width: 100%;
      }
      th,
      td {
        text-align: left;
        padding: 0.25em 0.8em 0.25em 0;
        border-bottom: 1px solid var(--lw-rule);
        font-variant-numeric: tabular-nums;
      }
      .history {
        display: flex;
        align-items: flex-end;
        gap: 3px;
        height: 2.6em;
      }
      .history i {
        display: block;
        width: 9px;
        background: var(--lw-take);
        border-radius: 2px 2px 0 0;
      }
      .history i.full {
        border-top: 4px solid var(--lw-ink);
      }
      .trouble {
        border-left: 4px solid var(--lw-accent);
        padding-left: 0.8em;
        margin-top: 0.7em;
      }
    `,
  ];

  override disconnectedCallback(): void {
    this.ear?.stop();
    super.disconnectedCallback();
  }

  override willUpdate(changed: PropertyValues): void {
    if (changed.has("lick") || changed.has("memory")) this.tries = this.memory.get<Try[]>(`tries ${this.number}`, []);
  }

  get player(): LickPlayer {
    return this.renderRoot.querySelector("lw-player")!;
  }

  private get transport(): Transport {
    return this.player.transport!;
  }

  private get reeds(): (number | null)[] | undefined {
    const harp = this.transport.harp || this.transport.reading?.harp || "";
    return this.memory.get<(number | null)[] | null>(`reeds ${harp}`, null) ?? undefined;
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
      this.ear.begin(this.lick, this.transport.harp, this.reeds);
      this.state = "on";
      if (this.ear.rate < 32000)
        this.trouble = `This microphone runs at ${Math.round(this.ear.rate / 1000)} kHz: the highest notes may be missed.`;
    } catch (error) {
      this.state = "off";
      this.ear = null;
      this.trouble = error instanceof NoMicrophone ? error.message : "The microphone could not be opened. All the rest works.";
    }
  }

  /** Gives the microphone back. */
  silence(): void {
    window.clearTimeout(this.timer);
    this.ear?.stop();
    this.ear = null;
    this.sounding = null;
    this.state = "off";
  }

  private heard(l: Look): void {
    if (this.state !== "on" && this.state !== "trying") return;
    this.sounding = l;
    if (l.live && this.state === "trying") {
      const beat = this.transport.player.place(hearing)?.beat;
      if (beat !== null && beat !== undefined) this.trail?.add([beat, l.live.cents, l.at - hearing], l.live.hole, l.live.breath, l.live.note === null);
    }
    if (!l.follow || this.state !== "trying") return;
    const marks = new Map<number, Mark>();
    for (const [note, came, late, cents] of l.follow) marks.set(note, markNow(came, late, cents));
    this.marks = marks;
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
    this.verdict = null;
    this.transport.stop();
    this.transport.choose(null);
    this.ear.begin(this.lick, this.transport.harp, this.reeds);
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
    this.state = "judging";
    this.transport.stop();
    this.ear?.finish();
  }

  private judged(v: Verdict): void {
    this.state = "on";
    this.verdict = v;
    this.ear?.begin(this.lick, this.transport.harp, this.reeds);
    this.raised = "";
    if (!v.same_lick) {
      this.marks = new Map();
      this.trail = null;
      return;
    }
    this.marks = new Map(v.notes.map((g) => [g.note, mark(g)]));
    this.settle(v);
    const percent = this.transport.percent;
    const right = v.notes.filter(blameless).length;
    const t: Try = { when: new Date().toISOString(), percent, right, of: v.notes.length + v.extras.length, words: v.advice[0] ?? "" };
    this.tries = [...this.tries, t].slice(-kept);
    this.memory.set(`tries ${this.number}`, this.tries);
    const next = nextPercent(this.tries, percent);
    if (next !== percent) {
      this.transport.set({ percent: next });
      this.raised = next > percent ? `Two clean tries: on to ${next} %.` : `A little slower, at ${next} %, it will settle.`;
    } else if (clean(t)) {
      this.raised = "Clean. Once more like this and the tempo goes up.";
    }
  }

  /** Lays the learner's line where the take's own tempo has it: early and late stand beside the written place. */
  private settle(v: Verdict): void {
    const notes = this.player.picture?.notes ?? [];
    const pairs: [number, number][] = [];
    for (const g of v.notes) {
      const beat = notes[g.note]?.beat;
      const last = pairs[pairs.length - 1];
      if (g.onset === undefined || beat === undefined) continue;
      const meant = g.onset - (g.late ?? 0);
      if (!last || (meant > last[0] && beat > last[1])) pairs.push([meant, beat]);
    }
    if (pairs.length > 0) this.trail?.settle((at) => beatBy(pairs, at, v.tempo));
  }

  private save(): void {
    const samples = this.ear?.take();
    if (!samples || !this.ear || !this.verdict) return;
    const lines = [this.player.reading?.title ?? "", `${this.transport.percent} %`, ...this.verdict.advice];
    const link = document.createElement("a");
    link.href = URL.createObjectURL(tryFile(samples, this.ear.rate, lines.join("\n")));
    link.download = `try-${this.number}-${new Date().toISOString().slice(0, 10)}.wav`;
    link.click();
    window.setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  }

  // --- What is seen

  override render(): TemplateResult {
    const on = this.state !== "off" && this.state !== "asking";
    return html`<lw-player
        .engine=${this.engine}
        .lick=${this.lick}
        .number=${this.number}
        .memory=${this.memory}
        .large=${this.large}
        .marks=${this.marks}
        .trail=${this.trail}
        .heard=${this.heardBar()}
        @lw-stopped=${this.playedOut}
      >
        <p slot="now" class="live">${on ? this.live() : nothing}</p>
        <button slot="more" aria-pressed=${on} @click=${this.listen} ?disabled=${this.state === "asking"}>
          ${on ? "Listening" : "Listen"}
        </button>
        ${on
          ? html`<button slot="more" @click=${this.try} ?disabled=${this.state === "judging"}>
              ${this.state === "trying" ? "Done" : "Try it"}
            </button>`
          : nothing}
      </lw-player>
      ${this.trouble ? html`<p class="trouble" role="alert">${this.trouble}</p>` : nothing}
      <div role="status">${this.verdict ? this.said(this.verdict) : nothing}</div>
      ${this.tries.length > 0 ? this.history() : nothing}`;
  }

  private heardBar(): Heard | null {
    const live = this.sounding?.live;
    if (!live || live.note === null) return null;
    const tab = this.player.reading ? live.cents : 0;
    return { note: live.note, off: tab - this.askedDepth(live.note) };
  }

  /** Cents that the written note is bent; its marks are `'` for a half step, `q` for a quarter. */
  private askedDepth(note: number): number {
    const tab = this.player.picture?.notes[note]?.tab ?? "";
    return 100 * (tab.split("'").length - 1) + (tab.includes("q") ? 50 : 0);
  }

  private live(): TemplateResult {
    const live = this.sounding?.live;
    if (!live) return html`<span class="soft">${this.state === "trying" ? "play" : "listening; this machine only"}</span>`;
    const bent = live.cents > 35 ? ` bent ${Math.round(live.cents)} cents` : "";
    return html`you: <b>${live.hole} ${live.breath}</b>${bent}`;
  }

  private said(v: Verdict): TemplateResult {
    if (v.heard === 0) return html`<p class="verdict">Nothing was heard. Come closer to the microphone and try again.</p>`;
    if (!v.same_lick)
      return html`<p class="verdict">That did not sound like this lick. Listen to it once more, then try again, slower.</p>`;
    const faults = v.notes.filter((g) => !blameless(g));
    return html`<div class="ear">
      <p class="verdict">${v.advice[0] ?? "Every note came right and in time."}</p>
      <p class="soft">
        ${v.notes.length - faults.length} of ${v.notes.length} notes right, ${Math.round(v.tempo)} beats a minute.
        ${this.raised}
      </p>
      ${faults.length || v.extras.length
        ? html`<table>
            <thead>
              <tr>
                <th scope="col">where</th>
                <th scope="col">written</th>
                <th scope="col">how it came</th>
              </tr>
            </thead>
            <tbody>
              ${faults.map((g) => html`<tr><td>${this.placeOf(g.note)}</td><td>${g.tab}</td><td>${mark(g).words}</td></tr>`)}
              ${v.extras.map((e) => html`<tr><td>before ${this.placeOf(e.before) || "the end"}</td><td></td><td>${e.tab}, not written</td></tr>`)}
            </tbody>
          </table>`
        : nothing}
      <div class="row"><button @click=${this.save}>Save this try</button></div>
    </div>`;
  }

  private placeOf(note: number): string {
    const n = this.player.picture?.notes[note];
    if (!n) return "";
    const bar = Math.floor(n.beat / this.transport.meter) + 1;
    return `${bar > 0 ? `bar ${bar}` : "the pickup"}, ${n.place}`;
  }

  private history(): TemplateResult {
    const last = this.tries.slice(-24);
    const now = last[last.length - 1]!;
    return html`<div class="ear row">
      <div class="history" aria-hidden="true">
        ${last.map((t) => html`<i class=${clean(t) ? "full" : ""} style="height:${Math.max(8, (100 * t.right) / t.of)}%"></i>`)}
      </div>
      <p class="soft">
        ${this.tries.length} ${this.tries.length === 1 ? "try" : "tries"} on this machine; the last: ${now.right} of ${now.of}
        at ${now.percent} %
      </p>
    </div>`;
  }
}

if (!customElements.get("lw-practice")) customElements.define("lw-practice", Practice);
