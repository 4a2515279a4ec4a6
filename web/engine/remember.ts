// SPDX-License-Identifier: Apache-2.0
//
// What a page remembers on this machine, under one key for each lesson. A full or forbidden store loses the memory, never
// the practice: `trouble` then says so once.

export class Memory {
  /** Words for the reader when nothing can be kept; empty while all is well. */
  trouble = "";
  constructor(private readonly key: string) {}

  get<T>(name: string, otherwise: T): T {
    try {
      const text = localStorage.getItem(`${this.key}/${name}`);
      return text === null ? otherwise : (JSON.parse(text) as T);
    } catch {
      return otherwise;
    }
  }

  set(name: string, value: unknown): void {
    try {
      localStorage.setItem(`${this.key}/${name}`, JSON.stringify(value));
      this.trouble = "";
    } catch {
      this.trouble = "This browser keeps nothing for this page (its store is full or closed), so settings and tries are gone when you leave. All the rest works.";
    }
  }

  forget(name: string): void {
    try {
      localStorage.removeItem(`${this.key}/${name}`);
    } catch {
      // What is closed keeps nothing either.
    }
  }
}
