// SPDX-License-Identifier: Apache-2.0
//
// What travels inside a page or a script: the engine's module and the fonts, gzip, five signs for four bytes. Here they
// become what they were. The module is compiled while it is still being unpacked; workers get the compiled one.

/** The text font in its two weights; the picture is laid out for it. Where it cannot be loaded another steps in. */
export async function addFonts(packed: { weight: string; text: string }[]): Promise<void> {
  await Promise.all(
    packed.map(async ({ weight, text }) => {
      const face = new FontFace("Atkinson Hyperlegible Next", await new Response(unpacked(text)).arrayBuffer(), { weight });
      document.fonts.add(await face.load());
    }),
  );
}

/** The engine's module. Fails with words for the reader when the browser is too old. */
export function compiled(packed: string): Promise<WebAssembly.Module> {
  const module = new Response(unpacked(packed), { headers: { "content-type": "application/wasm" } });
  return WebAssembly.compileStreaming(module);
}

/** The text of a part of this page: a script element that no browser runs. */
export function partOfPage(id: string): string {
  const text = document.getElementById(id)?.textContent?.trim();
  if (!text) throw new Error("The page is not whole: a part of it is missing. Load it again.");
  return text;
}

/** A part of this page that travels packed. */
export async function unpackedPart(id: string): Promise<ArrayBuffer> {
  return new Response(unpacked(partOfPage(id))).arrayBuffer();
}

function unpacked(text: string): ReadableStream<Uint8Array<ArrayBuffer>> {
  if (typeof DecompressionStream === "undefined")
    throw new Error("This browser is too old for the page: it needs one from 2023 or later.");
  return new Blob([decoded(text)]).stream().pipeThrough(new DecompressionStream("gzip"));
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
