// SPDX-License-Identifier: GPL-3.0-or-later
//
// The practice page in Chromium, opened from a file: it asks nothing of a network, its sound is tapped where it leaves and
// held against the model, loops and tempo hold their place, keys alone reach everything, axe-core finds nothing.
//
//     node practice.mjs CHROMIUM PAGE
import { readFileSync, statSync } from "node:fs";
import { createRequire } from "node:module";
import { assert, check, finish, launched, opened } from "./browser.mjs";
import { fitted, samplesOf, tappedSound, tapSound } from "./heard.mjs";

const [, , program, file] = process.argv;
const model = JSON.parse(readFileSync(`${file}.json`, "utf8"));
const axe = createRequire(import.meta.url).resolve("axe-core/axe.min.js");
const browser = await launched(program);
const { page, complaints } = await opened(browser, file, { viewport: { width: 1280, height: 900 } });
const card = page.locator("lw-practice").first();

const tap = () => page.evaluate(tapSound);
const heard = async () => samplesOf(await page.evaluate(tappedSound));

await check("at most a million bytes", () => assert.ok(statSync(file).size <= 1_000_000, `${statSync(file).size} bytes`));

await check("plays the lick at its pitches and times", async () => {
  await card.evaluate((c) => { c.player.transport.setRounds(false); c.player.transport.set({ percent: 70, clicks: false, countIn: false }); });
  await card.evaluate((c) => c.player.transport.play().then(() => c.player.transport.stop()));
  await tap();
  await card.getByRole("button", { name: "Play" }).click();
  await page.waitForFunction(() => !document.querySelector("lw-practice").player.transport.playing, null, { timeout: 30000 });
  const { rate, samples } = await heard();
  const fit = fitted(samples, rate, model[0].notes, 100 / 70, 0);
  assert.ok(fit.score >= fit.of - 1, `${fit.score} of ${fit.of} plain notes at their pitch`);
  const sorted = fit.off.map(Math.abs).sort((a, b) => a - b);
  assert.ok(sorted[sorted.length >> 1] < 6, `${sorted[sorted.length >> 1]} cents off at the median`);
});

await check("another key of harp moves the sound and the key of the music, not the tab", async () => {
  const tab = await card.locator("lw-picture").evaluate((p) => p.picture.notes.map((n) => n.tab).join(" "));
  await card.locator("summary").first().click();
  await card.getByLabel("Key of the harp").selectOption("A");
  await page.waitForFunction(() => document.querySelector("lw-practice").player.picture.harp === "A");
  await page.evaluate(() => { window.tapped.parts = []; });
  await card.getByRole("button", { name: "Play" }).click();
  await page.waitForFunction(() => !document.querySelector("lw-practice").player.transport.playing, null, { timeout: 30000 });
  const { rate, samples } = await heard();
  const fit = fitted(samples, rate, model[0].notes, 100 / 70, -300);  // A lies three half steps under C
  assert.ok(fit.score >= fit.of - 1, `${fit.score} of ${fit.of} plain notes three half steps lower`);
  assert.equal(await card.locator("lw-picture").evaluate((p) => p.picture.notes.map((n) => n.tab).join(" ")), tab);
  assert.match(await card.locator("lw-player p.says").first().innerText(), /music is in E/);
  await card.getByLabel("Key of the harp").selectOption("C");
});

await check("every harp that the engine makes is in the menu, and no other", async () => {
  const { made, offered } = await card.evaluate((c) => {
    const keys = ["G", "Ab", "A", "Bb", "B", "C", "Db", "D", "Eb", "E", "F", "F#"];
    const all = ["low ", "", "high "].flatMap((octave) => keys.map((k) => octave + k));
    const select = c.player.renderRoot.querySelector("lw-choices").renderRoot.querySelector("select");
    return { made: all.filter((h) => c.engine.read(`harp: ${h}\ntab | 4d 4d 4d 4d |\n`).ok), offered: [...select.options].map((o) => o.value) };
  });
  assert.ok(made.includes("high G") && !made.includes("high A"), `${made}`);
  assert.deepEqual([...offered].sort(), [...made].sort());
});

await check("a part is chosen by dragging, loops, and keeps its place through a change of tempo", async () => {
  await card.evaluate((c) => { c.player.transport.setRounds(true); });
  const box = await card.locator("lw-picture").boundingBox();
  const places = await card.locator("lw-picture").evaluate((p) => {
    const scale = p.getBoundingClientRect().width / p.picture.width;
    const x = (beat) => p.picture.track.find((t) => t[0] === beat)[2] * scale;
    const [, top, , bottom] = p.picture.systems[0];
    return { from: x(4), to: x(7), y: ((top + bottom) / 2) * scale };
  });
  await page.mouse.move(box.x + places.from + 2, box.y + places.y);
  await page.mouse.down();
  await page.mouse.move(box.x + places.to - 40, box.y + places.y, { steps: 4 });
  await page.mouse.move(box.x + places.to, box.y + places.y, { steps: 4 });
  await page.mouse.up();
  assert.deepEqual(await card.evaluate((c) => c.player.transport.chosen), [4, 7]);
  await card.getByRole("button", { name: "Play" }).click();
  const beats = [];
  for (let i = 0; i < 24; ++i) {
    await page.waitForTimeout(150);
    if (i === 10) await card.evaluate((c) => c.player.transport.set({ percent: 110 }));
    beats.push(await card.evaluate((c) => c.player.transport.beat));
  }
  await card.getByRole("button", { name: "Stop" }).click();
  assert.ok(beats.every((b) => b >= 4 - 1e-6 && b <= 7 + 1e-6), `left the part: ${beats}`);
  assert.ok(beats.some((b, i) => i > 0 && b < beats[i - 1]), "never came round");
  assert.deepEqual(await card.evaluate((c) => c.player.transport.chosen), [4, 7]);
  await card.getByRole("button", { name: "Whole lick" }).click();
});

await check("settings are remembered", async () => {
  await page.getByLabel("Large print").check();
  await card.evaluate((c) => c.player.transport.set({ percent: 83 }));
  await page.reload();
  await page.waitForSelector("html[data-ready]");
  await page.waitForFunction(() => document.querySelector("lw-practice")?.player?.picture);
  assert.equal(await page.getByLabel("Large print").isChecked(), true);
  assert.equal(await card.evaluate((c) => c.player.transport.percent), 83);
  await page.getByLabel("Large print").uncheck();
  // Nothing has the focus on a fresh page: the next check begins at its top.
  await page.reload();
  await page.waitForFunction(() => document.querySelector("lw-practice")?.player?.picture);
});

/** What the page says when a try came without a fault, the click set to `percent` of the lick's tempo and played at `played`,
 *  with `extras` besides. */
const cleanTry = (percent, played, extras = []) => card.evaluate(async (c, [percent, played, extras]) => {
  const { transport, reading, picture } = c.player;
  transport.set({ percent });
  const notes = picture.notes.map((n, note) => ({ note, came: "right", tab: n.tab, heard: n.tab, onset: n.beat, late: 0, cents: 0, length: 1, faults: [] }));
  c.judged({ same_lick: true, likeness: 1, heard: notes.length, tempo: (reading.tempo * played) / 100, a4: 440, notes, extras, right: notes.length, advice: [], reeds: [] });
  await c.updateComplete;
  const text = (what) => c.renderRoot.querySelector(what).innerText;
  return { first: text("p.verdict"), all: text("div[role=status]"), kept: text(".history + p"), percent: transport.percent, written: reading.tempo };
}, [percent, played, extras]);

await check("a try beside the click is told so first, is not called clean, and leaves the ladder where it is", async () => {
  const bpm = (percent, { written }) => Math.round((written * percent) / 100);
  for (const played of [100, 100, 55, 65]) {
    const said = await cleanTry(60, played);
    assert.equal(said.first, `You played at ${bpm(played, said)}; the click was at ${bpm(60, said)}.`);
    assert.doesNotMatch(said.all, /in time|[Cc]lean|goes up/);
    assert.match(said.kept, new RegExp(`the click at ${bpm(60, said)}, you at ${bpm(played, said)} beats`));
    assert.equal(said.percent, 60);
  }
  // A little beside it is with it.
  const once = await cleanTry(60, 64);
  assert.equal(once.first, "Every note came right and in time.");
  assert.match(once.all, /Clean\. Once more/);
  assert.equal(once.percent, 60);
  // One beside the click between two clean ones counts for neither side.
  await cleanTry(60, 100);
  const twice = await cleanTry(60, 57);
  assert.ok(twice.percent > 60, `still at ${twice.percent}`);
  // A note too many is counted alike in the verdict and in the history, and is not clean.
  const more = await cleanTry(60, 60, [{ tab: "4b", before: 1 }]);
  for (const words of [more.all, more.kept]) assert.match(words, /(\d+) of \1 notes right, and 1 not written;/);
  assert.doesNotMatch(more.all, /[Cc]lean/);
  // At the last step there is none to go up to.
  const top = await cleanTry(130, 130);
  assert.match(top.all, /Clean, at the top of the ladder\./);
  await page.evaluate(() => localStorage.clear());
  await page.reload();
  await page.waitForFunction(() => document.querySelector("lw-practice")?.player?.picture);
});

await check("what sounds while a try is counted in is not marked, and the status says the count", async () => {
  // An ear that is told what to hear: 4 draw all the time, and each written note as it would be followed.
  await card.evaluate((c) => {
    c.ear = { rate: 48000, begin() {}, finish() {}, stop() {}, take: () => null };
    c.state = "on";
    c.player.transport.set({ percent: 130 });
    const { notes } = c.player.picture;
    const live = { tab: "4d", hole: 4, breath: "draw", cents: 0, note: notes.findIndex((n) => n.tab === "4d") };
    window.looked = [];
    const began = performance.now();
    window.hearing = setInterval(() => {
      const at = (performance.now() - began) / 1000;
      // Note 0 came half a second after the button, in the count; note 1 sounds as soon as the count is over.
      const follow = at > 0.6 ? [[0, "right", 0, 0, 0.5], [1, "right", 0, 0, at]] : undefined;
      c.heard({ at, hz: 587, sure: 1, level: -20, live, notes: [], follow });
      requestAnimationFrame(() => window.looked.push({
        counted: c.player.transport.player.place()?.beat ?? null,
        marks: [...c.marks.keys()],
        drawn: c.player.renderRoot.querySelector("lw-picture").renderRoot.querySelectorAll("[data-heard], [data-trail], .over circle[fill]:not([fill=none])").length,
        said: c.renderRoot.querySelector(".live").innerText,
      }));
    }, 50);
    void c.try();
  });
  await card.evaluate((c) => new Promise((marked) => {
    const look = () => (c.marks.size > 0 ? setTimeout(marked, 300) : setTimeout(look, 20));
    look();
  }));
  const looked = await card.evaluate((c) => {
    clearInterval(window.hearing);
    c.transport.stop();
    clearTimeout(c.timer);
    c.silence();
    return window.looked;
  });
  const first = looked.findIndex((l) => l.counted !== null);
  // A picture may be a frame behind the clock on either side of the first beat.
  const count = looked.slice(0, first - 1);
  const played = looked.slice(first + 3);
  assert.ok(count.length > 15 && played.length > 2, `${count.length} looks while it counts, ${played.length} after`);
  for (const l of count) {
    assert.deepEqual([l.marks, l.drawn], [[], 0]);
    assert.match(l.said, /^(listen to the count|count [1-4])$/);
  }
  for (const n of [1, 2, 3, 4]) assert.ok(count.some((l) => l.said === `count ${n}`), `${n} was not counted`);
  for (const l of played) {
    assert.deepEqual(l.marks, [1]);
    assert.match(l.said, /4 draw/);
  }
});

await check("a try keeps to its harp and tempo, one that ends in the count says nothing, and the part that was chosen comes back", async () => {
  /** A try with a fake ear, disturbed by `what` in the count or once the lick goes. */
  const disturbed = (when, what) => card.evaluate(async (c, [when, what]) => {
    const { transport } = c.player;
    const until = (yes) => new Promise((go) => {
      const look = () => (yes() ? go() : setTimeout(look, 10));
      look();
    });
    const asked = { harps: [], finished: 0 };
    c.ear = { rate: 48000, begin: (_, harp) => asked.harps.push(harp), finish: () => ++asked.finished, stop() {}, take: () => null };
    c.state = "on";
    transport.set({ percent: 130, harp: "C" });
    transport.choose([0, 4]);
    c.verdict = null;
    void c.try();
    await until(() => transport.playing && (transport.count > 0 || transport.player.place()?.beat != null));
    if (when === "played") await until(() => transport.count === 0 && transport.player.place()?.beat != null);
    if (what === "end") c.end();
    else transport.set(what);
    await c.updateComplete;
    const seen = { state: c.state, playing: transport.playing, chosen: transport.chosen, said: c.renderRoot.querySelector("div[role=status]").innerText, harps: [...asked.harps], finished: asked.finished };
    transport.stop();
    clearTimeout(c.timer);
    transport.set({ harp: "C" });
    transport.choose(null);
    c.silence();
    await c.updateComplete;
    return seen;
  }, [when, what]);
  const harp = await disturbed("played", { harp: "A" });
  assert.deepEqual([harp.state, harp.playing, harp.finished, harp.harps.at(-1)], ["on", false, 0, "A"]);
  assert.match(harp.said, /Another harp was chosen, so that try does not count/);
  const tempo = await disturbed("played", { percent: 90 });
  assert.deepEqual([tempo.state, tempo.playing, tempo.finished], ["on", false, 0]);
  assert.match(tempo.said, /The tempo was changed, so that try does not count/);
  const early = await disturbed("counted", "end");
  assert.deepEqual([early.state, early.finished, early.said], ["on", 0, ""]);
  for (const { chosen } of [harp, tempo, early]) assert.deepEqual(chosen, [0, 4]);
  // Once the lick goes, the end of a try is judged.
  const late = await disturbed("played", "end");
  assert.deepEqual([late.state, late.finished], ["judging", 1]);
});

await check("what is heard leaves every number its paper, and a result alone; under the notes stand figures with their unit", async () => {
  for (const width of [1280, 390]) {
    await page.setViewportSize({ width, height: 900 });
    await page.waitForFunction((w) => document.querySelector("lw-practice").player.picture.width < w, width);
    const seen = await card.evaluate(async (c) => {
      c.ear = { rate: 48000, begin() {}, finish() {}, stop() {}, take: () => null };
      c.state = "on";
      c.verdict = null;
      const drawing = c.player.renderRoot.querySelector("lw-picture");
      const { notes, tokens } = c.player.picture;
      const hear = async (note, cents) => {
        const [, hole, breath] = /(\d+)([bd])/.exec(notes[note].tab);
        c.heard({ at: 1, hz: 500, sure: 1, level: -20, live: { tab: notes[note].tab, hole: +hole, breath: breath === "b" ? "blow" : "draw", cents, note }, notes: [] });
        await new Promise((seen) => setTimeout(seen, 80));
      };
      const place = () => c.player.renderRoot.querySelector("lw-play-bar").getBoundingClientRect().top - drawing.getBoundingClientRect().top;
      const stood = place();
      const struck = [];
      let wings = 0;
      for (const note of notes.keys()) {
        await hear(note, 100 * (notes[note].tab.split("'").length - 1));
        const [, , , , , , , , x, , wide] = tokens[notes[note].lit[0]];
        for (const path of drawing.renderRoot.querySelectorAll("[data-heard]"))
          for (const [, from, by] of path.getAttribute("d").matchAll(/M(\S+) \S+?h(\S+?)(?=M|$)/g)) {
            ++wings;
            if (Math.min(Math.abs(from - x), Math.abs(+from + +by - x)) < wide / 2 || (from - x) * (+from + +by - x) < 0) struck.push(notes[note].tab);
          }
      }
      const blamed = [{ late: 0.143, faults: ["late"] }, { cents: 100, faults: ["sharp"] }, {}, { late: -0.09, faults: ["early"] }];
      const grades = notes.map((n, note) => ({ note, came: "right", tab: n.tab, heard: n.tab, onset: n.beat, late: 0, cents: 0, length: 1, faults: [], ...blamed[note] }));
      c.judged({ same_lick: true, likeness: 1, heard: 1, tempo: c.transport.tempo, a4: 440, notes: grades, extras: [], right: 1, advice: ["Late."], reeds: [] });
      await hear(1, 0);
      const after = drawing.renderRoot.querySelectorAll("[data-heard]").length;
      const said = [...drawing.renderRoot.querySelectorAll("[data-said]")].map((t) => t.textContent);
      const moved = place() - stood;
      const rows = [];
      for (const state of ["on", "trying"]) {
        c.state = state;
        await c.updateComplete;
        rows.push(new Set([...c.renderRoot.querySelectorAll("button[slot=more]")].map((b) => b.getBoundingClientRect().top)).size);
      }
      c.silence();
      return { moved, rows, struck, wings, of: notes.length, after, said };
    });
    assert.deepEqual(seen.struck, []);
    assert.deepEqual(seen.rows, [1, 1]);
    assert.equal(seen.moved, 0, "the buttons moved when words came under the notes");
    assert.equal(seen.wings, 2 * seen.of);
    assert.equal(seen.after, 0);
    assert.deepEqual(seen.said, ["143 ms late", "100 cents sharp", "90 ms early"]);
  }
  await page.setViewportSize({ width: 1280, height: 900 });
});

await check("by keys alone: play, slower, loop, stop, every choice", async () => {
  const seen = new Set();
  let played = false;
  for (let i = 0; i < 60; ++i) {
    await page.keyboard.press("Tab");
    const name = await page.evaluate(() => {
      let e = document.activeElement;
      while (e?.shadowRoot?.activeElement) e = e.shadowRoot.activeElement;
      return `${e?.tagName} ${e?.textContent?.trim().slice(0, 20) || e?.id || ""}`;
    });
    seen.add(name.split(" ")[0] + " " + name.split(" ").slice(1).join(" "));
    if (!played && name === "BUTTON Play") {
      await page.keyboard.press("Space");
      await page.waitForFunction(() => document.querySelector("lw-practice").player.transport.playing);
      const before = await card.evaluate((c) => c.player.transport.percent);
      await page.keyboard.press("-");
      assert.equal(await card.evaluate((c) => c.player.transport.percent), before - 5);
      await page.keyboard.press("Escape");
      assert.equal(await card.evaluate((c) => c.player.transport.playing), false);
      played = true;
    }
    if (name === "BUTTON Listen") break;
  }
  assert.ok(played, `Play was not reached: ${[...seen].join(", ")}`);
  for (const wanted of ["BUTTON Loop", "INPUT tempo", "BUTTON Listen"])
    assert.ok([...seen].some((s) => s.startsWith(wanted)), `${wanted} was not reached: ${[...seen].join(", ")}`);
});

await check("large print on a phone 320 px wide: every button stays on its card", async () => {
  await page.setViewportSize({ width: 320, height: 900 });
  await page.getByLabel("Large print").check();
  await page.waitForTimeout(300);
  const { edge, rights } = await card.evaluate((c) => ({
    edge: c.getBoundingClientRect().right,
    rights: [...c.player.renderRoot.querySelector("lw-play-bar").renderRoot.querySelectorAll("button")].map((b) => b.getBoundingClientRect().right),
  }));
  assert.ok(rights.length >= 4 && rights.every((r) => r <= edge), `${rights} beyond ${edge}`);
  await page.getByLabel("Large print").uncheck();
  await page.setViewportSize({ width: 1280, height: 900 });
});

for (const [state, prepare] of [
  ["as it opens", async () => {}],
  ["with everything open", async () => { for (const s of await page.locator("summary").all()) await s.click(); }],
  ["by night", async () => page.locator("#look").selectOption("night")],
  ["while it plays", async () => card.getByRole("button", { name: "Play" }).click()],
])
  await check(`axe-core finds nothing ${state}`, async () => {
    await prepare();
    await page.addScriptTag({ path: axe }).catch(() => page.evaluate(readFileSync(axe, "utf8")));
    const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ["violations"] }));
    assert.deepEqual(found.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(" ")).slice(0, 3).join("; ")}`), []);
  });

await check("asks nothing of a network, complains of nothing", () =>
  // The test taps the sound through an old node; the page has none.
  assert.deepEqual(complaints.filter((c) => !/ScriptProcessorNode/.test(c)), []));
await browser.close();
finish();
