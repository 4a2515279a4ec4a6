// SPDX-License-Identifier: GPL-3.0-or-later
//
// A microphone for the practice page: takes of a lick (lesson.md), played by the harmonica of FluidR3 through FluidSynth
// (sound that this project did not make), one clean, one with a wrong hole and a missing note. The page must say so and
// nothing else.
//
//     node microphone.mjs CHROMIUM PAGE LICKWRIGHT FLUIDSYNTH
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { assert, check, finish, launched, opened } from "./browser.mjs";

const [, , program, file, lickwright, fluidsynth] = process.argv;
const font = "/usr/share/sounds/sf2/FluidR3_GM.sf2";
const folder = mkdtempSync(join(tmpdir(), "lw-microphone-"));
const source = JSON.parse(readFileSync(file, "utf8").match(/id="lw-lesson">(.*?)<\/script>/s)[1]).licks[0].source;

/** The lick, played by the font after `lead` seconds of silence, as a WAV for Chromium. */
function take(name, lick, lead) {
  const text = join(folder, `${name}.lick`);
  writeFileSync(text, lick.replace(/^tempo:.*$/m, "tempo: 72"));
  execFileSync(lickwright, ["convert", text, "-o", join(folder, `${name}.mid`)]);
  execFileSync(fluidsynth, ["-ni", "-g", "0.6", "-o", "synth.reverb.active=0", "-o", "synth.chorus.active=0", "-r", "48000",
    "-F", join(folder, `${name}-dry.wav`), font, join(folder, `${name}.mid`)], { stdio: "ignore" });
  const wav = join(folder, `${name}.wav`);
  execFileSync("ffmpeg", ["-v", "error", "-y", "-i", join(folder, `${name}-dry.wav`), "-ac", "1", "-af",
    `adelay=${Math.round(lead * 1000)}:all=1,apad=pad_dur=20`, wav]);
  return wav;
}

/** Chromium's stand-in for a microphone drops sound when the machine is busy, which no page can hear: a take whose verdict
 *  is not the expected one is given again, five times at most. */
async function tried(what) {
  for (let left = 5; ; --left) {
    try {
      return await what();
    } catch (error) {
      if (left === 0) throw error;
      console.log(`again: ${error.message.split("\n").slice(0, 8).join(" ")}`);
    }
  }
}

/** What the page says of a take: wrong or missing notes, extras. */
async function verdict(wav) {
  const browser = await launched(program, ["--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream",
    `--use-file-for-fake-audio-capture=${wav}%noloop`]);
  try {
    const { page, complaints } = await opened(browser, file, { viewport: { width: 1280, height: 900 } });
    const card = page.locator("lw-practice").first();
    await card.getByRole("button", { name: "Listen" }).click();
    await card.getByRole("button", { name: "Try it" }).click();
    // What sounds is shown while it sounds.
    await page.waitForFunction(() => /draw|blow/.test(document.querySelector("lw-practice").renderRoot.querySelector(".live").innerText), null, { timeout: 30000 });
    // Nothing for two seconds: the take is over.
    await page.waitForFunction(() => {
      const c = document.querySelector("lw-practice");
      const at = c.sounding?.at ?? 0;
      if (c.sounding?.live) window.lastSound = at;
      return at - (window.lastSound ?? at) > 2;
    }, null, { timeout: 60000, polling: 50 });
    await card.evaluate((c) => c.end());
    await page.waitForFunction(() => document.querySelector("lw-practice").verdict, null, { timeout: 30000 });
    const v = await card.evaluate((c) => ({ ...c.verdict, said: c.renderRoot.querySelector("div[role=status]").innerText }));
    assert.deepEqual(complaints, []);
    return v;
  } finally {
    await browser.close();
  }
}

const blamed = (v) => v.notes.filter((n) => n.came !== "right" || n.faults.length > 0).map((n) => `${n.note} ${n.tab}: ${n.came} ${n.faults ?? ""}`);

const clean = take("clean", source, 9);
await check("a clean take is called clean", () => tried(async () => {
  const v = await verdict(clean);
  assert.ok(v.same_lick, `likeness ${v.likeness}`);
  assert.deepEqual(blamed(v), []);
  assert.equal(v.extras.length, 0);
  assert.match(v.said, /Every note came right/);
  assert.ok(Math.abs(v.tempo - 72) < 2, `${v.tempo} beats a minute`);
}));

await check("a wrong hole and a missing note are found, and nothing else", () => tried(async () => {
  // Bar 1, beat 3: 4 blow becomes 5 blow. Bar 2: its second note is left out.
  const lick = source.replace("(4b 4d)", "(5b 4d)").replace("(4b 3d)", "(4b .)");
  assert.notEqual(lick, source);
  const v = await verdict(take("faults", lick, 9));
  assert.ok(v.same_lick, `likeness ${v.likeness}`);
  assert.deepEqual(blamed(v), ["2 4b: wrong wrong hole", "6 3d: missing "]);
}));

rmSync(folder, { recursive: true });
finish();
