// SPDX-License-Identifier: GPL-3.0-or-later
// An SVG as PNG by resvg, a renderer that has nothing to do with ours: node resvg.mjs IN.svg OUT.png ZOOM
import { readFileSync, writeFileSync } from "node:fs";
import { Resvg } from "@resvg/resvg-js";

const [from, to, zoom] = process.argv.slice(2);
const image = new Resvg(readFileSync(from, "utf8"), {
  fitTo: { mode: "zoom", value: Number(zoom) },
  font: { loadSystemFonts: false }, // words are shapes; a font that steps in would hide a fault
});
writeFileSync(to, image.render().asPng());
