// SPDX-License-Identifier: Apache-2.0
//
// The writing page: the text, its picture, its sound and the harp, bound to each other. Everything is in the page;
// nothing is fetched. What is written is kept in this browser and goes out as files.
import { redo, undo } from "@codemirror/commands";
import type { EditorView } from "@codemirror/view";
import { html, LitElement, nothing, type TemplateResult } from "lit";
import { wayOf } from "../elements/lick-harp";
import type { LickPicture } from "../elements/lick-picture";
import "../elements/lick-picture";
import "../elements/play-bar";
import { playKey } from "../elements/play-bar";
import { Transport } from "../elements/transport";
import { spotAt } from "../engine/clock";
import { addFonts, compiled, partOfPage } from "../engine/embedded";
import { Engine, type Fault, type Picture } from "../engine/engine";
import { Memory } from "../engine/remember";
import { ByEar } from "./by-ear";
import { gestures } from "./complete";
import { isProse, partAt, shown, written, type Shown, type Written } from "./document";
import { apply, openEditor, placeOf, positionOf, replaceAll, showFaults, showPlace } from "./editor";
import { entered, gestured, parted, takenBack, wordAt, wordsIn, type Change, type Room } from "./enter";
import * as files from "./files";
import { keep, kept } from "./kept";
import type { Word } from "./lick-words";
import { soundOf, tabsOf } from "./note-words";
import { asFence, asLesson, starts, type Start } from "./starts";
import "./take-away";
import type { TakeAway } from "./take-away";

/** After the last change the work is kept and the number of faults is said, in milliseconds. */
const quietTime = 600;

export class Writing extends LitElement {
  static override properties = {
    doc: { state: true },
    now: { state: true },
    good: { state: true },
    broken: { state: true },
    lit: { state: true },
    notice: { state: true },
    said: { state: true },
    name: { state: true },
    look: { state: true },
    large: { state: true },
    under: { state: true },
  };
  declare doc: Written;
  /** The lick that is shown. */
  declare now: Shown | null;
  /** The last text of it that could be drawn. */
  declare good: string;
  declare broken: boolean;
  declare lit: string[];
  declare notice: string;
  declare said: string;
  declare name: string;
  declare look: string;
  declare large: boolean;
  /** What the cursor stands on, in beats. */
  declare under: [number, number] | null;

  engine!: Engine;
  module!: WebAssembly.Module;
  view!: EditorView;
  transport!: Transport;
  /** Milliseconds from a change of the text to its picture, the last ones. */
  readonly times: number[] = [];
  private readonly memory = new Memory("lickwright writing");
  private taps: Transport | null = null;
  private ear: ByEar | null = null;
  private timer = 0;
  private changed = 0;

  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  async open(): Promise<void> {
    const fonts = ["400", "700"].map((weight) => ({ weight, text: partOfPage(`lw-font-${weight}`) }));
    const [module] = await Promise.all([compiled(partOfPage("lw-engine")), addFonts(fonts).catch(() => {})]);
    this.module = module;
    this.engine = Engine.from(module);
    this.transport = new Transport(this.engine, this.memory);
    this.transport.percent = 100;
    this.transport.rounds = false;
    this.transport.addEventListener("change", () => this.requestUpdate());
    this.transport.addEventListener("place", () => {
      const picture = this.picture;
      if (picture) picture.beat = this.transport.beat;
      if (this.transport.beat !== null) this.bringInto(this.transport.beat);
    });
    this.ear = new ByEar(module, {
      note: (tab) => this.enter(tab),
      changed: () => this.requestUpdate(),
    });
    const begin = JSON.parse(document.getElementById("lw-begin")?.textContent || "null") as { text: string; name: string } | null;
    const work = kept() ?? { text: begin?.text ?? starts[1]!.text, name: begin?.name ?? "", cursor: 0 };
    this.name = work.name;
    this.look = this.memory.get("look", "");
    this.large = this.memory.get("large", false);
    this.lit = [];
    this.under = null;
    this.notice = "";
    this.said = "";
    this.good = "";
    this.broken = false;
    this.doc = written(this.engine, work.text);
    this.now = null;
    this.wear();
    await this.updateComplete;
    this.view = openEditor(this.querySelector("#editor")!, {
      text: work.text,
      cursor: work.cursor,
      changed: () => this.read(),
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
    window.addEventListener("pagehide", () => this.keep());
    window.addEventListener("beforeprint", () => this.toPaper());
    if (!kept()) this.moveToFirstRest();
  }

  private get picture(): LickPicture | null {
    return this.querySelector("lw-picture");
  }

  private wear(): void {
    if (this.look === "") delete document.documentElement.dataset["look"];
    else document.documentElement.dataset["look"] = this.look;
    document.documentElement.classList.toggle("large", this.large);
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
      const errors = this.doc.faults.length;
      this.said = errors === 0 ? "No faults." : `${errors} ${errors === 1 ? "fault" : "faults"}. F8 goes to the next.`;
      if (this.transport.playing && this.now?.reading.ok) this.transport.rewrite(this.now.part.text);
    }, quietTime);
  }

  /** The cursor stands elsewhere, or the text changed under it. */
  private moved(): void {
    const { state } = this.view;
    const part = partAt(this.doc, state.doc.lineAt(state.selection.main.head).number);
    if (!part) return;
    const other = this.now?.part.first !== part.first;
    if (other || this.now?.part.text !== part.text) this.now = shown(this.engine, part);
    this.broken = !this.now!.reading.ok;
    if (!this.broken && this.good !== part.text) {
      if (other || !this.transport.reading) {
        this.transport.open(part.text, 0);
      } else if (!this.transport.playing) this.transport.rewrite(part.text);
      this.good = part.text;
    }
    this.lit = tabsOf(this.here?.text ?? "");
    const word = wordAt(state.doc, this.room, state.selection.main.from);
    queueMicrotask(() => showPlace(this.view, word));
    this.mark();
  }

  /** The word that the cursor touches, or else the next. */
  private get here(): Word | null {
    const { doc, selection } = this.view.state;
    const { from, head } = selection.main;
    const touched = wordsIn(doc, this.room).find((w) => w.from <= from && (from < w.to || (from === w.to && head === from)));
    return touched ?? wordAt(doc, this.room, from);
  }

  /** What the cursor stands on, in the picture. */
  private mark(): void {
    const picture = this.picture?.picture;
    const word = this.here;
    if (!picture || !this.now || this.broken || !word) {
      this.under = null;
      return;
    }
    const event = this.eventOf(word.from);
    this.under = event ? [event[3], event[4]] : null;
    if (event) this.bringInto(event[3]);
  }

  /** What the engine read at this place of the document. */
  private eventOf(place: number): Picture["events"][number] | undefined {
    const at = placeOf(this.view.state.doc, place);
    const line = at.line - this.now!.part.first + 1 + this.now!.part.shift;
    return this.picture?.picture?.events.find(([l, column, length]) => l === line && column <= at.column && at.column < column + Math.max(1, length));
  }

  /** Where the picture is higher than its frame, the line of this beat comes into sight. */
  private bringInto(beat: number): void {
    const frame = this.querySelector<HTMLElement>(".drawing");
    const picture = this.picture?.picture;
    const system = picture?.systems[spotAt(picture, beat).line];
    if (!frame || !picture || !system || frame.scrollHeight <= frame.clientHeight + 4) return;
    const scale = frame.scrollHeight / picture.height;
    const [top, bottom] = [system[1] * scale - 30, system[3] * scale + 30];
    if (top < frame.scrollTop) frame.scrollTop = top;
    else if (bottom > frame.scrollTop + frame.clientHeight) frame.scrollTop = bottom - frame.clientHeight;
  }

  private get room(): Room {
    const part = this.now?.part ?? { first: 1, end: this.view.state.doc.lines + 1 };
    return { first: part.first, end: part.end, beats: this.now?.reading.beats ?? 4 };
  }

  private drawn(picture: Picture | null): void {
    if (picture) this.transport.span = [picture.start, picture.end];
    this.mark();
    if (this.changed > 0) this.times.push(performance.now() - this.changed);
    this.changed = 0;
    if (this.times.length > 400) this.times.shift();
  }

  private keep(): void {
    if (!this.view) return;
    this.notice = keep({ text: this.view.state.doc.toString(), name: this.name, cursor: this.view.state.selection.main.head });
  }

  // --- Writing by holes

  private change(change: Change | null): void {
    if (change) apply(this.view, change);
  }

  private get selection(): number {
    return this.view.state.selection.main.from;
  }

  enter(word: string): void {
    const { doc } = this.view.state;
    this.change(entered(doc, this.room, this.selection, word));
    const note = this.now?.harp.notes.find((n) => n.tab === word);
    this.said = `${note ? `${wayOf(note)}, ${note.note}` : word === "." ? "rest" : word === "-" ? "hold" : word} written`;
  }

  /** A hole was chosen: it is heard and written. */
  private async tapped(tab: string): Promise<void> {
    this.enter(tab);
    if (this.transport.playing || !this.now) return;
    this.taps ??= new Transport(this.engine, new Memory("lickwright writing"));
    await soundOf(this.taps, this.now.part.text, tab);
  }

  private moveToFirstRest(): void {
    const word = wordAt(this.view.state.doc, this.room, 0);
    if (word) this.view.dispatch({ selection: { anchor: word.from, head: word.to } });
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
    if (!this.under) return;
    const { doc, selection } = this.view.state;
    const last = wordsIn(doc, this.room).filter((w) => w.from < Math.max(selection.main.to, selection.main.from + 1)).pop();
    const end = (last && this.eventOf(last.from)?.[4]) || this.under[1];
    const { meter, whole, rounds } = this.transport;
    const from = Math.max(whole[0], Math.floor(this.under[0] / meter + 1e-9) * meter);
    const to = Math.min(whole[1], Math.ceil(Math.max(end, this.under[1]) / meter - 1e-9) * meter);
    if (!rounds) this.transport.setRounds(true);
    this.transport.choose([from, to]);
  }

  /** Arrow keys on the breath line: the cursor goes from word to word. */
  private walk(e: KeyboardEvent): void {
    const step = e.key === "ArrowRight" ? 1 : e.key === "ArrowLeft" ? -1 : 0;
    if (step === 0 || e.altKey || e.ctrlKey || e.metaKey) return;
    e.preventDefault();
    const { doc } = this.view.state;
    const words = wordsIn(doc, this.room);
    const here = this.here;
    const at = words.findIndex((w) => w.from === here?.from);
    const word = words[at < 0 ? 0 : at + step];
    if (!word) return;
    this.view.dispatch({ selection: { anchor: word.from, head: word.to }, scrollIntoView: true });
    this.said = this.picture?.picture?.notes.find((n) => this.under && n.beat === this.under[0])?.place ?? word.text;
  }

  private goTo(beat: number | null): void {
    const picture = this.picture?.picture;
    const event = beat === null ? undefined : picture?.events.find(([, , , from, to]) => beat >= from && beat < to);
    if (!event || !this.now) return;
    const { doc } = this.view.state;
    const from = positionOf(doc, event[0] - this.now.part.shift + this.now.part.first - 1, event[1]);
    const word = wordAt(doc, this.room, from) ?? { from, to: from };
    this.view.dispatch({ selection: { anchor: word.from, head: word.to }, scrollIntoView: true });
  }

  private goToFault(f: Fault): void {
    const { doc } = this.view.state;
    const from = positionOf(doc, f.line, f.column);
    this.view.dispatch({ selection: { anchor: from, head: positionOf(doc, f.line, f.column + f.length) }, scrollIntoView: true });
    this.view.focus();
  }

  // --- Files

  private async trying(what: () => Promise<void>): Promise<void> {
    try {
      await what();
    } catch (error) {
      this.notice = `That did not work: ${error instanceof Error ? error.message : String(error)}`;
    }
  }

  private openFile(): Promise<void> {
    return this.trying(async () => {
      const file = await files.open();
      if (!file) return;
      this.name = file.name;
      replaceAll(this.view, file.text.replaceAll("\r\n", "\n"));
      this.moveToFirstRest();
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
      this.keep();
      this.said = `saved as ${saved}`;
    });
  }

  private begin(start: Start, more: boolean): void {
    (this.querySelector("#starts") as HTMLDialogElement).close();
    if (!more) {
      files.forget();
      this.name = "";
      replaceAll(this.view, start.text);
      this.moveToFirstRest();
    } else {
      const { text, lesson, title } = this.doc;
      const whole = lesson ? text.trimEnd() + "\n" : asLesson(title, text);
      const next = whole + asFence(start.text);
      replaceAll(this.view, next, whole.length + "\n```lick\n".length);
      const word = wordAt(this.view.state.doc, this.room, this.selection);
      if (word) this.view.dispatch({ selection: { anchor: word.from, head: word.to }, scrollIntoView: true });
    }
    this.view.focus();
  }

  private tidy(): void {
    const before = this.view.state.doc.toString();
    const after = this.engine.tidy(before, this.doc.lesson !== null);
    if (after !== before) replaceAll(this.view, after, this.view.state.selection.main.head);
    this.said = this.broken ? "a lick with faults is left as it is" : "the bars are aligned";
  }

  /** The sheet, on paper as the program prints it. */
  private toPaper(): void {
    const paper = this.querySelector("#paper")!;
    const pages = this.engine.sheet(this.doc.text, this.doc.lesson !== null) ?? [];
    paper.innerHTML = pages.map((p) => `<div class="page">${p}</div>`).join("");
  }

  // --- What is seen

  override render(): TemplateResult | typeof nothing {
    if (!this.doc) return nothing;
    return html`${this.header()}
      ${this.notice ? html`<p class="notice" role="alert">${this.notice}</p>` : nothing}
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
          ${this.faults()}
        </section>
        <section class="card picture" aria-labelledby="picture-title" @keydown=${(e: KeyboardEvent) => playKey(e, this.transport)}>
          ${this.breathLine()}
        </section>
        <section class="card harp" aria-labelledby="harp-title">${this.harp()}</section>
        <section class="card away" aria-labelledby="away-title">
          <lw-take-away .page=${this} .doc=${this.doc} .now=${this.now} .percent=${this.transport.percent}></lw-take-away>
        </section>
      </main>
      <footer>
        <p>Headphones: start quietly. If you feel light in the head, stop, breathe normally and rest for a while.</p>
        <p>What you write is kept in this browser; what the microphone hears stays on this machine.</p>
      </footer>
      <p class="said" role="status">${this.said}</p>
      ${this.startsDialog()}
      <div id="paper" aria-hidden="true"></div>`;
  }

  private header(): TemplateResult {
    const choose = (look: string) => {
      this.look = look;
      this.memory.set("look", look);
      this.wear();
    };
    return html`<header>
      <div>
        <p class="house">Write a lick</p>
        <h1>${this.doc.title || "A lick without a title"}</h1>
      </div>
      <div class="tools">
        <button @click=${() => (this.querySelector("#starts") as HTMLDialogElement).showModal()}>New…</button>
        <button @click=${this.openFile}>Open…</button>
        <button @click=${() => void this.save()}>Save</button>
        <label
          >Look
          <select @change=${(e: Event) => choose((e.target as HTMLSelectElement).value)}>
            ${[["", "like this machine"], ["day", "day"], ["night", "night"]].map(
              ([value, words]) => html`<option value=${value!} ?selected=${value === this.look}>${words}</option>`,
            )}
          </select></label
        >
        <label class="tick"
          ><input
            type="checkbox"
            .checked=${this.large}
            @change=${(e: Event) => {
              this.large = (e.target as HTMLInputElement).checked;
              this.memory.set("large", this.large);
              this.wear();
            }}
          />
          Large print</label
        >
      </div>
    </header>`;
  }

  private faults(): TemplateResult {
    const faults = this.doc.faults;
    if (faults.length === 0) return html`<p class="fine"><span aria-hidden="true">✓</span> Everything here can be played.</p>`;
    return html`<h3>To mend</h3>
      <ol class="faults">
        ${faults.slice(0, 12).map(
          (f) => html`<li class=${f.level}>
            <button @click=${() => this.goToFault(f)}>
              <span class="where">${f.level === "error" ? "" : "look at "}line ${f.line}</span> ${f.words}
              ${f.remedy ? html`<span class="remedy">${f.remedy}</span>` : nothing}
            </button>
          </li>`,
        )}
      </ol>
      ${faults.length > 12 ? html`<p class="soft">and ${faults.length - 12} more</p>` : nothing}`;
  }

  private breathLine(): TemplateResult {
    const r = this.now?.reading;
    const several = this.doc.parts.length > 1;
    const number = this.now ? this.doc.parts.findIndex((p) => p.first === this.now!.part.first) + 1 : 0;
    return html`<div class="line">
        <h2 id="picture-title">${several ? `${number} · ` : nothing}${r?.title || "Breath line"}</h2>
        ${several
          ? html`<label
              >Lick
              <select @change=${(e: Event) => this.goToPart(Number((e.target as HTMLSelectElement).value))}>
                ${this.doc.parts.map((p, i) => html`<option value=${i} ?selected=${i + 1 === number}>${i + 1} · ${p.title || "without a title"}</option>`)}
              </select></label
            >`
          : nothing}
      </div>
      <div
        class=${this.broken ? "drawing dim" : "drawing"}
        tabindex="0"
        role="group"
        aria-label="Breath line; left and right go from note to note"
        @keydown=${this.walk}
      >
        <lw-picture
          .engine=${this.engine}
          .lick=${this.good}
          .large=${this.large}
          .chosen=${this.transport.chosen}
          .under=${this.under}
          @lw-part=${(e: CustomEvent<{ from: number; to: number; done: boolean }>) => {
            if (e.detail.done) this.transport.choose([e.detail.from, e.detail.to]);
          }}
          @lw-pointed=${(e: CustomEvent<number | null>) => this.goTo(e.detail)}
          @lw-drawn=${(e: CustomEvent<Picture | null>) => this.drawn(e.detail)}
        ></lw-picture>
      </div>
      ${this.broken ? html`<p class="soft small">The picture is the last one that could be drawn; mend what is marked.</p>` : nothing}
      <lw-play-bar .transport=${this.transport}>
        <button @click=${this.playFromCursor} ?disabled=${this.transport.playing}>Play from the cursor</button>
        <button @click=${this.loopHere} ?disabled=${this.under === null}>Loop from here</button>
        <button aria-pressed=${this.transport.clicks} @click=${() => this.transport.set({ clicks: !this.transport.clicks })}>Click</button>
        <button aria-pressed=${this.transport.countIn} @click=${() => this.transport.set({ countIn: !this.transport.countIn })}>Count in</button>
      </lw-play-bar>`;
  }

  private goToPart(index: number): void {
    const part = this.doc.parts[index];
    if (!part) return;
    this.view.dispatch({ selection: { anchor: positionOf(this.view.state.doc, part.first, 1) }, scrollIntoView: true });
  }

  private harp(): TemplateResult {
    const { doc } = this.view?.state ?? {};
    const h = this.now?.harp;
    const does = (f: (d: NonNullable<typeof doc>, room: Room, at: number) => Change | null) => () => this.change(f(this.view.state.doc, this.room, this.selection));
    return html`<div class="line">
        <h2 id="harp-title">Harp${h ? ` in ${h.harp}` : ""}</h2>
        <p class="soft">${h ? html`position ${h.position}, music in ${h.music}${h.tuning === "standard" ? nothing : html`, ${h.tuning}`}` : nothing}</p>
      </div>
      <p class="soft small">Blow above, draw below. A hole you choose takes the place that is marked in the text; the mark goes on to the next.</p>
      <lw-harp .reading=${h ?? null} .lit=${this.lit} .sounding=${this.ear?.sounding ?? ""} @lw-note=${(e: CustomEvent<string>) => void this.tapped(e.detail)}></lw-harp>
      <div class="tools enter">
        <button @click=${() => this.enter(".")}>Rest</button>
        <button @click=${() => this.enter("-")}>Hold</button>
        <button @click=${does((d, room, at) => parted(d, room, at, 2))}>In two</button>
        <button @click=${does((d, room, at) => parted(d, room, at, 3))}>In three</button>
        <button @click=${does((d, room, at) => parted(d, room, at, 4))}>In four</button>
        <button @click=${does(takenBack)}>Take back</button>
        <label
          >Gesture
          <select
            @change=${(e: Event) => {
              const select = e.target as HTMLSelectElement;
              if (select.value) this.change(gestured(this.view.state.doc, this.room, this.selection, select.value));
              select.value = "";
            }}
          >
            <option value="">of the last note</option>
            ${Object.keys(gestures).map((g) => html`<option value=${g}>${g}</option>`)}
          </select></label
        >
        <button aria-pressed=${this.ear?.on ?? false} @click=${() => void this.listen()}>${this.ear?.on ? "Listening" : "Enter by playing"}</button>
      </div>
      ${this.ear?.on ? html`<p class="live">${this.ear.live ? html`you: <b>${this.ear.live}</b>` : html`<span class="soft">play a note: it is written when it ends</span>`}</p>` : nothing}
      ${this.ear?.trouble ? html`<p class="notice" role="alert">${this.ear.trouble}</p>` : nothing}`;
  }

  private async listen(): Promise<void> {
    this.transport.stop();
    if (this.now) await this.ear?.turn(this.now.part.text);
  }

  private startsDialog(): TemplateResult {
    const choice = (start: Start, more: boolean) => html`<li>
      <button @click=${() => this.begin(start, more)}><b>${start.name}</b> <span>${start.words}</span></button>
    </li>`;
    return html`<dialog id="starts" aria-labelledby="starts-title">
      <div class="line">
        <h2 id="starts-title">Begin with</h2>
        <button @click=${(e: Event) => (e.target as HTMLElement).closest("dialog")!.close()}>Close</button>
      </div>
      <p class="soft small">A new text takes the place of this one; undo brings it back.</p>
      <ul>
        ${starts.map((s) => choice(s, false))}
      </ul>
      <h3>Or one lick more, in a lesson with this one</h3>
      <ul>
        ${starts.map((s) => choice(s, true))}
      </ul>
    </dialog>`;
  }

  /** For who makes files of it (take-away.ts). */
  get takeAway(): TakeAway | null {
    return this.querySelector("lw-take-away");
  }
}

customElements.define("lw-writing", Writing);

function colours(engine: Engine): void {
  const sheet = document.createElement("style");
  const day = engine.colours("", false);
  const night = engine.colours("", true);
  sheet.textContent = `:root{${day}}@media(prefers-color-scheme:dark){:root:not([data-look=day]){${night}}}:root[data-look=night]{${night}}@media print{:root{${day}}}`;
  document.head.append(sheet);
}

const page = document.querySelector<Writing>("lw-writing")!;
page.open().then(
  () => {
    colours(page.engine);
    document.documentElement.dataset["ready"] = "yes";
  },
  (error: unknown) => {
    const notice = document.getElementById("notice")!;
    notice.textContent = error instanceof Error ? error.message : "The page could not start. Load it again.";
    notice.hidden = false;
  },
);
