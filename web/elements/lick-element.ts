// SPDX-License-Identifier: Apache-2.0
//
// What every element of a lick shares: the lick's text, from its attribute or from between its tags, and the engine, given by
// the page of ours around it or else the page's own.
import { LitElement, nothing, type PropertyDeclarations, type TemplateResult } from "lit";
import type { Engine } from "../engine/engine";
import { pageEngine } from "../engine/home";
import { wearColours } from "./colours";
import { faultsOf } from "./lick-faults";
import { textInside } from "./lick-text";

export class LickElement extends LitElement {
  static override properties: PropertyDeclarations = {
    lick: { type: String },
    engine: { attribute: false },
  };
  declare lick: string;
  declare engine: Engine | undefined;
  /** In somebody's page, where nobody else tells its writer what is wrong with a lick. */
  protected alone = false;

  constructor() {
    super();
    this.lick = "";
  }

  override connectedCallback(): void {
    super.connectedCallback();
    if (!this.lick) textInside(this, (lick) => (this.lick ||= lick));
    if (!this.engine) void this.embedded();
  }

  /** What keeps the lick from being shown, in its place; an empty one as well. */
  protected wrong(): TemplateResult | typeof nothing {
    const reading = this.alone && this.engine ? this.engine.read(this.lick) : null;
    return reading && !reading.ok ? faultsOf(reading) : nothing;
  }

  /** In somebody's page: with the page's engine and in colours of its own. */
  private async embedded(): Promise<void> {
    const engine = await pageEngine();
    if (this.engine) return;
    this.alone = true;
    this.engine = engine;
    wearColours(this.renderRoot as ShadowRoot, engine);
  }
}
