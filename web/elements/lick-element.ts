// SPDX-License-Identifier: Apache-2.0
//
// What every element of a lick shares: the lick's text, from its attribute or from between its tags, and the engine, given by
// the page of ours around it or else the page's own.
import { LitElement, type PropertyDeclarations } from "lit";
import type { Engine } from "../engine/engine";
import { pageEngine } from "../engine/home";
import { wearColours } from "./colours";
import { textInside } from "./lick-text";

export class LickElement extends LitElement {
  static override properties: PropertyDeclarations = {
    lick: { type: String },
    engine: { attribute: false },
  };
  declare lick: string;
  declare engine: Engine | undefined;

  constructor() {
    super();
    this.lick = "";
  }

  override connectedCallback(): void {
    super.connectedCallback();
    if (!this.lick) textInside(this, (lick) => (this.lick ||= lick));
    if (!this.engine) void this.embedded();
  }

  /** In somebody's page: with the page's engine and in colours of its own. */
  private async embedded(): Promise<void> {
    const engine = await pageEngine();
    if (this.engine) return;
    this.engine = engine;
    wearColours(this.renderRoot as ShadowRoot, engine);
  }
}
