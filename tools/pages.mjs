#!/usr/bin/env node
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Builds the pages: script and style bundled, engine and fonts packed, all in one file. The lesson's own places
// ({{title}}, {{house}}, {{intro}}, {{lesson}}) stay open for `pack` to fill. Beside them the script with our elements for
// pages of others.
//
//   node tools/pages.mjs ENGINE.wasm FOLDER
import { build } from "esbuild";
import { mkdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";

const [, , wasm, folder] = process.argv;
if (!folder) {
  console.error("usage: node tools/pages.mjs ENGINE.wasm FOLDER");
  process.exit(2);
}
const top = join(dirname(fileURLToPath(import.meta.url)), "..");
const web = join(top, "web");
const options = { bundle: true, minify: true, write: false, format: "esm", target: "es2022", legalComments: "eof", logLevel: "warning" };

/** `worker:FILE` is that file, bundled, as a text. */
const workers = {
  name: "worker",
  setup(b) {
    b.onResolve({ filter: /^worker:/ }, (a) => ({ path: resolve(a.resolveDir, a.path.slice(7)), namespace: "worker" }));
    b.onLoad({ filter: /.*/, namespace: "worker" }, async (a) => {
      const made = await build({ ...options, entryPoints: [a.path], format: "iife" });
      return { contents: made.outputFiles[0].text, loader: "text" };
    });
  },
};

// The same signs as web/engine/embedded.ts reads.
const signs = Array.from({ length: 94 }, (_, i) => String.fromCharCode(33 + i)).filter((c) => !"\"&'<\\`{}".includes(c)).slice(0, 85);
function encoded(bytes) {
  const group = (n) => {
    let text = "";
    for (let i = 0; i < 5; ++i, n = Math.floor(n / 85)) text = signs[n % 85] + text;
    return text;
  };
  const whole = Buffer.concat([bytes, Buffer.alloc((4 - (bytes.length % 4)) % 4)]);
  const parts = [group(bytes.length)];
  for (let i = 0; i < whole.length; i += 4) parts.push(group(whole.readUInt32BE(i)));
  return parts.join("");
}
const packed = (file) => encoded(gzipSync(readFileSync(file), { level: 9 }));
const font = (weight, name) =>
  packed(join(top, "node_modules/@expo-google-fonts/atkinson-hyperlegible-next", `${weight}${name}/AtkinsonHyperlegibleNext_${weight}${name}.ttf`));

/** `packed:engine`, `packed:font-400` are those, packed, as a text. */
const parts = { engine: packed(wasm), "font-400": font("400", "Regular"), "font-700": font("700", "Bold") };
const packs = {
  name: "packed",
  setup(b) {
    b.onResolve({ filter: /^packed:/ }, (a) => ({ path: a.path.slice(7), namespace: "packed" }));
    b.onLoad({ filter: /.*/, namespace: "packed" }, (a) => ({ contents: parts[a.path], loader: "text" }));
  },
};

const kb = (text) => `${Math.round(text.length / 1000)} KB`;
function written(name, text) {
  mkdirSync(folder, { recursive: true });
  const file = join(folder, name);
  writeFileSync(`${file}.new`, text);
  renameSync(`${file}.new`, file);
  return `pages: ${file}, ${kb(text)}`;
}

async function page(name) {
  const script = await build({ ...options, entryPoints: [join(web, name, `${name}.ts`)], plugins: [workers] });
  const style = await build({ ...options, entryPoints: [join(web, name, `${name}.css`)] });
  const places = {
    // A script element ends at its first end tag, wherever that stands.
    script: script.outputFiles[0].text.replaceAll("</script", "<\\/script"),
    style: style.outputFiles[0].text.trim(),
    engine: parts.engine,
    regular: parts["font-400"],
    bold: parts["font-700"],
  };
  const html = readFileSync(join(web, name, `${name}.html`), "utf8").replace(/\{\{(\w+)\}\}/g, (all, place) => places[place] ?? all);
  const said = written(`${name}.html`, html);
  console.log(`${said}: engine ${kb(places.engine)}, fonts ${kb(places.regular + places.bold)}, script ${kb(places.script)}, style ${kb(places.style)}`);
}

async function elements() {
  const script = await build({ ...options, format: "iife", entryPoints: [join(web, "embed/lickwright-elements.ts")], plugins: [packs],
    banner: { js: "/* Lickwright elements: Apache-2.0. Words: Atkinson Hyperlegible Next, music: Bravura, both SIL OFL 1.1. Lit: BSD-3-Clause. */" } });
  console.log(written("lickwright-elements.js", script.outputFiles[0].text));
}

await page("practice");
await elements();
