// SPDX-License-Identifier: Apache-2.0
//
// The practice page: a lesson's licks, each a card that plays and listens. Everything is in the page; nothing is fetched.
import workerText from "worker:../engine/ear-worker.ts";
import { addFonts, compiled, partOfPage } from "../engine/embedded";
import { Engine } from "../engine/engine";
import { Memory } from "../engine/remember";
import "./try-panel";
import type { Practice } from "./try-panel";

/** What `pack` writes into the page. */
interface Lesson {
  title: string;
  house: string;
  site: string;
  colour: string;
  outro: string;
  licks: { source: string; prose: string; ladder?: number[] }[];
}

const lesson = JSON.parse(document.getElementById("lw-lesson")?.textContent ?? "null") as Lesson | null;
const memory = new Memory(`lickwright ${lesson?.title ?? ""}`);
const notice = document.getElementById("notice")!;

function say(words: string): void {
  notice.textContent = words;
  notice.hidden = words === "";
}

function looks(engine: Engine): void {
  const sheet = document.createElement("style");
  const day = engine.colours(lesson?.colour ?? "", false);
  const night = engine.colours(lesson?.colour ?? "", true);
  // Paper is white whatever the screen is.
  sheet.textContent = `:root{${day}}:root[data-look=day]{color-scheme:light}@media screen and (prefers-color-scheme:dark){:root:not([data-look=day]){${night}}}@media screen{:root[data-look=night]{color-scheme:dark;${night}}}`;
  document.head.append(sheet);
}

function settings(): void {
  const look = document.getElementById("look") as HTMLSelectElement;
  const large = document.getElementById("large") as HTMLInputElement;
  const wear = () => {
    if (look.value === "") delete document.documentElement.dataset["look"];
    else document.documentElement.dataset["look"] = look.value;
    document.documentElement.classList.toggle("large", large.checked);
    for (const card of document.querySelectorAll<Practice>("lw-practice")) card.large = large.checked;
  };
  look.value = memory.get("look", "");
  large.checked = memory.get("large", false);
  look.onchange = large.onchange = () => {
    memory.set("look", look.value);
    memory.set("large", large.checked);
    wear();
    if (memory.trouble) say(memory.trouble);
  };
  document.getElementById("print")!.onclick = () => window.print();
  wear();
}

async function open(): Promise<void> {
  if (!lesson) throw new Error("The page is not whole: its lesson is missing. Load it again.");
  const fonts = ["400", "700"].map((weight) => ({ weight, text: partOfPage(`lw-font-${weight}`) }));
  const [module] = await Promise.all([compiled(partOfPage("lw-engine")), addFonts(fonts).catch(() => {})]);
  const engine = Engine.from(module);
  looks(engine);
  const place = document.getElementById("licks")!;
  const prose = (html: string) => {
    const words = document.createElement("div");
    words.className = "prose";
    words.innerHTML = html;
    return words;
  };
  const cards = lesson.licks.map(({ source, prose: before, ladder }, i) => {
    const card = document.createElement("lw-practice") as Practice;
    place.append(prose(before), card);
    return () => Object.assign(card, { engine, module, workerText, memory, lick: source, number: i + 1, ladder });
  });
  place.append(prose(lesson.outro));
  // One microphone at a time.
  place.addEventListener("lw-listens", (e) => {
    for (const card of place.querySelectorAll<Practice>("lw-practice")) if (!e.composedPath().includes(card)) card.silence();
  });
  place.addEventListener("lw-trouble", (e) => say((e as CustomEvent<string>).detail));
  settings();
  // The first lick can be played while the others are still being drawn, one a task.
  for (const fill of cards) {
    fill();
    await new Promise((drawn) => setTimeout(drawn));
  }
  document.documentElement.dataset["ready"] = "yes";
}

open().catch((error: unknown) => say(error instanceof Error ? error.message : "The page could not start. Load it again."));
