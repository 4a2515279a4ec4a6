// SPDX-License-Identifier: Apache-2.0
//
// Where the writing page starts: engine and fonts are unpacked, then the page opens.
import { addFonts, compiled, partOfPage } from "../engine/embedded";
import { Engine } from "../engine/engine";
import { kept, placeFor } from "./kept";
import { starts } from "./starts";
import type { Writing } from "./writing-page";
import "./writing-page";

/** What `lickwright page` wrote into the page. */
interface Begin {
  text: string;
  name: string;
}

function colours(engine: Engine): void {
  const sheet = document.createElement("style");
  const day = engine.colours("", false);
  const night = engine.colours("", true);
  sheet.textContent = `:root{${day}}:root[data-look=day]{color-scheme:light}@media(prefers-color-scheme:dark){:root:not([data-look=day]){${night}}}:root[data-look=night]{color-scheme:dark;${night}}@media print{:root{color-scheme:light;${day}}}`;
  document.head.append(sheet);
}

async function open(): Promise<void> {
  const fonts = ["400", "700"].map((weight) => ({ weight, text: partOfPage(`lw-font-${weight}`) }));
  const [module] = await Promise.all([compiled(partOfPage("lw-engine")), addFonts(fonts).catch(() => {})]);
  const engine = Engine.from(module);
  colours(engine);
  const begin = JSON.parse(partOfPage("lw-begin")) as Begin | null;
  const text = begin?.text ?? starts[1]!.text;
  const place = placeFor(text);
  const work = kept(place);
  const page = document.querySelector<Writing>("lw-writing")!;
  await page.open(module, engine, work ?? { text, name: begin?.name ?? "", cursor: 0 }, place);
  if (!work) page.toFirstRest();
  document.documentElement.dataset["ready"] = "yes";
}

open().catch((error: unknown) => {
  const notice = document.getElementById("notice")!;
  notice.textContent = error instanceof Error ? error.message : "The page could not start. Load it again.";
  notice.hidden = false;
});
