// SPDX-License-Identifier: Apache-2.0
//
// What travels inside the page: the engine's module and the fonts, gzip, five signs for four bytes, in script elements that no browser
// runs. The module is compiled once; workers get the compiled one.

let compiled: Promise<WebAssembly.Module> | null = null;

/** The engine's module out of `<script id="lw-engine">`. Fails with words for the reader when the browser is too old. */
export function embeddedModule(): Promise<WebAssembly.Module> {
  return (compiled ??= unpack());
}

/** The text font in its two weights; the picture is laid out for it. Where it cannot be loaded another steps in. */
export async function embeddedFonts(): Promise<void> {
  for (const weight of ["400", "700"]) {
    const face = new FontFace("Atkinson Hyperlegible Next", await bytesOf(`lw-font-${weight}`), { weight });
    document.fonts.add(await face.load());
  }
}

async function unpack(): Promise<WebAssembly.Module> {
  return WebAssembly.compile(await bytesOf("lw-engine"));
}

async function bytesOf(id: string): Promise<ArrayBuffer> {
  const text = document.getElementById(id)?.textContent?.trim();
  if (!text) throw new Error("The page is not whole: a part of it is missing. Load it again.");
  if (typeof DecompressionStream === "undefined")
    throw new Error("This browser is too old for the page: it needs one from 2023 or later.");
  const packed = decoded(text);
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Response(stream).arrayBuffer();
}

/** 85 signs that mean nothing to HTML: four bytes are five of them, a twentieth less than base64. */
const signs = (() => {
  const values = new Uint8Array(128);
  let next = 0;
  for (let c = 33; c < 127 && next < 85; ++c) if (!"\"&'<\\`{}".includes(String.fromCharCode(c))) values[c] = next++;
  return values;
})();

/** The first group is the number of bytes that follow. */
export function decoded(text: string): Uint8Array<ArrayBuffer> {
  const group = (at: number) => {
    let n = 0;
    for (let i = 0; i < 5; ++i) n = n * 85 + signs[text.charCodeAt(at + i)]!;
    return n;
  };
  const size = group(0);
  const bytes = new DataView(new ArrayBuffer((size + 3) & ~3));
  for (let at = 5, to = 0; to < size; at += 5, to += 4) bytes.setUint32(to, group(at));
  return new Uint8Array(bytes.buffer, 0, size);
}
