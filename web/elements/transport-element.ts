// SPDX-License-Identifier: Apache-2.0
//
// An element over a Transport: it draws itself anew whenever the transport says that a choice changed.
import { LitElement, type PropertyValues } from "lit";
import type { Transport } from "./transport";

export class TransportElement extends LitElement {
  static override properties = { transport: { attribute: false } };
  declare transport: Transport | undefined;

  private heard: Transport | undefined;
  private readonly redraw = () => this.requestUpdate();

  override connectedCallback(): void {
    super.connectedCallback();
    this.listenTo(this.transport);
  }

  override disconnectedCallback(): void {
    this.listenTo(undefined);
    super.disconnectedCallback();
  }

  override willUpdate(changed: PropertyValues): void {
    if (changed.has("transport")) this.listenTo(this.transport);
  }

  /** One transport at a time; none when the element is taken out of its page. */
  private listenTo(transport: Transport | undefined): void {
    if (transport === this.heard) return;
    this.heard?.removeEventListener("change", this.redraw);
    transport?.addEventListener("change", this.redraw);
    this.heard = transport;
  }
}
