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
