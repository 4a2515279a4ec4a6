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
  /* On: a bar under the word, so that it is seen without its colour and is not taken for the main button. */
  button[aria-pressed="true"] {
    background: var(--lw-band);
    box-shadow: inset 0 -0.3em 0 var(--lw-accent);
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
      outline: 2px solid var(--lw-rule);
    }
  }
  :focus-visible {
    outline: 3px solid var(--lw-accent);
    outline-offset: 2px;
  }
  input[type="range"] {
    width: 100%;
    appearance: none;
    background: linear-gradient(to right, var(--lw-accent) var(--at, 0%), var(--lw-rule) var(--at, 0%)) center / 100% 0.4em
      no-repeat;
    height: 1.75em;
    margin: 0;
    cursor: pointer;
  }
  input[type="range"]::-webkit-slider-thumb {
    appearance: none;
    width: 1.5em;
    height: 1.5em;
    border: 3px solid var(--lw-accent);
    border-radius: 50%;
    background: var(--lw-paper);
  }
  input[type="range"]::-moz-range-thumb {
    box-sizing: border-box;
    width: 1.5em;
    height: 1.5em;
    border: 3px solid var(--lw-accent);
    border-radius: 50%;
    background: var(--lw-paper);
  }
  .soft {
    color: var(--lw-soft);
  }
`;
