// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a page cannot have: no microphone, one that is refused, taken away or slow, an address that is not safe, a browser
// without AudioWorklet, a store that is closed or full, a page left in the background. It says so, and the rest goes on.
// And axe-core in every state that only a microphone brings.
//
//     node states.mjs CHROMIUM PAGE
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { basename, dirname } from "node:path";
import { pathToFileURL } from "node:url";
import { assert, check, finish, launched, served, watched } from "./browser.mjs";

const [, , program, file] = process.argv;
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const server = await served(dirname(file));
// Sine beeps for a microphone; the second browser has no microphone, and one name that is not this machine's own.
const withSound = await launched(program, ["--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream"]);
const without = await launched(program, [`--host-resolver-rules=MAP towpath.example 127.0.0.1`]);

/** The page, prepared by `before`; `work` gets its first card. It must still play in the end. */
async function inState(name, browser, { before, url = pathToFileURL(file).href, permissions }, work) {
  await check(name, async () => {
    const { page, complaints } = await watched(browser, { viewport: { width: 1280, height: 900 }, ...(permissions ? { permissions } : {}) }, "http:");
    try {
      if (before) await page.addInitScript(before);
      await page.goto(url);
      await page.waitForFunction(() => document.querySelector("lw-practice")?.player?.picture);
      const card = page.locator("lw-practice").first();
      await work(page, card);
      await card.getByRole("button", { name: "Play", exact: true }).click();
      await card.evaluate((c) => new Promise((moves) => {
        const look = () => (c.player.transport.beat !== null ? moves() : setTimeout(look, 50));
        look();
      }));
      assert.deepEqual(complaints, []);
    } finally {
      await page.close();
    }
  });
}
const listen = (card) => card.getByRole("button", { name: "Listen", exact: true }).click();
const alerted = async (card, words) => {
  await card.locator("[role=alert]").waitFor();
  assert.match(await card.locator("[role=alert]").innerText(), words);
  assert.equal(await card.evaluate((c) => c.state), "off");
};

await inState("no microphone", without, {}, async (page, card) => {
  await page.context().grantPermissions(["microphone"]);
  await listen(card);
  await alerted(card, /^No microphone was found/);
});
await inState("the microphone is refused", await launched(program, ["--use-fake-device-for-media-stream", "--deny-permission-prompts"]), {}, async (_, card) => {
  await listen(card);
  await alerted(card, /was not allowed to use the microphone/);
});
await inState("an address that is not safe", without, { url: `${server.url.replace("127.0.0.1", "towpath.example")}/${basename(file)}` }, async (page, card) => {
  assert.equal(await page.evaluate(() => isSecureContext), false);
  await listen(card);
  await alerted(card, /begins with https/);
});
await inState("from a server on this machine the microphone opens", withSound, { url: `${server.url}/${basename(file)}` }, async (_, card) => {
  await listen(card);
  await card.getByRole("button", { name: "Try it" }).waitFor();
});
await inState("no AudioWorklet", withSound, { before: () => delete window.AudioWorkletNode }, async (_, card) => {
  await listen(card);
  await alerted(card, /has no AudioWorklet/);
});
await inState("a microphone of 16 kHz", withSound, {
  before: () => {
    const Whole = window.AudioContext;
    window.AudioContext = class extends Whole {
      constructor(choices) { super({ ...choices, sampleRate: 16000 }); }
    };
  },
}, async (_, card) => {
  await listen(card);
  await card.getByRole("button", { name: "Try it" }).waitFor();
  assert.match(await card.locator("[role=alert]").innerText(), /runs at 16 kHz/);
  await card.evaluate((c) => new Promise((heard) => {
    const look = () => (c.sounding?.at > 0.5 ? heard() : setTimeout(look, 50));
    look();
  }));
});
await inState("the microphone goes away in a try", withSound, {}, async (_, card) => {
  await listen(card);
  await card.getByRole("button", { name: "Try it" }).click();
  await card.evaluate((c) => c.ear.stream.getAudioTracks()[0].dispatchEvent(new Event("ended")));
  await alerted(card, /went away/);
});
await inState("the browser stops the microphone's clock", withSound, {}, async (_, card) => {
  await listen(card);
  await card.getByRole("button", { name: "Try it" }).waitFor();
  await card.evaluate((c) => c.ear.context.suspend());
  await alerted(card, /while the page was away/);
});
await inState("the browser stops the player's clock", without, {}, async (page, card) => {
  await card.getByRole("button", { name: "Play", exact: true }).click();
  await card.evaluate((c) => new Promise((moves) => {
    const look = () => (c.player.transport.beat !== null ? moves() : setTimeout(look, 50));
    look();
  }));
  await card.evaluate((c) => c.player.transport.player.destination.context.suspend());
  await card.getByRole("button", { name: "Play", exact: true }).waitFor();
  assert.match(await page.locator("#notice").innerText(), /stopped the sound while the page was away/);
});
await inState("the browser has no way out for sound", without, {
  before: () => {
    const { resume } = AudioContext.prototype;
    const state = Object.getOwnPropertyDescriptor(BaseAudioContext.prototype, "state");
    AudioContext.prototype.resume = () => new Promise(() => {});
    Object.defineProperty(BaseAudioContext.prototype, "state", { get: () => "suspended", configurable: true });
    window.pluggedIn = () => {
      AudioContext.prototype.resume = resume;
      Object.defineProperty(BaseAudioContext.prototype, "state", state);
    };
  },
}, async (page, card) => {
  await card.getByRole("button", { name: "Play", exact: true }).click();
  await page.locator("#notice").waitFor();
  assert.match(await page.locator("#notice").innerText(), /gives no sound here/);
  await card.getByRole("button", { name: "Play", exact: true }).waitFor();
  await page.evaluate(() => window.pluggedIn());
});
await inState("frames stop while it plays: the sound goes round, the mark finds its place again", without, {}, async (page, card) => {
  await card.evaluate((c) => { c.player.transport.choose([0, 1]); c.player.transport.set({ percent: 130, countIn: false }); });
  await card.getByRole("button", { name: "Play", exact: true }).click();
  await page.evaluate(() => {
    window.frames_ = window.requestAnimationFrame;
    window.requestAnimationFrame = () => 0;
  });
  await page.waitForTimeout(1500);
  const { playing, round } = await card.evaluate((c) => ({ playing: c.player.transport.playing, round: c.player.transport.player.place().round }));
  assert.equal(playing, true);
  assert.ok(round >= 1, `round ${round}`);
  await page.evaluate(() => { window.requestAnimationFrame = window.frames_; });
  await card.getByRole("button", { name: "Stop", exact: true }).click();
});
for (const [name, before] of [
  ["the store is full", () => { Storage.prototype.setItem = () => { throw new DOMException("full", "QuotaExceededError"); }; }],
  ["the store is closed", () => Object.defineProperty(window, "localStorage", { get() { throw new DOMException("closed", "SecurityError"); } })],
])
  await inState(name, without, { before }, async (page, card) => {
    await card.locator("input[type=range]").press("ArrowUp");
    await page.locator("#notice").waitFor();
    assert.match(await page.locator("#notice").innerText(), /keeps nothing for this page/);
    assert.equal(await card.evaluate((c) => c.player.transport.percent), 61);
  });
await check("a browser that is too old", async () => {
  const { page } = await watched(without, {});
  await page.addInitScript(() => delete window.DecompressionStream);
  await page.goto(pathToFileURL(file).href);
  await page.locator("#notice").waitFor();
  assert.match(await page.locator("#notice").innerText(), /too old/);
  await page.close();
});

{
  const { page } = await watched(withSound, { viewport: { width: 1280, height: 900 } });
  await page.goto(pathToFileURL(file).href);
  const card = page.locator("lw-practice").first();
  for (const [state, prepare] of [
    ["while it listens", async () => { await listen(card); await card.getByRole("button", { name: "Try it" }).waitFor(); }],
    ["in the reed walk, before", () => card.getByRole("button", { name: "Measure harp" }).click()],
    ["in the reed walk", () => card.getByRole("button", { name: "Begin" }).click()],
    ["in the reed walk, after", () => card.evaluate((c) => {
      c.walk.walk.cents.fill(2);
      c.walk.walk.at = 20;
      c.walk.requestUpdate();
    })],
    ["in a try", async () => { await page.keyboard.press("Escape"); await card.getByRole("button", { name: "Try it" }).click(); }],
    ["after a try", async () => {
      // One that ends in its count says nothing.
      await card.evaluate((c) => new Promise((begun) => {
        const look = () => (c.counted ? begun() : setTimeout(look, 50));
        look();
      }));
      await card.getByRole("button", { name: "End try" }).click();
      await card.locator("p.verdict").waitFor();
    }],
  ])
    await check(`axe-core finds nothing ${state}`, async () => {
      await prepare();
      await page.evaluate(axe);
      const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ["violations"] }));
      assert.deepEqual(found.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(" ")).slice(0, 3).join("; ")}`), []);
    });
  await check("the reed walk is kept, and forgotten", async () => {
    const name = await card.evaluate((c) => { c.keepReeds(new Array(20).fill(3)); return `lickwright/reeds ${c.harp}`; });
    const kept = () => page.evaluate((n) => localStorage.getItem(n), name);
    assert.equal(await kept(), JSON.stringify(new Array(20).fill(3)));
    await card.getByRole("button", { name: "Measure harp" }).click();
    await card.getByRole("button", { name: "Forget this harp" }).click();
    assert.equal(await kept(), null);
  });
}
server.close();
finish();
