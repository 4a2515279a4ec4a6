// SPDX-License-Identifier: Apache-2.0
//
// The engine as a page sees it: text in, pictures, times, sounds and words out. Everything is computed by the WebAssembly
// module (wasm/answers.hpp says what each answer holds); this file only carries bytes. One Engine answers one question at
// a time and all calls are synchronous; a worker makes its own from the same compiled module.

/** A fault in a lick's text. Lines and columns count from 1. */
export interface Fault {
  slug: string;
  level: "error" | "warning";
  line: number;
  column: number;
  length: number;
  words: string;
  remedy: string;
}

/** What a lick says of itself. */
export interface Reading {
  ok: boolean;
  faults: Fault[];
  title: string;
  harp: string;
  tuning: string;
  position?: number;
  music?: string;
  meter: string;
  beats: number;
  tempo: number;
  feel: string;
  tags: string[];
  more: string[];
  credit: string;
  bars: number;
}

/** A lesson's text, taken apart. A passage is prose (CommonMark) or the index of a lick. */
export interface Lesson {
  ok: boolean;
  faults: Fault[];
  title: string;
  licks: { title: string; slug: string; first_line: number; source: string }[];
  passages: (string | number)[];
}

/** One way to play one hole. `bend` counts half steps. */
export interface HarpNote {
  tab: string;
  hole: number;
  breath: "blow" | "draw";
  bend: number;
  overbend: boolean;
  note: string;
  midi: number;
  degree: string;
}

/** What the harp of a lick can play in half steps, in the lick's position. */
export interface HarpReading {
  harp: string;
  tuning: string;
  position: number;
  music: string;
  notes: HarpNote[];
}

/** A note of the played line. Beats are straight beats from the first downbeat; `lit` counts in Picture.tokens. */
export interface WrittenNote {
  beat: number;
  end: number;
  tab: string;
  place: string;
  lit: number[];
}

/** The breath line of a lick and where everything on it stands, in points. */
export interface Picture {
  svg: string;
  width: number;
  height: number;
  spoken: string;
  /** x, top, width, bottom of every line's band; where unbent numbers stand, blown and drawn; the foot of all its ink. */
  systems: [number, number, number, number, number, number, number][];
  /** beat, line, x: where the place mark passes. */
  track: [number, number, number][];
  notes: WrittenNote[];
  /** line, x, y, width, height of the ink; source line, column, length; the middle of a note's number and its width. */
  tokens: [number, number, number, number, number, number, number, number, number?, number?, number?][];
  /** Source line, column, length, first beat, beat after it: all that is typed, rests too, when it is first played. */
  events: [number, number, number, number, number][];
  start: number;
  end: number;
  harp: string;
  music: string;
}

/** One pass in time. Second 0 is the first downbeat. */
export interface Timeline {
  tempo: number;
  beats: [number, number][];
  notes: [number, number, number][];
  clicks: [number, boolean, number][];
  start: number;
  end: number;
}

export interface Live {
  tab: string;
  hole: number;
  breath: "blow" | "draw";
  /** How deep the reed is pulled. */
  cents: number;
  /** The written note that asks for this reed. */
  note: number | null;
}

/** What a look at the microphone says. */
export interface Look {
  at: number;
  hz: number;
  sure: number;
  level: number;
  live: Live | null;
  notes: { onset: number; offset: number; tab: string; cents: number }[];
  /** note, how it came, seconds late, cents too high, onset on the ear's clock. */
  follow?: [number, "right" | "wrong" | "missing", number, number | null, number][];
}

/** One written note after a try. */
export interface Grade {
  note: number;
  came: "right" | "wrong" | "missing";
  tab: string;
  heard?: string;
  onset?: number;
  late?: number;
  cents?: number | null;
  length?: number;
  faults?: string[];
}

/** How a try went. */
export interface Verdict {
  same_lick: boolean;
  likeness: number;
  heard: number;
  tempo: number;
  a4: number;
  notes: Grade[];
  extras: { onset: number; tab: string; before: number }[];
  right: number;
  advice: string[];
  reeds: (number | null)[];
}

type Call = (...numbers: number[]) => number;

/** The trade's plain spellings, in the order of the engine. */
export const spellings = ["none", "signs", "arrows", "letters"] as const;
export type Spelling = (typeof spellings)[number];

const encoder = new TextEncoder();
let pictures = 0;

export class Engine {
  private readonly memory: WebAssembly.Memory;

  private constructor(private readonly calls: Record<string, Call>, memory: WebAssembly.Memory) {
    this.memory = memory;
  }

  /** The module asks the system for nothing: every import is a refusal (52 is WASI's `nosys`). */
  static from(module: WebAssembly.Module): Engine {
    const imports: WebAssembly.Imports = {};
    for (const { module: from, name } of WebAssembly.Module.imports(module)) {
      const room = (imports[from] ??= {}) as Record<string, () => number>;
      room[name] = () => 52;
    }
    const { exports } = new WebAssembly.Instance(module, imports);
    const calls = exports as unknown as Record<string, Call>;
    calls["_initialize"]?.();
    return new Engine(calls, exports["memory"] as WebAssembly.Memory);
  }

  private call(name: string, ...numbers: number[]): number {
    const f = this.calls[name];
    if (!f) throw new Error(`the engine has no ${name}`);
    return f(...numbers);
  }

  private ask(question: string, name: string, ...numbers: number[]): { status: number; bytes: Uint8Array } {
    const bytes = encoder.encode(question);
    const at = this.call("lw_text", bytes.length);
    new Uint8Array(this.memory.buffer, at, bytes.length).set(bytes);
    return this.answer(this.call(name, ...numbers));
  }

  private answer(status: number): { status: number; bytes: Uint8Array } {
    const from = this.call("lw_answer");
    return { status, bytes: new Uint8Array(this.memory.buffer).slice(from, from + this.call("lw_answer_size")) };
  }

  private json<T>(question: string, name: string, ...numbers: number[]): T | null {
    const { status, bytes } = this.ask(question, name, ...numbers);
    return status === 0 ? (JSON.parse(new TextDecoder().decode(bytes)) as T) : null;
  }

  /** Reads a lick; `ok` is false when it has errors. */
  read(lick: string): Reading {
    return JSON.parse(new TextDecoder().decode(this.ask(lick, "lw_read", 1).bytes)) as Reading;
  }

  /** The walk-through on a harp, its own when none is named, a line each. */
  told(lick: string, harp = ""): string[] {
    return new TextDecoder().decode(this.ask(`${harp}\n${lick}`, "lw_told").bytes).split("\n").filter((l) => l !== "");
  }

  // What the writing page asks; the practice page's module has none of it.

  lesson(text: string): Lesson {
    return JSON.parse(new TextDecoder().decode(this.ask(text, "lw_lesson").bytes)) as Lesson;
  }

  /** The text, tidied; a lick with errors comes back as it was. */
  tidy(text: string, lesson: boolean): string {
    return new TextDecoder().decode(this.ask(text, lesson ? "lw_tidy_lesson" : "lw_tidy").bytes);
  }

  harpOf(lick: string): HarpReading {
    return this.json<HarpReading>(lick, "lw_harp_of")!;
  }

  /** The printed sheet, an SVG for each page; null when the text has errors. */
  sheet(text: string, lesson: boolean): string[] | null {
    return this.json<{ pages: string[] }>(text, "lw_sheet", lesson ? 1 : 0, ++pictures)?.pages ?? null;
  }

  /** A practice clip: 48 kHz, left and right in turn. */
  clip(lick: string, choices: { percent: number; repeats: number; click: boolean }): Float32Array {
    return floats(this.ask(lick, "lw_clip", choices.percent, choices.repeats, choices.click ? 1 : 0).bytes);
  }

  midi(lick: string, plain: boolean): Uint8Array {
    return this.ask(lick, "lw_midi", plain ? 1 : 0).bytes;
  }

  /** The breath line `width` points wide, or null when the lick has errors; `sketch` draws such a lick as far as it was understood. `harp` is another harp to play it on. */
  picture(
    lick: string,
    choices: { width: number; scale?: number; spelling?: Spelling; staff?: boolean; harp?: string; sketch?: boolean },
  ): Picture | null {
    const { width, scale = 1, spelling = "none", staff = false, harp = "", sketch = false } = choices;
    const number = spellings.indexOf(spelling);
    const { bytes } = this.ask(`${harp}\n${lick}`, "lw_picture", width, scale, number, staff ? 1 : 0, ++pictures, sketch ? 1 : 0);
    return bytes.length > 0 ? (JSON.parse(new TextDecoder().decode(bytes)) as Picture) : null;
  }

  /** Frequencies of the harp's reeds as they were made, in Hz, hole 1 blow first. */
  reeds(lick: string, harp = ""): number[] {
    return this.json<number[]>(`${harp}\n${lick}`, "lw_reeds") ?? [];
  }

  timeline(lick: string, percent: number, harp = ""): Timeline | null {
    return this.json(`${harp}\n${lick}`, "lw_timeline", percent);
  }

  /** The harp alone from one beat to another, ready to go round. */
  loop(lick: string, choices: { percent: number; from: number; to: number; rate: number; harp?: string }): Float32Array {
    const { percent, from, to, rate, harp = "" } = choices;
    return floats(this.ask(`${harp}\n${lick}`, "lw_loop", percent, from, to, rate).bytes);
  }

  knock(firstOfBar: boolean, rate: number): Float32Array {
    return floats(this.ask("", "lw_knock", firstOfBar ? 1 : 0, rate).bytes);
  }

  /** Declarations of a style sheet: the colours by day or by night. */
  colours(house: string, night: boolean): string {
    return new TextDecoder().decode(this.ask(house, "lw_colours", night ? 1 : 0).bytes);
  }

  /** Opens the ear for one try. `reeds`: the player's own, in cents, hole 1 blow first. */
  openEar(lick: string, choices: { rate: number; harp?: string; reeds?: (number | null)[] }): void {
    const { rate, harp = "", reeds } = choices;
    const own = reeds ? " " + reeds.map((c) => (c === null ? "-" : c.toFixed(1))).join(" ") : "";
    const name = harp || this.read(lick).harp;
    const bytes = encoder.encode(`${name}${own}\n${lick}`);
    const at = this.call("lw_text", bytes.length);
    new Uint8Array(this.memory.buffer, at, bytes.length).set(bytes);
    this.call("lw_ear_open", rate);
  }

  hear(samples: Float32Array): void {
    const at = this.call("lw_ear_room", samples.length);
    new Float32Array(this.memory.buffer, at, samples.length).set(samples);
    this.call("lw_ear_push", samples.length);
  }

  look(): Look {
    return JSON.parse(new TextDecoder().decode(this.answer(this.call("lw_ear_look")).bytes)) as Look;
  }

  verdict(): Verdict {
    return JSON.parse(new TextDecoder().decode(this.answer(this.call("lw_ear_finish")).bytes)) as Verdict;
  }
}

function floats(bytes: Uint8Array): Float32Array {
  return new Float32Array(bytes.buffer, bytes.byteOffset, bytes.byteLength >> 2);
}
