// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a learner waits for, in Chromium: until a page can be played, what listening costs, and how long after a note begins
// its mark is on the screen. README.md beside it says how each is measured.
//
//     node measure.mjs CHROMIUM PAGE MICROPHONE_PAGE LOW_PAGE LICKWRIGHT FLUIDSYNTH
//
// PAGE is a lesson of six licks, MICROPHONE_PAGE the lesson of tests/pages/lesson.md, LOW_PAGE that of low.md beside this file
// (tests/pages/write_page makes all three).
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { cpus, loadavg, tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { launched, opened } from "../../../tests/pages/browser.mjs";
import { captured } from "../../../tests/pages/pilot.mjs";
import { takes, written } from "../../../tests/pages/takes.mjs";

const [, , program, file, simple, low, lickwright, fluidsynth] = process.argv;
const median = (list) => [...list].sort((a, b) => a - b)[list.length >> 1];
const ms = (n) => `${Math.round(n)} ms`;
console.log(`${cpus().length} x ${cpus()[0].model}, load ${loadavg()[0].toFixed(1)}`);

// --- Until the first lick is drawn and its Play button answers: a fresh page each time, the browser already open.
{
  const browser = await launched(program);
  const times = [];
  let parts = {};
  for (let i = 0; i < 7; ++i) {
    const page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
    await page.addInitScript(() => {
      const look = () => (document.querySelector("lw-practice")?.player?.picture ? (window.drawnAt = performance.now()) : requestAnimationFrame(look));
      requestAnimationFrame(look);
    });
    await page.goto(pathToFileURL(file).href);
    await page.waitForFunction(() => window.drawnAt && document.documentElement.dataset.ready);
    times.push(await page.evaluate(() => window.drawnAt));
    parts = await page.evaluate(() => Object.fromEntries(performance.getEntriesByType("measure").map((m) => [m.name, Math.round(m.startTime + m.duration)])));
    await page.close();
  }
  console.log(`interactive: ${ms(median(times))} at the median of ${times.length} (${times.map(Math.round).join(", ")})`, parts);
  await browser.close();
}

// --- A take for the microphone: what the threads of the page take of a core, and onset to mark.
const folder = mkdtempSync(join(tmpdir(), "lw-measure-"));
const licksOf = (page) => JSON.parse(readFileSync(page, "utf8").match(/id="lw-lesson">(.*?)<\/script>/s)[1]).licks;
const below = [];
const above = [];
const plain = (lick, set) => ({ number: `low ${lick + 1}`, set, lick, faults: [] });
const given = [
  ...[1, 8, 13, 19, 20, 25].map((number) => [simple, takes.find((t) => t.number === number)]),
  ...[0, 1, 2].map((lick) => [low, plain(lick, lick === 1 ? "tim" : "fluid")]),
];
for (const [lesson, take] of given) {
  const { number } = take;
  const wav = join(folder, `${number}.wav`);
  const onsets = written(take, licksOf(lesson)[take.lick].source, wav, { lickwright, fluidsynth });
  const browser = await launched(program, ["--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream",
    `--use-file-for-fake-audio-capture=${wav}%noloop`]);
  const { page } = await opened(browser, lesson, { viewport: { width: 1280, height: 900 } });
  const card = page.locator("lw-practice").nth(take.lick);
  // Frames of the same capture, told as they arrive: the clock that the pilot is laid against.
  await page.evaluate(() => {
    const asked = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
    navigator.mediaDevices.getUserMedia = async (what) => {
      const stream = await asked(what);
      const reader = new MediaStreamTrackProcessor({ track: stream.getAudioTracks()[0].clone() }).readable.getReader();
      window.arrived = { rate: 0, parts: [], at: [] };
      void (async () => {
        for (;;) {
          const { value, done } = await reader.read();
          if (done) return;
          const part = new Float32Array(value.numberOfFrames);
          value.copyTo(part, { planeIndex: 0, format: "f32-planar" });
          window.arrived.rate = value.sampleRate;
          window.arrived.at.push(performance.now());
          window.arrived.parts.push(part);
          value.close();
        }
      })();
      return stream;
    };
  });
  // The take goes at the written tempo, and so does the click: the count is over before the first note.
  await card.evaluate((c) => c.player.transport.set({ percent: 100 }));
  await card.getByRole("button", { name: "Listen" }).click();
  await card.getByRole("button", { name: "Try it" }).click();
  // What is drawn, as it is: the note whose wings stand in the picture, by the middle between them. A page draws in the frame
  // that shows it.
  await card.evaluate((c) => {
    window.drawn = [];
    const picture = c.player.renderRoot.querySelector("lw-picture").renderRoot;
    new MutationObserver(() => {
      const wings = picture.querySelector("[data-heard]");
      const place = wings ? [...wings.getAttribute("d").matchAll(/M([\d.-]+)/g)].reduce((sum, [, x]) => sum + x / 2, 0) : null;
      const last = window.drawn[window.drawn.length - 1];
      if (!last || last[1] !== place) window.drawn.push([performance.now(), place]);
    }).observe(picture, { subtree: true, childList: true, attributes: true, attributeFilter: ["d"] });
  });
  const seconds = onsets.at(-1) + 1.5;
  const before = threads();
  const began = performance.now();
  await page.waitForTimeout(seconds * 1000);
  const passed = (performance.now() - began) / 1000;
  const cost = {};
  for (const [id, { name, ticks }] of threads()) {
    const was = before.get(id)?.ticks ?? 0;
    cost[name] = (cost[name] ?? 0) + (ticks - was) / 100 / passed;
  }
  const found = await card.evaluate((c) => {
    const all = new Float32Array(window.arrived.parts.reduce((n, p) => n + p.length, 0));
    let n = 0;
    const ends = window.arrived.parts.map((p) => {
      all.set(p, n);
      return (n += p.length);
    });
    const { rate } = window.arrived;
    // The earliest that any frame arrived says when its last sample sounded.
    const zero = Math.min(...ends.map((end, i) => window.arrived.at[i] - (1000 * end) / rate));
    let text = "";
    const bytes = new Uint8Array(Int16Array.from(all.subarray(0, rate * 3), (x) => x * 32767).buffer);
    for (let i = 0; i < bytes.length; i += 8192) text += String.fromCharCode(...bytes.subarray(i, i + 8192));
    const p = c.player.picture;
    const notes = p.notes.map((note) => ({ tab: note.tab, x: String(p.tokens[note.lit[0]][8]) }));
    return { rate, zero, text: btoa(text), drawn: window.drawn, notes, hz: c.engine.reeds(c.lick) };
  });
  await browser.close();
  const raw = Buffer.from(found.text, "base64");
  const { start } = captured(Float32Array.from(new Int16Array(raw.buffer.slice(raw.byteOffset, raw.byteOffset + raw.length)), (x) => x / 32767), found.rate);
  onsets.forEach((onset, i) => {
    const note = found.notes[i];
    const sounded = found.zero + (onset - start) * 1000;
    // The wings of this note, or of another of the same reed: which one it is, is a guess of the page. Sooner than the ear can
    // know (hear.hpp: 30 ms, less what the browser held back) it belongs to the note before.
    const reed = (tab) => tab.replace(/['q]/g, "");
    const places = found.notes.filter((n) => reed(n.tab) === reed(note.tab)).map((n) => Number(n.x));
    const hit = found.drawn.find(([at, x]) => at > sounded + 15 && at < sounded + 600 && x !== null && places.some((p) => Math.abs(x - p) < 1));
    const hole = Number.parseInt(note.tab);
    const hz = found.hz[2 * (hole - 1) + (note.tab.includes("d") ? 1 : 0)] * 2 ** (-(note.tab.split("'").length - 1) / 12);
    if (hit) (hz < 250 ? below : above).push(hit[0] - sounded);
    else console.log(`take ${number}: the mark of note ${i}, ${note.tab}, was not seen`);
  });
  const heavy = Object.entries(cost).filter(([, share]) => share > 0.004).sort((a, b) => b[1] - a[1]);
  console.log(`take ${number}: of a core ${heavy.map(([name, share]) => `${name} ${(100 * share).toFixed(1)} %`).join(", ")}`);
}
rmSync(folder, { recursive: true });
for (const [name, list] of [["above 250 Hz", above], ["below 250 Hz", below]])
  if (list.length > 0) console.log(`onset to mark, ${name}: ${ms(median(list))} at the median of ${list.length} (least ${ms(Math.min(...list))}, most ${ms(Math.max(...list))})`);

/** Processor time of the threads that hear and draw, in hundredths of a second: those of our own Chromium's renderers. */
function threads() {
  const found = new Map();
  for (const pid of readdirSync("/proc").filter((p) => /^\d+$/.test(p)))
    try {
      if (!readFileSync(`/proc/${pid}/cmdline`, "utf8").includes("--type=renderer") || !ours(pid)) continue;
      for (const id of readdirSync(`/proc/${pid}/task`)) {
        const stat = readFileSync(`/proc/${pid}/task/${id}/stat`, "utf8");
        const name = stat.slice(stat.indexOf("(") + 1, stat.lastIndexOf(")"));
        const fields = stat.slice(stat.lastIndexOf(")") + 2).split(" ");
        found.set(`${pid}/${id}`, { name: id === pid ? "page" : name, ticks: Number(fields[11]) + Number(fields[12]) });
      }
    } catch {
      // It has ended meanwhile.
    }
  return found;
}

/** Is it a child of ours? */
function ours(pid) {
  for (let p = Number(pid); p > 1; ) {
    if (p === process.pid) return true;
    const stat = readFileSync(`/proc/${p}/stat`, "utf8");
    p = Number(stat.slice(stat.lastIndexOf(")") + 2).split(" ")[1]);
  }
  return false;
}
