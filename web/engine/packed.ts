// SPDX-License-Identifier: Apache-2.0
//
// The other way round: bytes as a page carries them (embedded.ts), for a page that writes pages. And the practice page's
// module out of this page's own: both are one engine, so all but a little is copied. tools/pages.mjs writes the recipe.
import { unpackedPart } from "./embedded";

const signs = Array.from({ length: 94 }, (_, i) => String.fromCharCode(33 + i))
  .filter((c) => !"\"&'<\\`{}".includes(c))
  .slice(0, 85);

/** Five signs for four bytes, most significant first; the first group is the number of bytes. */
export function encoded(bytes: Uint8Array): string {
  const parts: string[] = [];
  const put = (n: number) => {
    let text = "";
    for (let i = 0; i < 5; ++i, n = Math.floor(n / 85)) text = signs[n % 85]! + text;
    parts.push(text);
  };
  put(bytes.length);
  const whole = new Uint8Array((bytes.length + 3) & ~3);
  whole.set(bytes);
  const view = new DataView(whole.buffer);
  for (let at = 0; at < whole.length; at += 4) put(view.getUint32(at));
  return parts.join("");
}

/** The recipe: how many bytes of numbers follow; the size of the result; then again and again how many new bytes, and a copy
 * out of the base (distance from the end of the last one, zigzag; length). Behind the numbers lie the new bytes. Numbers
 * are LEB128. */
export function patched(base: Uint8Array, recipe: Uint8Array): Uint8Array<ArrayBuffer> {
  let at = 0;
  const number = () => {
    let n = 0;
    for (let shift = 1; ; shift *= 128) {
      const byte = recipe[at++]!;
      n += (byte & 127) * shift;
      if (byte < 128) return n;
    }
  };
  let bytes = number();
  bytes += at;
  const out = new Uint8Array(number());
  let from = 0;
  for (let to = 0; to < out.length; ) {
    const fresh = number();
    out.set(recipe.subarray(bytes, bytes + fresh), to);
    bytes += fresh;
    to += fresh;
    if (to >= out.length) break;
    const jump = number();
    from += jump % 2 === 0 ? jump / 2 : -(jump + 1) / 2;
    const length = number();
    out.set(base.subarray(from, from + length), to);
    to += length;
    from += length;
  }
  return out;
}

/** The practice page's module, packed as that page carries it. */
export async function packedPracticeModule(): Promise<string> {
  const [base, recipe] = await Promise.all([unpackedPart("lw-engine"), unpackedPart("lw-practice-engine")]);
  const module = patched(new Uint8Array(base), new Uint8Array(recipe));
  const stream = new Blob([module]).stream().pipeThrough(new CompressionStream("gzip"));
  return encoded(new Uint8Array(await new Response(stream).arrayBuffer()));
}
