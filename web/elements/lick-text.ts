// SPDX-License-Identifier: Apache-2.0
//
// The lick of an element that stands in somebody's page: in its `lick` attribute, or as the text between its tags.

/** Hands over the text inside, now or when the page has been read to its end. */
export function textInside(element: HTMLElement, take: (lick: string) => void): void {
  const read = () => {
    const text = flushLeft(element.textContent ?? "");
    if (text !== "") take(text);
  };
  if (document.readyState === "loading" && element.textContent?.trim() === "") document.addEventListener("DOMContentLoaded", read, { once: true });
  else read();
}

/** The lines without what all of them are set in by, and without the empty ones around them. */
export function flushLeft(text: string): string {
  const lines = text.replaceAll("\r", "").split("\n");
  const inset = Math.min(...lines.filter((l) => l.trim() !== "").map((l) => l.length - l.trimStart().length));
  const flush = lines.map((l) => l.slice(Number.isFinite(inset) ? inset : 0).trimEnd()).join("\n");
  const whole = flush.replace(/^\n+/, "").trimEnd();
  return whole === "" ? "" : `${whole}\n`;
}
