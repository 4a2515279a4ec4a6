// SPDX-License-Identifier: Apache-2.0
//
// The writing page: the text, its picture, its sound and the harp, bound to each other. Everything is in the page;
// nothing is fetched. What is written is kept in this browser and goes out as files.
import { redo, undo } from "@codemirror/commands";
import type { EditorView } from "@codemirror/view";
import { html, LitElement, nothing, type TemplateResult } from "lit";
import { Transport } from "../elements/transport";
import type { Engine, Fault } from "../engine/engine";
import { Memory } from "../engine/remember";
import "./beginnings";
import type { Beginnings } from "./beginnings";
import { Cursor } from "./cursor";
import { isProse, partAt, shown, written, type Part, type Shown, type Written } from "./document";
import { apply, openEditor, positionOf, replaceAll, select, showFaults, showPlace } from "./editor";
import "./entry";
import type { Edit } from "./entry";
import { countOf } from "./faults";
import * as files from "./files";
import { keep, kept, keptElsewhere, type Work } from "./kept";
import "./look-choice";
import "./music";
import type { Music } from "./music";
import { soundOf, tabsOf } from "./note-words";
import { asFence, asLesson, type Start } from "./starts";
import "./take-away";

/** After the last change the work is kept and the number of faults is said, in milliseconds. */
const quietTime = 600;

export class Writing extends LitElement {
  static override properties = {
    doc: { state: true },
    now: { state: true },
    broken: { state: true },
    lit: { state: true },
    notice: { state: true },
    said: { state: true },
    name: { state: true },
    large: { state: true },
    under: { state: true },
    other: { state: true },
  };
  declare doc: Written;
  /** The lick that is shown. */
  declare now: Shown | null;
  declare broken: boolean;
  declare lit: string[];
  declare notice: string;
  declare said: string;
  declare name: string;
  declare large: boolean;
  /** What the cursor stands on, in beats. */
  declare under: [number, number] | null;
  /** Work on another text, kept in this browser: offered until something is written here. */
  declare other: { place: string; work: Work; title: string } | null;

  engine!: Engine;
  module!: WebAssembly.Module;
  view!: EditorView;
  transport!: Transport;
  /** Milliseconds from a change of the text to its picture, the last ones. */
  readonly times: number[] = [];
  private readonly memory = new Memory("lickwright writing");
  private taps: Transport | null = null;
  /** What is played: the last text without errors, and the line of the lick it is. */
  private heard = "";
  private heardFirst = 0;
  private timer = 0;
  /** Where this text is kept, and whether it has changes that are not. */
  private place = "";
  private unkept = false;
  /** Has anything been written in this tab? */
  private mine = false;
  private changed = 0;

  constructor() {
    super();
    this.now = null;
    this.broken = false;
    this.lit = [];
    this.notice = "";
    this.said = "";
    this.name = "";
    this.large = false;
    this.under = null;
    this.other = null;
  }

  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  async open(module: WebAssembly.Module, engine: Engine, work: Work, place: string): Promise<void> {
    this.module = module;
    this.engine = engine;
    this.transport = new Transport(this.engine, this.memory);
    this.transport.percent = 100;
    this.transport.rounds = false;
    this.transport.addEventListener("change", () => this.requestUpdate());
    this.name = work.name;
    this.place = place;
    const other = keptElsewhere(place);
    this.other = other && { ...other, title: written(engine, other.work.text).title || "a lick without a title" };
    this.doc = written(this.engine, work.text);
    await this.updateComplete;
    this.view = openEditor(this.querySelector("#editor")!, {
      text: work.text,
      cursor: work.cursor,
      changed: (whole) => {
        this.unkept = this.mine = true;
        this.other = null;
        if (whole) this.forgetPlayed();
        this.read();
      },
      moved: () => this.moved(),
      known: { harp: () => this.now?.harp ?? null, prose: (line) => isProse(this.doc, line) },
      keys: [
        { key: "Mod-s", run: () => (void this.save(), true) },
        { key: "Mod-Enter", run: () => (this.playFromCursor(), true) },
        { key: "Escape", run: () => this.transport.playing && (this.transport.stop(), true) },
      ],
    });
    this.read();
    this.addEventListener("keydown", (e) => {
      if (e.key !== "s" || !(e.ctrlKey || e.metaKey) || e.defaultPrevented) return;
      e.preventDefault();
      void this.save();
    });
    window.addEventListener("storage", (e) => {
      if (e.key === this.place) this.elsewhere();
    });
    window.addEventListener("pagehide", () => this.keep());
    window.addEventListener("beforeprint", () => this.toPaper());
  }

  /** Another tab kept its work on this text: one in which nothing is written follows, else both are told of each other. */
  private elsewhere(): void {
    const work = kept(this.place);
    if (this.mine)
      this.notice = "Another tab of this browser writes here as well: what is written last is what is kept. Save this text as a file.";
    else if (work) this.takeOver(work);
  }

  private takeOver(work: Work): void {
    this.name = work.name;
    replaceAll(this.view, work.text, work.cursor);
    this.unkept = this.mine = false;
  }

  /** Goes on with work on another text; what is kept of this one stays. */
  private goOn({ place, work, title }: { place: string; work: Work; title: string }): void {
    if (this.unkept) this.keep();
    files.forget();
    this.place = place;
    this.takeOver(work);
    this.said = `${title} is open; undo brings back what was here`;
    this.view.focus();
  }

  private get music(): Music | null {
    return this.querySelector("lw-music");
  }

  // --- The text and everything that follows it

  private read(): void {
    const start = performance.now();
    this.doc = written(this.engine, this.view.state.doc.toString());
    this.moved();
    // Faults are set while the editor is still telling of its change, so one step later.
    queueMicrotask(() => showFaults(this.view, this.doc.faults));
    this.changed = start;
    window.clearTimeout(this.timer);
    this.timer = window.setTimeout(() => {
      this.keep();
      this.said = `${countOf(this.doc.faults)}.${this.doc.faults.length > 0 ? " F8 goes to the next." : ""}`;
      if (this.transport.playing && this.now?.reading.ok) this.transport.rewrite(this.now.part.text);
    }, quietTime);
  }

  /** The cursor stands elsewhere, or the text changed under it. */
  private moved(): void {
    const { state } = this.view;
    const part = partAt(this.doc, state.doc.lineAt(state.selection.main.head).number);
    if (!part) return;
    if (this.now?.part.first !== part.first || this.now.part.text !== part.text) this.now = shown(this.engine, part);
    this.broken = !this.now!.reading.ok;
    if (!this.broken && this.heard !== part.text) {
      if (this.heardFirst !== part.first) this.transport.open(part.text, 0, [this.transport.percent]);
      else if (!this.transport.playing) this.transport.rewrite(part.text);
      this.heard = part.text;
      this.heardFirst = part.first;
    }
    this.mark();
    const { place } = this.cursor!;
    queueMicrotask(() => showPlace(this.view, place));
  }

  private get cursor(): Cursor | null {
    return this.now && new Cursor(this.view.state, this.now, this.music?.picture ?? null);
  }

  /** What the cursor stands on, on the harp and in the picture. */
  private mark(): void {
    this.lit = tabsOf(this.cursor?.word?.text ?? "");
    this.under = this.cursor?.beats ?? null;
  }

  /** The picture of what is written is there. */
  private seen(): void {
    this.mark();
    if (this.changed > 0) this.times.push(performance.now() - this.changed);
    this.changed = 0;
    if (this.times.length > 400) this.times.shift();
  }

  private keep(): void {
    if (!this.view || !this.unkept) return;
    this.notice = keep(this.place, { text: this.view.state.doc.toString(), name: this.name, cursor: this.view.state.selection.main.head });
    this.unkept = this.notice !== "";
  }

  /** Another text stands here: nothing of the last one is seen or played. */
  private forgetPlayed(): void {
    this.transport.open("", 0, [this.transport.percent]);
    this.heard = "";
    this.heardFirst = 0;
    this.now = null;
    this.music?.forget();
  }

  // --- Writing by holes

  private edit(edit: Edit): void {
    const cursor = this.cursor;
    if (!cursor) return;
    const { doc, selection } = this.view.state;
    const change = edit.change(doc, cursor.room, selection.main.from);
    if (!change) return;
    apply(this.view, change);
    this.said = edit.said;
    if (edit.tab && !this.transport.playing) void this.sound(edit.tab);
  }

  /** A hole that was chosen is heard. */
  private async sound(tab: string): Promise<void> {
    this.taps ??= new Transport(this.engine, new Memory("lickwright writing"));
    await soundOf(this.taps, this.now!.part.text, tab);
  }

  /** The cursor on the first place that waits for a note. */
  toFirstRest(): void {
    select(this.view, { from: 0, to: 0 });
    const word = this.cursor?.place;
    if (word) select(this.view, word);
  }

  // --- Playing

  private playFromCursor(): void {
    if (this.transport.playing) {
      this.transport.stop();
      return;
    }
    void this.transport.playFrom(Math.floor((this.under?.[0] ?? 0) + 1e-6));
  }

  /** Goes round the bars that are selected in the text, or the one of the cursor. */
  private loopHere(): void {
    const bars = this.cursor?.bars(this.transport.meter);
    if (!bars) return;
    const { whole, rounds } = this.transport;
    if (!rounds) this.transport.setRounds(true);
    this.transport.choose([Math.max(whole[0], bars[0]), Math.min(whole[1], bars[1])]);
  }

  /** On the breath line the cursor goes from word to word. */
  private step(step: 1 | -1): void {
    const word = this.cursor?.beside(step);
    if (!word) return;
    select(this.view, word);
    const note = this.music?.picture?.notes.find((n) => n.beat === this.under?.[0]);
    this.said = note ? `${note.tab}, ${note.place}` : word.text;
  }

  private goTo(beat: number | null): void {
    const word = beat === null ? null : this.cursor?.at(beat);
    if (word) select(this.view, word);
  }

  private goToPart(part: Part): void {
    const from = positionOf(this.view.state.doc, part.first, 1);
    select(this.view, { from, to: from });
  }

  private goToFault(f: Fault): void {
    const { doc } = this.view.state;
    select(this.view, { from: positionOf(doc, f.line, f.column), to: positionOf(doc, f.line, f.column + f.length) });
    this.view.focus();
  }

  // --- Files

  private async trying(what: () => Promise<void>): Promise<void> {
    try {
      await what();
    } catch (error) {
      this.notice = error instanceof files.NoText ? error.message : `That did not work: ${error instanceof Error ? error.message : String(error)}`;
    }
  }

  private openFile(): Promise<void> {
    return this.trying(async () => {
      const file = await files.open();
      if (!file) return;
      this.name = file.name;
      replaceAll(this.view, file.text.replaceAll("\r\n", "\n"));
      this.toFirstRest();
      this.said = `${file.name} is open; undo brings back what was here`;
    });
  }

  save(): Promise<void> {
    return this.trying(async () => {
      const ending = this.doc.lesson ? ".md" : ".lick";
      const name = this.name.endsWith(ending) ? this.name : files.slug(this.doc.title) + ending;
      const saved = await files.save(name, this.doc.text);
      if (!saved) return;
      this.name = saved;
      this.unkept = true;
      this.keep();
      this.said = `saved as ${saved}`;
    });
  }

  private begin(start: Start, more: boolean): void {
    if (!more) {
      files.forget();
      this.name = "";
      replaceAll(this.view, start.text);
      this.toFirstRest();
    } else {
      const { text, lesson, title } = this.doc;
      const whole = lesson ? text.trimEnd() + "\n" : asLesson(title, text);
      const next = whole + asFence(start.text);
      replaceAll(this.view, next, whole.length + "\n```lick\n".length);
      const word = this.cursor?.place;
      if (word) select(this.view, word);
    }
    this.view.focus();
  }

  private tidy(): void {
    const before = this.view.state.doc.toString();
    const after = this.engine.tidy(before, this.doc.lesson !== null);
    if (after !== before) replaceAll(this.view, after, this.view.state.selection.main.head, "input.tidy");
    this.said = this.broken ? "a lick with faults is left as it is" : "the bars are aligned";
  }

  /** The sheet, on paper as the program prints it. */
  private toPaper(): void {
    const paper = this.querySelector("#paper")!;
    const pages = this.engine.sheet(this.doc.text, this.doc.lesson !== null) ?? [];
    paper.innerHTML = pages.map((p) => `<div class="page">${p}</div>`).join("");
  }

  // --- What is seen

  protected override updated(): void {
    if (this.doc) document.title = this.doc.title || "Write a lick";
  }

  override render(): TemplateResult | typeof nothing {
    if (!this.doc) return nothing;
    return html`${this.header()}
      ${this.notice ? html`<p class="notice" role="alert">${this.notice}</p>` : nothing}
      ${this.other ? html`<p class="notice"><button @click=${() => this.goOn(this.other!)}>Go on with “${this.other.title}”</button></p>` : nothing}
      <main>
        <section class="card text" aria-labelledby="text-title">
          <div class="line">
            <h2 id="text-title">Text</h2>
            <div class="tools">
              <button @click=${() => undo(this.view)}>Undo</button>
              <button @click=${() => redo(this.view)}>Redo</button>
              <button @click=${this.tidy}>Tidy</button>
            </div>
          </div>
          <div id="editor"></div>
          <p id="text-help" class="soft small">Tab leaves the text. Ctrl+Space offers what fits, F8 goes to the next fault, Ctrl+Enter plays from here.</p>
          <lw-faults .faults=${this.doc.faults} @lw-fault=${(e: CustomEvent<Fault>) => this.goToFault(e.detail)}></lw-faults>
        </section>
        ${this.now
          ? html`<lw-music
              .engine=${this.engine}
              .transport=${this.transport}
              .parts=${this.doc.parts}
              .shown=${this.now.part}
              .broken=${this.broken}
              .under=${this.under}
              .large=${this.large}
              @lw-seen=${this.seen}
              @lw-pointed=${(e: CustomEvent<number | null>) => this.goTo(e.detail)}
              @lw-step=${(e: CustomEvent<1 | -1>) => this.step(e.detail)}
              @lw-from-here=${this.playFromCursor}
              @lw-loop-here=${this.loopHere}
              @lw-lick=${(e: CustomEvent<Part>) => this.goToPart(e.detail)}
            ></lw-music>`
          : nothing}
        <section class="card harp" aria-labelledby="harp-title">
          <lw-entry
            .now=${this.now}
            .lit=${this.lit}
            .module=${this.module}
            @lw-edit=${(e: CustomEvent<Edit>) => this.edit(e.detail)}
            @lw-listens=${() => this.transport.stop()}
          ></lw-entry>
        </section>
        <section class="card away" aria-labelledby="away-title">
          <lw-take-away .page=${this} .doc=${this.doc} .now=${this.now} .percent=${this.transport.percent}></lw-take-away>
        </section>
      </main>
      <footer>
        <p>Headphones: start quietly. If you feel light in the head, stop, breathe normally and rest for a while.</p>
        <p>What you write is kept in this browser; what the microphone hears stays on this machine.</p>
      </footer>
      <p class="said" role="status">${this.said}</p>
      <lw-beginnings @lw-begin=${(e: CustomEvent<{ start: Start; more: boolean }>) => this.begin(e.detail.start, e.detail.more)}></lw-beginnings>
      <div id="paper" aria-hidden="true"></div>`;
  }

  private header(): TemplateResult {
    return html`<header>
      <div>
        <p class="house">Write a lick</p>
        <h1>${this.doc.title || "A lick without a title"}</h1>
      </div>
      <div class="tools">
        <button @click=${() => this.querySelector<Beginnings>("lw-beginnings")!.open()}>New…</button>
        <button @click=${this.openFile}>Open…</button>
        <button @click=${() => void this.save()}>Save</button>
        <lw-look-choice @lw-large=${(e: CustomEvent<boolean>) => (this.large = e.detail)}></lw-look-choice>
      </div>
    </header>`;
  }
}

customElements.define("lw-writing", Writing);
