// SPDX-License-Identifier: Apache-2.0
//
// Notes by playing them: each note that the ear has heard to its end is written where the cursor stands. The beat is
// written by hand: nobody plays in time while looking at a text.
import workerText from "worker:../engine/ear-worker.ts";
import { Ear, NoMicrophone } from "../engine/ear";
import type { HarpReading, Look } from "../engine/engine";

/** A shorter sound is the breath between two notes, in seconds. */
const shortest = 0.09;

export interface EarOf {
  harp: () => HarpReading | null;
  note: (tab: string) => void;
  changed: () => void;
}

export class ByEar {
  on = false;
  /** What sounds now: as it is typed, and in words. */
  sounding = "";
  live = "";
  trouble = "";
  private ear: Ear | null = null;

  constructor(
    private readonly module: WebAssembly.Module,
    private readonly to: EarOf,
  ) {}

  /** On, with the harp of this lick, or off again. Call it from the press of a button. */
  async turn(lick: string): Promise<void> {
    this.trouble = "";
    if (this.on) {
      this.off();
      return;
    }
    this.ear = new Ear(this.module, workerText, {
      look: (look) => this.heard(look),
      verdict: () => {},
      lost: (words) => {
        this.off();
        this.trouble = words;
        this.to.changed();
      },
    });
    try {
      await this.ear.start();
      this.ear.begin(headOf(lick), "", undefined);
      this.on = true;
    } catch (error) {
      this.ear = null;
      this.trouble = error instanceof NoMicrophone ? error.message.replace("Listen", "Write what I play") : "The microphone could not be opened. All the rest works.";
    }
    this.to.changed();
  }

  off(): void {
    this.ear?.stop();
    this.ear = null;
    this.on = false;
    this.sounding = "";
    this.live = "";
    this.to.changed();
  }

  private heard(look: Look): void {
    if (!this.on) return;
    for (const note of look.notes)
      if (note.tab !== "" && note.offset - note.onset >= shortest) this.to.note(usual(note.tab, this.to.harp()));
    const l = look.live;
    // The nearest half step that the cents stand for.
    const bend = l ? Math.max(0, Math.round(l.cents / 100)) : 0;
    const sounding = l ? (l.tab.includes("o") ? l.tab : l.tab + "'".repeat(bend)) : "";
    const live = l ? `${l.hole} ${l.breath}${l.cents > 35 ? ` bent ${Math.round(l.cents)} cents` : ""}` : "";
    if (sounding === this.sounding && live === this.live) return;
    this.sounding = sounding;
    this.live = live;
    this.to.changed();
  }
}

/** Two holes may sound one note (3 blow and 2 draw), and no ear tells them apart: in first position it is mostly the blown
 * one, in the others the drawn. Common practice, no source. */
export function usual(tab: string, harp: HarpReading | null): string {
  const heard = harp?.notes.find((n) => n.tab === tab);
  if (!heard || heard.bend > 0 || heard.overbend) return tab;
  const breath = harp!.position === 1 ? "blow" : "draw";
  const same = harp!.notes.find((n) => n.midi === heard.midi && n.bend === 0 && !n.overbend && n.breath === breath);
  return same?.tab ?? tab;
}

/** The harp alone: what is played is not held against what is written already. */
function headOf(lick: string): string {
  const head = lick.split("\n").filter((l) => /^\s*(harp|tuning|temperament|a4)\s*:/.test(l));
  return [...head, "tab | . . . . |", ""].join("\n");
}
