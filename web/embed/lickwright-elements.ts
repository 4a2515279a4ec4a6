// SPDX-License-Identifier: Apache-2.0
//
// One script for any page of anybody: <lw-picture> and <lw-player> with the lick's text inside the tag or in its `lick`
// attribute. Engine and fonts are in it; they are unpacked when the first element stands in a page. It is a classic script,
// because browsers load no module from file://. It leaves nothing but the two elements and the text font in the page.
import engine from "packed:engine";
import regular from "packed:font-400";
import bold from "packed:font-700";
import { addFonts, compiled } from "../engine/embedded";
import { Engine } from "../engine/engine";
import { engineFrom } from "../engine/home";
import "../elements/lick-player";

engineFrom(async () => {
  const [module] = await Promise.all([
    compiled(engine),
    addFonts([
      { weight: "400", text: regular },
      { weight: "700", text: bold },
    ]).catch(() => {}),
  ]);
  return Engine.from(module);
});
