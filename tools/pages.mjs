#!/usr/bin/env node
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Builds the pages: script and style bundled, engine and fonts packed, all in one file. The lesson's own places
// ({{title}}, {{house}}, {{intro}}, {{lesson}}) stay open for `pack` to fill. Beside them the script with our elements for
// pages of others.
//
//   node tools/pages.mjs PRACTICE.wasm ENGINE.wasm FOLDER
//
// The writing page makes practice pages by itself: it carries the practice page, places open, and a recipe that makes
// the practice page's module out of its own (web/engine/packed.ts).
import { build } from "esbuild";
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, renameSync, unlinkSync, writeFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const [, , practiceModule, wholeModule, folder] = process.argv;
if (!folder) {
  console.error("usage: node tools/pages.mjs PRACTICE.wasm ENGINE.wasm FOLDER");
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
/** gzip as small as it goes (zopfli: a twentieth less than zlib's best). Seconds for an engine, so what was packed once is
 *  kept beside it. */
function packed(bytes) {
  const cache = join(dirname(practiceModule), "packed");
  const file = join(cache, createHash("sha256").update(bytes).digest("hex"));
  if (!existsSync(`${file}.gz`)) {
    mkdirSync(cache, { recursive: true });
    const own = `${file}-${process.pid}`;
    writeFileSync(own, bytes);
    execFileSync("zopfli", [own]);
    renameSync(`${own}.gz`, `${file}.gz`);
    unlinkSync(own);
  }
  return encoded(readFileSync(`${file}.gz`));
}
const font = (weight, name) =>
  packed(readFileSync(join(top, "node_modules/@expo-google-fonts/atkinson-hyperlegible-next", `${weight}${name}/AtkinsonHyperlegibleNext_${weight}${name}.ttf`)));

/** `packed:engine`, `packed:font-400` are those, packed, as a text. */
const parts = { engine: packed(readFileSync(practiceModule)), "font-400": font("400", "Regular"), "font-700": font("700", "Bold") };
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

const bundled = async (file, plugins = []) => (await build({ ...options, entryPoints: [join(web, file)], plugins })).outputFiles[0].text.trim();
// A script element ends at its first end tag, wherever that stands.
const inElement = (script) => script.replaceAll("</script", "<\\/script");
const filled = (file, places) => readFileSync(join(web, file), "utf8").replace(/\{\{(\w+)\}\}/g, (all, place) => places[place] ?? all);
const fonts = { regular: parts["font-400"], bold: parts["font-700"] };

function page(name, places) {
  const said = written(`${name}.html`, filled(`${name}/${name}.html`, places));
  console.log(`${said}: ${Object.entries(places).map(([place, text]) => `${place} ${kb(text)}`).join(", ")}`);
}

/** What makes `target` out of `base`, as web/engine/packed.ts reads it. */
function recipe(base, target) {
  const least = 24; // bytes: shorter copies cost more than they save
  const places = new Map();
  for (let i = 0; i + least <= base.length; ++i) {
    const key = base.latin1Slice(i, i + least);
    if (!places.has(key)) places.set(key, i);
  }
  const numbers = [];
  const number = (n, to = numbers) => {
    for (; n > 127; n = Math.floor(n / 128)) to.push((n % 128) + 128);
    to.push(n);
  };
  const bytes = []; // apart from the numbers: two kinds of things pack better in two heaps
  number(target.length);
  let fresh = 0;
  let last = 0;
  const take = (end) => {
    number(end - fresh);
    for (let i = fresh; i < end; ++i) bytes.push(target[i]);
  };
  for (let i = 0; i < target.length; ) {
    const from = places.get(target.latin1Slice(i, i + least));
    if (from === undefined || i + least > target.length) {
      ++i;
      continue;
    }
    let length = least;
    while (i + length < target.length && from + length < base.length && target[i + length] === base[from + length]) ++length;
    take(i);
    const jump = from - last;
    number(jump >= 0 ? 2 * jump : -2 * jump - 1);
    number(length);
    last = from + length;
    fresh = i += length;
  }
  if (fresh < target.length) take(target.length);
  const size = [];
  number(numbers.length, size);
  return Buffer.from([...size, ...numbers, ...bytes]);
}

async function elements() {
  const script = await build({ ...options, format: "iife", entryPoints: [join(web, "embed/lickwright-elements.ts")], plugins: [packs],
    banner: { js: "/* Lickwright elements: Apache-2.0. Words: Atkinson Hyperlegible Next, music: Bravura, both SIL OFL 1.1. Lit: BSD-3-Clause. */" } });
  console.log(written("lickwright-elements.js", script.outputFiles[0].text));
}

const practice = { script: inElement(await bundled("practice/practice.ts", [workers])), style: await bundled("practice/practice.css") };
page("practice", { ...practice, ...fonts, engine: parts.engine });
await elements();
const whole = readFileSync(wholeModule);
const boot = inElement(await bundled("engine/boot.ts"));
// A browser packs the engine less well than we do; the script travels packed instead, and the page stays small enough to mail.
const practiceToFill = filled("practice/practice.html", { style: practice.style, script: boot }).replace('<script type="module">',
  (module) => `<script type="text/plain" id="lw-script">${packed(practice.script)}</script>\n${module}`);
page("writing", {
  ...fonts,
  engine: packed(whole),
  boot,
  script: packed(await bundled("writing/writing.ts", [workers])),
  style: await bundled("writing/writing.css"),
  practice: packed(practiceToFill),
  recipe: packed(recipe(whole, readFileSync(practiceModule))),
});
