// SPDX-License-Identifier: Apache-2.0
//
// How everything looks: the sheet's own colours (they come from the engine as custom properties), one text font, and
// shapes that speak without colour.
import { css } from "lit";

export const look = css`
  :host {
    display: block;
  }
  /* What a page around us may have set for everything it holds; its size of text is ours too. */
  :host > * {
    color: var(--lw-ink);
    font: 400 1em/1.45 "Atkinson Hyperlegible Next", "Atkinson Hyperlegible", system-ui, sans-serif;
    letter-spacing: normal;
    word-spacing: normal;
    text-align: start;
    text-indent: 0;
    text-transform: none;
    text-shadow: none;
    white-space: normal;
  }
  * {
    box-sizing: border-box;
  }
  [hidden] {
    display: none !important;
  }
  h2,
  h3,
  p,
  ol,
  ul {
    margin: 0;
  }
  button,
  select,
  input {
    font: inherit;
    color: inherit;
  }
  button,
  select {
    min-height: 2.75em;
    padding: 0.4em 1em;
    border: 1.5px solid var(--lw-ink);
    border-radius: 0.7em;
    background: var(--lw-paper);
    cursor: pointer;
  }
  button {
    font-weight: 700;
  }
  button[aria-pressed="true"] {
    background: var(--lw-ink);
    color: var(--lw-paper);
  }
  button.main {
    background: var(--lw-ink);
    color: var(--lw-paper);
    min-width: 6.2em;
  }
  button:disabled {
    cursor: default;
    border-style: dashed;
  }
  @media (hover: hover) {
    button:hover:not(:disabled),
    select:hover {
      box-shadow: 0 0 0 2px var(--lw-rule);
    }
  }
  :focus-visible {
    outline: 3px solid var(--lw-accent);
    outline-offset: 2px;
  }
  input[type="range"] {
    width: 100%;
    accent-color: var(--lw-accent);
    height: 1.75em;
    margin: 0;
  }
  .soft {
    color: var(--lw-soft);
  }
`;
