// SPDX-License-Identifier: Apache-2.0
//
// What is said after a try, and the tries of this machine.
import { css, html, nothing, type TemplateResult } from "lit";
import type { Verdict } from "../engine/engine";
import { clean, withClick, type Try } from "../engine/ladder";
import { blameless, mark } from "./came";

export const judgedStyle = css`
  .ear {
    border-top: 1px solid var(--lw-rule);
    margin-top: 0.8em;
    padding-top: 0.8em;
  }
  .verdict {
    font-size: 1.15em;
    font-weight: 700;
    margin: 0.7em 0 0.1em;
  }
  table {
    border-collapse: collapse;
    margin: 0.5em 0;
    font-size: 0.95em;
    width: 100%;
  }
  th,
  td {
    text-align: left;
    padding: 0.25em 0.8em 0.25em 0;
    border-bottom: 1px solid var(--lw-rule);
    font-variant-numeric: tabular-nums;
  }
  .ear > .row {
    margin-top: 0.9em;
  }
  .history {
    display: flex;
    align-items: flex-end;
    gap: 3px;
    height: 2.6em;
  }
  .history i {
    display: block;
    width: 9px;
    background: var(--lw-take);
    border-radius: 2px 2px 0 0;
  }
  .history i.full {
    border-top: 4px solid var(--lw-ink);
  }
`;

/** Fewer notes than these have no tempo of their own. */
const enough = 3;

/** The tempo of what was played in percent of the lick's own (`written` beats a minute); nothing where too little came. */
export function playedPercent(v: Verdict, written: number): number | undefined {
  const came = v.notes.filter((g) => g.came !== "missing").length;
  return came >= enough && written > 0 && v.tempo > 0 ? (100 * v.tempo) / written : undefined;
}

/** Both tempos of a try in whole beats a minute: the click's, and the learner's where it is known. */
export function temposOf(t: Pick<Try, "percent" | "played">, written: number): { click: number; played: number | null } {
  return { click: Math.round((written * t.percent) / 100), played: t.played === undefined ? null : Math.round((written * t.played) / 100) };
}

function tempoWords(t: Pick<Try, "percent" | "played">, written: number): string {
  const { click, played } = temposOf(t, written);
  return played === null ? `the click at ${click} beats a minute` : `the click at ${click}, you at ${played} beats a minute`;
}

/** How many notes came, right and besides. */
const countWords = (t: Try): string => `${t.right} of ${t.of} notes right${t.more ? `, and ${t.more} not written` : ""}`;

/** The first thing to say. Who did not hear the click is told so before anything else. */
export function sentence(v: Verdict, t: Try, written: number): string {
  const { click, played } = temposOf(t, written);
  if (!withClick(t)) return `You played at ${played}; the click was at ${click}.`;
  return v.advice[0] ?? "Every note came right and in time.";
}

/** How the try `t` went: the sentence to work on, the count, every note that came otherwise. `written` is the lick's tempo, `sounded`
 *  whether anything was heard while it went. */
export function verdictView(
  v: Verdict,
  t: Try | null,
  written: number,
  place: (note: number) => string,
  raised: string,
  sounded: boolean,
  save: () => void,
): TemplateResult {
  if (v.heard === 0 && sounded)
    return html`<p class="verdict">Something sounded, but no note of this lick. Is it the harp that is chosen above?</p>`;
  if (v.heard === 0) return html`<p class="verdict">Nothing was heard. Come closer to the microphone and try again.</p>`;
  if (!v.same_lick || !t)
    return html`<p class="verdict">That did not sound like this lick. Listen to it once more, then try again, slower.</p>`;
  const faults = v.notes.filter((g) => !blameless(g));
  return html`<div class="ear">
    <p class="verdict">${sentence(v, t, written)}</p>
    ${!withClick(t) && v.advice[0] ? html`<p>${v.advice[0]}</p>` : nothing}
    <p class="soft">
      ${countWords(t)}${withClick(t) ? html`; ${tempoWords(t, written)}` : nothing}. ${raised}
    </p>
    ${faults.length || v.extras.length
      ? html`<table>
          <thead>
            <tr>
              <th scope="col">where</th>
              <th scope="col">written</th>
              <th scope="col">how it came</th>
            </tr>
          </thead>
          <tbody>
            ${faults.map((g) => html`<tr><td>${place(g.note)}</td><td>${g.tab}</td><td>${mark(g).words}</td></tr>`)}
            ${v.extras.map((e) => html`<tr><td>before ${place(e.before) || "the end"}</td><td></td><td>${e.tab}, not written</td></tr>`)}
          </tbody>
        </table>`
      : nothing}
    <div class="row"><button @click=${save}>Save this try</button></div>
  </div>`;
}

/** The last tries as bars, a full one with a cap, and the last in words. `tempo` is the written one. */
export function historyView(tries: Try[], tempo: number): TemplateResult {
  const last = tries.slice(-24);
  const now = last[last.length - 1]!;
  return html`<div class="ear row">
    <div class="history" aria-hidden="true">
      ${last.map(
        (t) => html`<i
          class=${clean(t) ? "full" : ""}
          style="height:${Math.max(8, (100 * t.right) / (t.of + (t.more ?? 0)))}%"
          title="${countWords(t)}; ${tempoWords(t, tempo)}"
        ></i>`,
      )}
    </div>
    <p class="soft">
      ${tries.length} ${tries.length === 1 ? "try" : "tries"} on this machine; the last: ${countWords(now)};
      ${tempoWords(now, tempo)}. Each bar is a try: its height is how many notes came right, a cap on it says that it was clean.
    </p>
  </div>`;
}
