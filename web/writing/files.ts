// SPDX-License-Identifier: Apache-2.0
//
// Real files: opened and saved in place where the browser can (File System Access), else through its file dialog and its
// downloads.

interface Handle {
  name: string;
  getFile(): Promise<File>;
  createWritable(): Promise<{ write(data: Blob): Promise<void>; close(): Promise<void> }>;
}
interface Pickers {
  showOpenFilePicker?(options: object): Promise<Handle[]>;
  showSaveFilePicker?(options: object): Promise<Handle>;
}
const pickers = window as unknown as Pickers;

const types = [{ description: "Licks and lessons", accept: { "text/plain": [".lick"], "text/markdown": [".md"] } }];
const cancelled = (error: unknown) => error instanceof DOMException && error.name === "AbortError";

/** A file that is no text; its words say what was expected. */
export class NoText extends Error {}

/** The text of a file in UTF-8 without the control signs that only other kinds of file hold. */
async function textOf(file: File): Promise<string> {
  try {
    const text = new TextDecoder("utf-8", { fatal: true }).decode(await file.arrayBuffer());
    if (!/[\u0000-\u0008\u000e-\u001f]/.test(text)) return text;
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
  }
  throw new NoText(`${file.name} is not a text, so it was not opened. A lick (.lick) or a lesson (.md) is expected, as plain text in UTF-8.`);
}

/** The file that is open, when it can be written again. */
let current: Handle | null = null;

export function forget(): void {
  current = null;
}

/** A text and its name, or null when nobody chose one. */
export async function open(): Promise<{ name: string; text: string } | null> {
  if (pickers.showOpenFilePicker) {
    try {
      const [handle] = await pickers.showOpenFilePicker({ types });
      if (!handle) return null;
      const text = await textOf(await handle.getFile());
      current = handle;
      return { name: handle.name, text };
    } catch (error) {
      if (cancelled(error)) return null;
      throw error;
    }
  }
  const input = document.createElement("input");
  input.type = "file";
  input.accept = ".lick,.md,.txt,text/plain,text/markdown";
  const file = await new Promise<File | null>((done) => {
    input.onchange = () => done(input.files?.[0] ?? null);
    input.oncancel = () => done(null);
    input.click();
  });
  if (!file) return null;
  const text = await textOf(file);
  current = null;
  return { name: file.name, text };
}

/** Saves into the open file, or asks where. Gives the name; null when nobody chose one. `anew` asks in any case. */
export async function save(name: string, text: string, anew = false): Promise<string | null> {
  const blob = new Blob([text], { type: "text/plain" });
  if (!pickers.showSaveFilePicker) {
    download(name, blob);
    return name;
  }
  try {
    if (anew || !current || kind(current.name) !== kind(name))
      current = await pickers.showSaveFilePicker({ types, suggestedName: name });
    const to = await current.createWritable();
    await to.write(blob);
    await to.close();
    return current.name;
  } catch (error) {
    if (cancelled(error)) return null;
    current = null;
    throw error;
  }
}

const kind = (name: string) => name.slice(name.lastIndexOf("."));

export function download(name: string, blob: Blob): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  window.setTimeout(() => URL.revokeObjectURL(link.href), 10000);
}

/** A file name out of a title: `Porch Light` becomes `porch-light`. */
export function slug(title: string): string {
  return (
    title
      .normalize("NFKD")
      .replace(/[\u0300-\u036f]/g, "")
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, "-")
      .replace(/^-|-$/g, "")
      .slice(0, 60) || "lick"
  );
}
