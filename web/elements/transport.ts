// SPDX-License-Identifier: Apache-2.0
//
// How one lick is played now: part, tempo, harp, what sounds, and where it is. No drawing: whoever shows a lick listens for
// "change" (a choice, started, stopped) and "place" (every frame while it plays). One sound at a time: a transport that
// starts stops the one that plays.
import type { Engine, Reading, Spelling } from "../engine/engine";
import { Player, type Part } from "../engine/player";
import { usualSteps } from "../engine/ladder";
import { Memory } from "../engine/remember";
import { spellings } from "../engine/engine";

/** Every harp that is made, low to high: the trade's names. */
const keys = ["G", "Ab", "A", "Bb", "B", "C", "Db", "D", "Eb", "E", "F", "F#"];
export const harps = [...["C", "Db", "D", "Eb", "E", "F", "F#"].map((k) => `low ${k}`), ...keys, "high G"];

/** Percent of the written tempo that can be asked for. */
export const slowest = 30;
export const fastest = 130;

let sounding: Transport | null = null;

export class Transport extends EventTarget {
  lick = "";
  reading: Reading | null = null;
  /** First and last beat of the lick, when its picture has been drawn. */
  span: [number, number] | null = null;
  /** What is played, in beats; null is the whole. */
  chosen: [number, number] | null = null;
  percent = usualSteps[0]!;
  /** Another harp than the written one. */
  harp = "";
  spelling: Spelling = "none";
  rounds = true;
  clicks = true;
  voice = true;
  countIn = true;
  playing = false;
  /** The number that was counted last; 0 while the lick sounds or nothing does. */
  count = 0;
  /** Where the place mark stands. */
  beat: number | null = null;
  /** Words for the reader when something could not be done. */
  trouble = "";
  readonly player: Player;
  private frame = 0;
  /** Where it began when that was later than the beginning of the part. */
  private from: number | null = null;
  /** A try goes on with the place mark and without the harp. */
  private quiet = false;

  constructor(
    readonly engine: Engine,
    private readonly memory: Memory = new Memory("lickwright"),
  ) {
    super();
    this.player = new Player(engine);
    this.player.ended = (how) => {
      this.stopped();
      if (how === "end") return;
      this.trouble =
        how === "stopped"
          ? "The browser stopped the sound while the page was away. Press Play to begin again."
          : "This browser gives no sound here. Is a loudspeaker or a headphone connected? Then press Play again.";
      this.tell("trouble");
    };
  }

  /** Another lick; it begins at the first step of its ladder. `number` tells licks of one title apart in what is remembered. */
  open(lick: string, number: number, ladder = usualSteps): void {
    this.stop();
    this.percent = Math.min(fastest, Math.max(slowest, ladder[0] ?? 100));
    this.lick = lick;
    this.reading = this.engine.read(lick);
    this.span = null;
    this.chosen = null;
    this.slug = `${number} ${this.reading.title}`;
    this.recall();
    this.tell("change");
  }

  /** The same lick while it is written. What plays goes on at the same beat with what is written now; a lick that is
   * broken is not taken over. */
  rewrite(lick: string): void {
    const reading = this.engine.read(lick);
    if (!reading.ok || lick === this.lick) return;
    this.lick = lick;
    this.reading = reading;
    this.tell("change");
    if (this.playing) this.player.change(this.asked);
  }

  /** Plays from this beat to the end of what is chosen, or of the lick. */
  async playFrom(beat: number): Promise<void> {
    const [from, to] = this.chosen ?? this.whole;
    this.from = beat > from && beat < to ? beat : null;
    await this.play();
  }

  private tell(what: "change" | "place" | "stopped" | "trouble"): void {
    this.dispatchEvent(new Event(what));
  }

  // --- What is remembered

  private slug = "";

  private recall(): void {
    const kept = this.memory.get<Record<string, unknown>>(this.slug, {});
    if (typeof kept["percent"] === "number") this.percent = Math.min(fastest, Math.max(slowest, kept["percent"]));
    if (typeof kept["harp"] === "string" && harps.includes(kept["harp"])) this.harp = kept["harp"];
    for (const name of ["clicks", "voice", "countIn", "rounds"] as const) {
      const value = kept[name];
      if (typeof value === "boolean") this[name] = value;
    }
    const spelling = this.memory.get<Spelling>("spelling", "none");
    if (spellings.includes(spelling)) this.spelling = spelling;
    this.levels();
  }

  private keep(): void {
    const { percent, harp, clicks, voice, countIn, rounds } = this;
    this.memory.set(this.slug, { percent, harp, clicks, voice, countIn, rounds });
    this.memory.set("spelling", this.spelling);
    if (!this.memory.trouble) return;
    this.trouble = this.memory.trouble;
    this.tell("trouble");
  }

  // --- What is chosen

  /** Whole beats of the whole lick. */
  get whole(): [number, number] {
    if (this.span) return [Math.floor(this.span[0]), Math.ceil(this.span[1] - 1e-6)];
    return [0, Math.max(1, this.reading?.bars ?? 1) * this.meter];
  }

  /** Beats of a bar. */
  get meter(): number {
    return this.reading?.beats ?? 4;
  }

  /** Beats a minute as asked for, in whole ones. */
  get tempo(): number {
    return Math.round(((this.reading?.tempo ?? 0) * this.percent) / 100);
  }

  private get asked(): Part {
    const [start, to] = this.chosen ?? this.whole;
    const from = this.from ?? start;
    const { lick, harp, percent, meter } = this;
    return { lick, harp, percent, from, to, meter };
  }

  /** Choices that are heard at once; the place stays. */
  set(choices: Partial<Pick<Transport, "percent" | "harp" | "spelling" | "clicks" | "voice" | "countIn">>): void {
    const { percent, harp } = this;
    Object.assign(this, choices);
    this.percent = Math.round(Math.min(fastest, Math.max(slowest, this.percent)));
    if (this.harp === this.reading?.harp) this.harp = "";
    this.levels();
    this.keep();
    if (this.playing && (percent !== this.percent || harp !== this.harp)) this.player.change(this.asked);
    this.tell("change");
  }

  /** The part that is played; null is the whole. What plays begins again there. */
  choose(part: [number, number] | null): void {
    this.chosen = part;
    this.from = null;
    this.tell("change");
    if (this.playing) void this.play(this.quiet);
  }

  setRounds(rounds: boolean): void {
    this.rounds = rounds;
    this.keep();
    this.tell("change");
    if (this.playing && !this.quiet) void this.play();
  }

  private levels(): void {
    this.player.level("click", this.clicks ? 1 : 0);
    this.player.level("voice", this.voice && !this.quiet ? 1 : 0);
  }

  // --- Playing

  /** Plays what is chosen; `quiet` gives the count and the click alone and goes through once. */
  async play(quiet = false): Promise<void> {
    if (!this.reading?.ok) return;
    if (sounding !== this) sounding?.stop();
    sounding = this;
    this.quiet = quiet;
    this.levels();
    this.playing = true;
    this.tell("change");
    await this.player.play(this.asked, { round: this.rounds && !quiet, countIn: this.countIn || quiet, silent: quiet });
    cancelAnimationFrame(this.frame);
    this.follow();
  }

  stop(): void {
    this.player.stop();
    this.stopped();
  }

  private stopped(): void {
    cancelAnimationFrame(this.frame);
    if (sounding === this) sounding = null;
    this.from = null;
    if (!this.playing) return;
    this.playing = false;
    this.beat = null;
    this.count = 0;
    this.quiet = false;
    this.levels();
    this.tell("change");
    this.tell("place");
    this.tell("stopped");
  }

  private follow(): void {
    const place = this.player.place();
    if (!place) return;
    const count = place.beat === null ? place.count : 0;
    const counted = count !== this.count;
    this.count = count;
    this.beat = place.beat ?? this.asked.from;
    if (counted) this.tell("change");
    this.tell("place");
    this.frame = requestAnimationFrame(() => this.follow());
  }
}
