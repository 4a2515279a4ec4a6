// SPDX-License-Identifier: GPL-3.0-or-later
//
// A microphone for the practice page: takes of its licks from two sample sets (takes.mjs), some clean, some with planted
// faults. The page must say the planted faults and nothing else. Chromium's stand-in for a microphone drops sound when the
// machine is busy; the pilot in the take (pilot.mjs) shows it, and only such a take is given again.
//
//     node microphone.mjs CHROMIUM PAGE LICKWRIGHT FLUIDSYNTH [--all | NUMBER ...]
//
// Without more it gives five takes, each kind of fault once; `--all` gives all thirty.
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { assert, check, finish, launched, opened } from "./browser.mjs";
import { captured } from "./pilot.mjs";
import { lead, takes, written } from "./takes.mjs";

const [, , program, file, lickwright, fluidsynth, ...which] = process.argv;
const folder = mkdtempSync(join(tmpdir(), "lw-microphone-"));
const licks = JSON.parse(readFileSync(file, "utf8").match(/id="lw-lesson">(.*?)<\/script>/s)[1]).licks;
/** How often a take is given that did not arrive whole. */
const chances = 6;

/** What the page says of a take, and what it captured of it. */
async function given(take, wav, onsets) {
  const browser = await launched(program, ["--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream",
    `--use-file-for-fake-audio-capture=${wav}%noloop`]);
  try {
    const { page, complaints } = await opened(browser, file, { viewport: { width: 1280, height: 900 } });
    const card = page.locator("lw-practice").nth(take.lick);
    await card.getByRole("button", { name: "Listen" }).click();
    await card.getByRole("button", { name: "Try it" }).click();
    // What sounds is shown while it sounds.
    await card.evaluate((c) => new Promise((shown) => {
      const look = () => (/draw|blow/.test(c.renderRoot.querySelector(".live").innerText) ? shown() : requestAnimationFrame(look));
      look();
    }));
    // From there on the take's own length, and a second more.
    await page.waitForTimeout((onsets.at(-1) - onsets[0] + 2.5) * 1000);
    await card.evaluate((c) => c.end());
    await card.evaluate((c) => new Promise((said) => {
      const look = () => (c.verdict ? said() : setTimeout(look, 50));
      look();
    }));
    assert.deepEqual(complaints, []);
    const { rate, bytes, verdict, said } = await card.evaluate((c) => {
      const samples = Int16Array.from(c.ear.take(), (x) => Math.round(Math.max(-1, Math.min(1, x)) * 32767));
      let text = "";
      const all = new Uint8Array(samples.buffer);
      for (let i = 0; i < all.length; i += 8192) text += String.fromCharCode(...all.subarray(i, i + 8192));
      return { rate: c.ear.rate, bytes: btoa(text), verdict: c.verdict, said: c.renderRoot.querySelector("div[role=status]").innerText };
    });
    const raw = Buffer.from(bytes, "base64");
    const samples = Float32Array.from(new Int16Array(raw.buffer.slice(raw.byteOffset, raw.byteOffset + raw.length)), (x) => x / 32767);
    return { verdict, said, pilot: captured(samples, rate, onsets.at(-1) + 2) };
  } finally {
    await browser.close();
  }
}

const blamed = (v) => [
  ...v.notes.filter((n) => n.came !== "right" || n.faults.length > 0).map((n) => `${n.faults?.join(" and ") || n.came} ${n.note}`),
  ...v.extras.map((e) => `extra ${e.tab} before ${e.before}`),
];

async function checked(take) {
  const wav = join(folder, `${take.number}.wav`);
  const onsets = written(take, licks[take.lick].source, wav, { lickwright, fluidsynth });
  const planted = take.faults.map(([kind, note]) => `${kind} ${note}`).sort();
  await check(take.name, async () => {
    for (let left = chances; ; --left) {
      const { verdict, said, pilot } = await given(take, wav, onsets);
      if (!pilot.whole || pilot.start > lead - 0.3) {
        console.log(`again: ${take.name}: ${pilot.whole ? "the browser began too late" : "the browser dropped sound"}`);
        assert.ok(left > 1, "this machine is too busy to capture a take whole");
        continue;
      }
      assert.ok(verdict.same_lick, `not taken for the lick: likeness ${verdict.likeness}`);
      assert.deepEqual(blamed(verdict).sort(), planted);
      if (planted.length === 0) assert.match(said, /Every note came right/);
      return;
    }
  });
}

// Clean, and each kind of fault once.
const few = [19, 8, 21, 22, 23];
const asked = which.includes("--all") ? takes : takes.filter((t) => (which.length ? which.map(Number) : few).includes(t.number));
// Two at a time: a take is given in its own time, and mostly waits.
const queue = [...asked];
await Promise.all([0, 1].map(async () => {
  for (let take; (take = queue.shift()); ) await checked(take);
}));
rmSync(folder, { recursive: true });
finish();
