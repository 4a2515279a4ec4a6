// SPDX-License-Identifier: Apache-2.0
//
// The work, kept in this browser at every change. What does not fit is said, so that it can be saved as a file in time.

export interface Work {
  text: string;
  /** Of the file it came from or went to. */
  name: string;
  cursor: number;
}

const key = "lickwright writing/work";

export function kept(): Work | null {
  try {
    const work = JSON.parse(localStorage.getItem(key) ?? "null") as Work | null;
    return work && typeof work.text === "string" ? work : null;
  } catch {
    return null;
  }
}

/** Did another tab keep its work over ours? */
export const isWork = (e: StorageEvent): boolean => e.key === key;

/** Words for the writer when it could not be kept; empty when all is well. */
export function keep(work: Work): string {
  try {
    localStorage.setItem(key, JSON.stringify(work));
    return "";
  } catch {
    return "This browser cannot keep your work: its store is full or closed. Save it as a file before you leave.";
  }
}
