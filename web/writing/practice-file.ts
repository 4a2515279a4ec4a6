// SPDX-License-Identifier: Apache-2.0
//
// A finished practice page, without any server. The page carries the practice page as it was built, packed, its places
// open; its fonts are the ones this page uses itself. workshop/pack/practice_page.cpp does the same for a pack.
import { micromark } from "micromark";
import { partOfPage, unpackedPart } from "../engine/embedded";
import { packedPracticeModule } from "../engine/packed";
import type { Written } from "./document";

const escaped = (text: string) =>
  text.replace(/[&<>"']/g, (c) => ({ "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;" })[c]!);

/** JSON inside a script element must not end it. */
const inScript = (value: unknown) => JSON.stringify(value).replaceAll("<", "\\u003c");

/** HTML of a lesson or of one lick; the document must be without errors. `house` is the teacher or the school. */
export async function practicePage(doc: Written, house: string): Promise<string> {
  const licks: { source: string; prose: string }[] = [];
  let before = "";
  let intro = "";
  for (const passage of doc.lesson?.passages ?? [0]) {
    if (typeof passage === "string") {
      before += micromark(passage);
      continue;
    }
    // What stands before the first lick greets the reader.
    if (licks.length === 0) {
      intro = before;
      before = "";
    }
    licks.push({ source: doc.parts[passage]!.text, prose: before });
    before = "";
  }
  const title = doc.title || "Licks to practise";
  const places: Record<string, string> = {
    title: escaped(title),
    house: escaped(house),
    intro,
    lesson: inScript({ title, house, site: "", colour: "", licks, outro: before }),
    regular: partOfPage("lw-font-400"),
    bold: partOfPage("lw-font-700"),
    engine: await packedPracticeModule(),
  };
  const template = new TextDecoder().decode(await unpackedPart("lw-practice"));
  return template.replace(/\{\{(\w+)\}\}/g, (all, place: string) => places[place] ?? all);
}
