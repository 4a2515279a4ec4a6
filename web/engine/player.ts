// SPDX-License-Identifier: Apache-2.0
//
// Plays a part of a lick round and round: count, click, harp. The harp is one buffer of exactly the part's length, so the
// loop never drifts; clicks are laid beside it on the same clock. A change of tempo or harp takes over at the same beat.
import { beatAt, secondAt } from "./clock";
import type { Engine, Timeline } from "./engine";

export interface Part {
  lick: string;
  harp: string;
  percent: number;
  /** Whole beats; the part lasts from `from` to `to`. */
  from: number;
  to: number;
  /** Beats of a bar. */
  meter: number;
}

export interface Place {
  /** Where in the part, or null while it is counted in. */
  beat: number | null;
  /** The number that was counted last. */
  count: number;
  /** How often the part has come round. */
  round: number;
}

interface Running {
  part: Part;
  timeline: Timeline;
  source: AudioBufferSourceNode;
  fade: GainNode;
  /** Clock time of the part's beginning, in its first round. */
  start: number;
  length: number;
}

const fadeTime = 0.03;
/** How long the browser may take to start its sound, in milliseconds. */
const patience = 3000;
/** Seconds from the clock to the ear where the clock is not asked: Firefox 153 now and then stood still for good when it was (most
 *  often while its sound opened; tests/pages/firefox.mjs walks there). This is what it said when it did answer, with PulseAudio. */
const untold = 0.045;
const firefox = globalThis.CSS?.supports("-moz-appearance", "none") ?? false;
/** Clicks are handed over this long before they sound: a page in the background wakes only once a second. */
const ahead = 1.5;

export class Player {
  private context: AudioContext | null = null;
  private voice: GainNode | null = null;
  private click: GainNode | null = null;
  private output: GainNode | null = null;
  private knocks: [AudioBuffer, AudioBuffer] | null = null;
  private running: Running | null = null;
  private counts: { at: number; number: number }[] = [];
  private clicks: AudioBufferSourceNode[] = [];
  private clickedTo = 0;
  private timer = 0;
  private wants = { voice: 1, click: 1 };
  /** Counts what was asked for; who waits for the clock sees whether that is still wanted. */
  private orders = 0;
  /** Called when playing stopped by itself: at its end, because the browser stopped the clock, or because it never ran. */
  ended: (how: "end" | "stopped" | "silent") => void = () => {};

  constructor(private readonly engine: Engine) {}

  get playing(): boolean {
    return this.running !== null;
  }

  /** The clock and where everything comes together, for who wants to listen in. */
  get destination(): { context: AudioContext; output: AudioNode } | null {
    return this.context && this.output ? { context: this.context, output: this.output } : null;
  }

  level(what: "voice" | "click", gain: number): void {
    this.wants[what] = gain;
    const node = what === "voice" ? this.voice : this.click;
    if (node && this.context) node.gain.setTargetAtTime(gain, this.context.currentTime, 0.01);
  }

  private open(): AudioContext {
    if (this.context) return this.context;
    const context = new AudioContext({ latencyHint: "interactive" });
    this.output = context.createGain();
    this.output.connect(context.destination);
    this.voice = context.createGain();
    this.click = context.createGain();
    this.voice.gain.value = this.wants.voice;
    this.click.gain.value = this.wants.click;
    this.voice.connect(this.output);
    this.click.connect(this.output);
    const buffer = (first: boolean) => {
      const samples = this.engine.knock(first, context.sampleRate);
      const knock = context.createBuffer(1, samples.length, context.sampleRate);
      knock.getChannelData(0).set(samples);
      return knock;
    };
    this.knocks = [buffer(false), buffer(true)];
    context.onstatechange = () => {
      if (context.state === "running" || !this.running) return;
      this.stop();
      this.ended("stopped");
    };
    this.context = context;
    return context;
  }

  /** Starts with a full bar of count and the beats before `part.from`; `round` says whether it loops. */
  async play(part: Part, choices: { round: boolean; countIn: boolean; silent?: boolean }): Promise<void> {
    this.stop();
    const context = this.open();
    if (!(await this.awake(context))) return;
    const timeline = this.engine.timeline(part.lick, part.percent, part.harp);
    if (!timeline) return;
    const beat = 60 / timeline.tempo;
    const into = ((part.from % part.meter) + part.meter) % part.meter;
    const count = choices.countIn ? part.meter + Math.round(into) : 0;
    const begin = context.currentTime + 0.1;
    const start = begin + count * beat;
    this.counts = [];
    for (let i = 0; i < count; ++i) {
      const number = (i % part.meter) + 1;
      this.counts.push({ at: begin + i * beat, number });
      this.knock(begin + i * beat, number === 1, 1, context);
    }
    this.running = this.sound(part, timeline, start, 0, choices.round, choices.silent ?? false);
    this.clickedTo = start;
    this.timer = window.setInterval(() => this.schedule(), 100);
    this.schedule();
  }

  /** Waits until the clock runs; false when something else was asked for meanwhile, or when it does not come: a browser
   *  without a way out for sound waits for ever. */
  private async awake(context: AudioContext): Promise<boolean> {
    const runs = () => context.state === "running";
    if (runs()) return true;
    const order = this.orders;
    await Promise.race([context.resume(), new Promise((late) => window.setTimeout(late, patience))]);
    if (order !== this.orders) return false;
    if (!runs()) this.ended("silent");
    return runs();
  }

  private sound(part: Part, timeline: Timeline, start: number, offset: number, round: boolean, silent: boolean): Running {
    const context = this.context!;
    const samples = this.engine.loop(part.lick, { ...part, rate: context.sampleRate });
    if (silent) samples.fill(0);
    const buffer = context.createBuffer(1, Math.max(1, samples.length), context.sampleRate);
    buffer.getChannelData(0).set(samples);
    const source = context.createBufferSource();
    source.buffer = buffer;
    source.loop = round;
    const fade = context.createGain();
    source.connect(fade).connect(this.voice!);
    const at = Math.max(start + offset, context.currentTime);
    source.start(at, offset);
    const running = { part, timeline, source, fade, start, length: buffer.duration };
    source.onended = () => {
      if (this.running?.source !== source) return;
      this.stop();
      this.ended("end");
    };
    return running;
  }

  /** Another tempo or harp, at the same place, without a gap. */
  change(part: Part): void {
    const now = this.running;
    const context = this.context;
    if (!now || !context) return;
    const timeline = this.engine.timeline(part.lick, part.percent, part.harp);
    if (!timeline) return;
    const at = context.currentTime + 0.02;
    if (at < now.start) {
      // Still counting: the count begins again in the new tempo.
      void this.play(part, { round: now.source.loop, countIn: true });
      return;
    }
    const where = (at - now.start) % now.length;
    const beat = beatAt(now.timeline, secondAt(now.timeline, now.part.from) + where);
    const offset = Math.max(0, secondAt(timeline, beat) - secondAt(timeline, part.from));
    this.silence(at);
    now.fade.gain.setValueAtTime(1, at);
    now.fade.gain.linearRampToValueAtTime(0, at + fadeTime);
    now.source.onended = null;
    now.source.stop(at + fadeTime);
    this.running = this.sound(part, timeline, at - offset, offset, now.source.loop, false);
    this.running.fade.gain.setValueAtTime(0, at);
    this.running.fade.gain.linearRampToValueAtTime(1, at + fadeTime);
    this.clickedTo = at;
    this.schedule();
  }

  stop(): void {
    ++this.orders;
    window.clearInterval(this.timer);
    const now = this.running;
    this.running = null;
    this.counts = [];
    if (!now || !this.context) return;
    const at = this.context.currentTime;
    now.source.onended = null;
    now.fade.gain.setTargetAtTime(0, at, 0.01);
    now.source.stop(at + 0.08);
    this.silence(at);
  }

  /** Takes back every click from `at` on. */
  private silence(at: number): void {
    for (const click of this.clicks) {
      try {
        click.stop(at);
      } catch {
        // It has sounded already.
      }
    }
    this.clicks = [];
  }

  private knock(at: number, first: boolean, level: number, context: AudioContext): void {
    const source = context.createBufferSource();
    source.buffer = this.knocks![first ? 1 : 0];
    const gain = context.createGain();
    gain.gain.value = level;
    source.connect(gain).connect(this.click!);
    source.start(at);
    this.clicks.push(source);
    source.onended = () => {
      this.clicks = this.clicks.filter((c) => c !== source);
    };
  }

  private schedule(): void {
    const now = this.running;
    const context = this.context;
    if (!now || !context) return;
    const until = context.currentTime + ahead;
    const from = secondAt(now.timeline, now.part.from);
    const inside = now.timeline.clicks.filter(
      ([at]) => at > from - 1e-6 && at < from + now.length - 1e-6,
    );
    if (inside.length === 0) return;
    let round = Math.max(0, Math.floor((this.clickedTo - now.start) / now.length));
    for (; now.start + round * now.length < until; ++round) {
      if (round > 0 && !now.source.loop) break;
      for (const [second, first] of inside) {
        const at = now.start + round * now.length + second - from;
        if (at < this.clickedTo - 1e-6 || at >= until || at < context.currentTime) continue;
        // Under the phrase the click steps back.
        this.knock(at, first, 0.5, context);
      }
    }
    this.clickedTo = until;
  }

  /** Where it is, as it is heard now, or was `ago` seconds ago. */
  place(ago = 0): Place | null {
    const now = this.running;
    const context = this.context;
    if (!now || !context) return null;
    const heard = context.currentTime - ago - (firefox ? untold : context.outputLatency || context.baseLatency || 0);
    if (heard < now.start) {
      let count = 0;
      for (const c of this.counts) if (c.at <= heard) count = c.number;
      return { beat: null, count, round: 0 };
    }
    const gone = heard - now.start;
    const where = secondAt(now.timeline, now.part.from) + (gone % now.length);
    return { beat: beatAt(now.timeline, where), count: 0, round: Math.floor(gone / now.length) };
  }
}
