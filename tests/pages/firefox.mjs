// SPDX-License-Identifier: GPL-3.0-or-later
//
// Both pages in Firefox, from a file and from http on this machine, without a microphone: they open, draw, play, loop, change
// tempo and harp, remember, go by keys, and say that there is no microphone; a lick is written, broken, mended and taken away.
// The sound is tapped where it leaves, as in Chromium.
//
//     node firefox.mjs FIREFOX PULSEAUDIO PRACTICE WRITING [FOLDER FOR PICTURES]
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { basename, dirname, join } from "node:path";
import { pathToFileURL } from "node:url";
import { Firefox } from "./bidi.mjs";
import { assert, check, finish, served } from "./browser.mjs";
import { fitted, samplesOf, tappedSound, tapSound } from "./heard.mjs";

const [, , program, pulse, practice, writing, pictures] = process.argv;
if (!existsSync(program)) {
  console.log("skipped: there is no Firefox (tools/setup --tests brings Debian's)");
  process.exit(77);
}
const model = JSON.parse(readFileSync(`${practice}.json`, "utf8"));
const { parseMidi } = createRequire(import.meta.url)("midi-file");
const firefox = await Firefox.launched(program, pulse);
const site = await served(dirname(practice));
const views = async (name) => {
  if (!pictures) return;
  for (const look of ["day", "night"])
    for (const width of [1440, 390]) {
      await firefox.ask((l) => { document.documentElement.dataset.look = l; const s = document.querySelector("#look"); if (s) { s.value = l; s.dispatchEvent(new Event("change")); } }, look);
      writeFileSync(join(pictures, `${name}-${look}-${width}.png`), await firefox.photograph(width, 900));
    }
};
const transport = (what, ...given) => firefox.ask(`(...g) => (${what})(document.querySelector("lw-practice").player.transport, ...g)`, ...given);
const opened = async (url) => {
  await firefox.send("browsingContext.setViewport", { context: firefox.context, viewport: { width: 1280, height: 900 } });
  await firefox.open(url);
  await firefox.until(() => "ready" in document.documentElement.dataset && !!(document.querySelector("lw-practice")?.player?.picture ?? document.querySelector("lw-picture")?.picture));
};

// A lies three half steps under C.
for (const [where, at, harp, cents] of [["from a file", (f) => pathToFileURL(f).href, "C", 0], ["from http", (f) => `${site.url}/${basename(f)}`, "A", -300]]) {
  await firefox.renew();
  await check(`${where}: the practice page opens and draws`, async () => {
    await opened(at(practice));
    assert.ok(await firefox.ask(() => document.querySelector("lw-practice").player.picture.notes.length) > 3);
  });
  await check(`${where}: by keys alone it plays, and slows down; the place mark moves`, async () => {
    const seen = [];
    for (let i = 0; i < 40 && seen.at(-1) !== "Play"; ++i) {
      await firefox.press("Tab");
      seen.push(await firefox.ask(() => {
        let e = document.activeElement;
        while (e?.shadowRoot?.activeElement) e = e.shadowRoot.activeElement;
        return e?.textContent?.trim().slice(0, 20) || e?.id;
      }));
    }
    assert.equal(seen.at(-1), "Play", `not reached: ${seen}`);
    await transport("(t) => t.set({ countIn: false, percent: 100 })");
    await firefox.press("Space");
    await firefox.until(() => document.querySelector("lw-practice").player.transport.beat > 0.2);
    const first = await transport("(t) => [t.beat, t.player.destination.context.currentTime]");
    await firefox.press("-");
    assert.equal(await transport("(t) => t.percent"), 95);
    await new Promise((r) => setTimeout(r, 400));
    const then = await transport("(t) => [t.beat, t.player.destination.context.currentTime]");
    assert.ok(then[0] > first[0] && then[1] > first[1], `${first} then ${then}`);
    await firefox.press("Escape");
    assert.equal(await transport("(t) => t.playing"), false);
  });
  await check(`${where}: what leaves for the speakers is the lick on a harp in ${harp}`, async () => {
    await firefox.ask(tapSound);
    await transport("(t, harp) => { t.set({ harp, percent: 130, clicks: false }); t.setRounds(false); }", harp);
    await firefox.ask(() => { window.tapped.parts = []; });
    await transport("(t) => void t.play()");
    await firefox.until(() => document.querySelector("lw-practice").player.transport.playing);
    await firefox.until(() => !document.querySelector("lw-practice").player.transport.playing);
    const { rate, samples } = samplesOf(await firefox.ask(tappedSound));
    const fit = fitted(samples, rate, model[0].notes, 100 / 130, cents);
    assert.ok(fit.score >= fit.of - 1, `${harp}: ${fit.score} of ${fit.of} plain notes at their pitch`);
    const sorted = fit.off.map(Math.abs).sort((a, b) => a - b);
    assert.ok(sorted[sorted.length >> 1] < 6, `${harp}: ${sorted[sorted.length >> 1]} cents off at the median`);
    await transport('(t) => t.set({ harp: "C" })');
  });
  await check(`${where}: a part is chosen by dragging, and goes round`, async () => {
    const [from, to] = await firefox.ask(() => {
      const e = document.querySelector("lw-practice").player.renderRoot.querySelector("lw-picture");
      e.scrollIntoView({ block: "center" });
      const r = e.getBoundingClientRect();
      const scale = r.width / e.picture.width;
      const [, top, , bottom] = e.picture.systems[0];
      return [4, 6].map((beat) => ({ x: r.left + e.picture.track.find((t) => t[0] === beat)[2] * scale, y: r.top + ((top + bottom) / 2) * scale }));
    });
    await firefox.drag(from, to);
    assert.deepEqual(await transport("(t) => t.chosen"), [4, 6]);
    await transport("(t) => { t.set({ percent: 130 }); t.setRounds(true); return t.play(); }");
    await firefox.until(() => document.querySelector("lw-practice").player.transport.player.place()?.round >= 1);
    const beat = await transport("(t) => { const b = t.beat; t.stop(); return b; }");
    assert.ok(beat >= 4 - 1e-6 && beat <= 6 + 1e-6, `${beat}`);
  });
  await check(`${where}: another harp keeps the tab; choices are remembered`, async () => {
    const tabs = () => firefox.ask(() => document.querySelector("lw-practice").player.picture.notes.map((n) => n.tab).join(" "));
    const tab = await tabs();
    await transport('(t) => t.set({ harp: "A", percent: 83 })');
    await firefox.until(() => document.querySelector("lw-practice").player.picture.harp === "A");
    assert.equal(await tabs(), tab);
    await opened(at(practice));
    assert.deepEqual(await transport("(t) => [t.harp, t.percent]"), ["A", 83]);
  });
  await check(`${where}: without a microphone it says so, and plays on`, async () => {
    await firefox.ask(() => [...document.querySelector("lw-practice").querySelectorAll("button"), ...document.querySelector("lw-practice").renderRoot.querySelectorAll("button")].find((b) => b.textContent.trim() === "Listen").click());
    await firefox.until(() => /No microphone was found|was not allowed|could not be opened/.test(document.querySelector("lw-practice").renderRoot.querySelector("[role=alert]")?.textContent ?? ""));
    await transport("(t) => t.play()");
    await firefox.until(() => document.querySelector("lw-practice").player.transport.beat !== null);
    await transport("(t) => t.stop()");
    await views(`practice-${where.split(" ").at(-1)}`);
  });
  await check(`${where}: a lick is written, broken and mended`, async () => {
    await opened(at(writing));
    await firefox.ask(() => document.querySelector("lw-writing").view.focus());
    await firefox.press("Control+a");
    await firefox.type("title: Quay");
    await firefox.press("Enter");
    await firefox.type("tab | 2d 3d' 4b 4d |");
    const faults = () => firefox.ask(() => document.querySelector("lw-writing").doc.faults.map((f) => f.slug));
    await firefox.until(() => document.querySelector("lw-picture").picture?.notes.map((n) => n.tab).join(" ") === "2d 3d' 4b 4d");
    assert.deepEqual(await faults(), []);
    await firefox.ask(() => { const v = document.querySelector("lw-writing").view; v.dispatch({ selection: { anchor: v.state.doc.toString().indexOf("3d'") + 3 } }); });
    await firefox.type("'''");
    await firefox.until(() => document.querySelector(".cm-lintRange-error")?.textContent === "3d''''");
    assert.deepEqual(await faults(), ["bend-too-deep"]);
    await firefox.press("Control+z");
    await firefox.until(() => document.querySelector("lw-writing").doc.faults.length === 0);
    // Given away with a name that no earlier round gave.
    const name = `quay-${where.split(" ").at(-1)}`;
    await firefox.ask((title) => { const v = document.querySelector("lw-writing").view; v.dispatch({ changes: { from: 7, to: v.state.doc.line(1).to, insert: title } }); }, name);
    await firefox.until((title) => document.querySelector("lw-take-away h3#away-one").textContent === title, name);
    await firefox.ask(() => [...document.querySelectorAll("lw-take-away button")].find((b) => b.textContent.trim() === "MIDI").click());
    // Read by midi-file. On a C harp (Richter tuning): 2 draw G4, 3 draw B4 and pulled down a half step by the bender, 4 blow C5, 4 draw D5.
    const track = parseMidi(await firefox.taken(`${name}.mid`)).tracks.find((t) => t.some((e) => e.type === "noteOn" && e.channel !== 9));
    const struck = track.filter((e) => e.type === "noteOn" && e.velocity > 0);
    assert.deepEqual(struck.map((e) => e.noteNumber), [67, 71, 72, 74]);
    const second = track.slice(track.indexOf(struck[1]) - 2, track.indexOf(struck[2]));
    assert.ok(second.some((e) => e.type === "pitchBend" && e.value < 0), "the bend is not there");
    await views(`writing-${where.split(" ").at(-1)}`);
  });
}
await check("complains of nothing", () => 
  // The test taps the sound through an old node; the page has none.
  assert.deepEqual(firefox.complaints.filter((c) => !/ScriptProcessor/.test(c)), []));
site.close();
await firefox.close();
finish();
