// SPDX-License-Identifier: GPL-3.0-or-later
//
// Our elements in somebody else's page (elements.html), from a file and from a server: they draw, play and say what is
// wrong with a lick; the page's styles do not come in, nothing of ours goes out, nothing is fetched from elsewhere.
//
//     node elements.mjs CHROMIUM SCRIPT
import { createHash } from "node:crypto";
import { copyFileSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { assert, check, finish, launched, served, watched } from "./browser.mjs";

const [, , program, script] = process.argv;
const here = dirname(fileURLToPath(import.meta.url));
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const folder = mkdtempSync(join(tmpdir(), "lw-elements-"));
copyFileSync(join(here, "elements.html"), join(folder, "elements.html"));
copyFileSync(script, join(folder, "lickwright-elements.js"));
// The server's policy lets in the script, WebAssembly and the page's own styles, and nothing else.
const style = readFileSync(join(here, "elements.html"), "utf8").match(/<style>(.*?)<\/style>/s)[1];
const server = await served(folder, {
  "content-security-policy": `default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'sha256-${createHash("sha256").update(style).digest("base64")}'`,
});
const browser = await launched(program);

await check("the script is ASCII: a page that names no charset reads every sign of it", () => {
  const lines = readFileSync(script, "latin1").split("\n");
  assert.deepEqual(lines.flatMap((l) => l.match(/.{0,20}[\x80-\xff].{0,20}/g) ?? []), []);
});

/** What the page itself looks like: every element of it that is not ours, and the names that scripts see. */
const itself = () => ({
  looks: [...document.querySelectorAll("html, body, h1, h2, p, button")].map((e) => {
    const s = getComputedStyle(e);
    return ["font", "color", "background-color", "display", "margin", "letter-spacing", "text-transform"].map((n) => s.getPropertyValue(n)).join(";");
  }),
  sheets: document.styleSheets.length + document.adoptedStyleSheets.length,
  stored: localStorage.length,
});

for (const [from, url] of [["a file", pathToFileURL(join(folder, "elements.html")).href], ["a server", `${server.url}/elements.html`]]) {
  const { page, complaints } = await watched(browser, { viewport: { width: 1280, height: 900 } }, server.url);
  await check(`from ${from}: the page itself stays as it was`, async () => {
    await page.route("**/lickwright-elements.js", (r) => r.abort());
    await page.goto(url);
    const before = await page.evaluate(itself);
    const names = await page.evaluate(() => Object.keys(window));
    await page.unroute("**/lickwright-elements.js");
    complaints.length = 0;
    await page.goto(url);
    await page.waitForFunction(() => document.querySelector("#player").picture && document.querySelector("#picture").picture);
    assert.deepEqual(await page.evaluate(itself), before);
    // Lit counts itself, so that two of it on a page find each other.
    const added = await page.evaluate((names) => Object.keys(window).filter((n) => !names.includes(n)), names);
    assert.deepEqual(added.filter((n) => !/^(lit|reactive)\w*(Versions|Metadata)$/.test(n)), []);
  });

  await check(`from ${from}: the page's styles do not come in`, async () => {
    const seen = await page.evaluate(() => {
      const root = document.querySelector("#player").shadowRoot;
      const bar = root.querySelector("lw-play-bar").shadowRoot;
      const style = (e, name) => getComputedStyle(e).getPropertyValue(name);
      const svg = root.querySelector("lw-picture").shadowRoot.querySelector("svg");
      return {
        family: style(root.querySelector("h2"), "font-family").split(",")[0],
        slant: style(root.querySelector("h2"), "font-style"),
        heading: style(root.querySelector("h2"), "font-size"),
        spacing: [root.querySelector("h2"), bar.querySelector("button"), bar.querySelector("label")].map((e) => style(e, "letter-spacing")),
        letters: style(root.querySelector("h2"), "text-transform"),
        indent: style(root.querySelector(".says"), "text-indent"),
        align: style(root.querySelector(".says"), "text-align"),
        button: style(bar.querySelector("button"), "display"),
        svg: svg.getBoundingClientRect().width > 600 && style(svg, "opacity"),
        text: style(bar.querySelector("button"), "font-size"),
      };
    });
    assert.deepEqual(seen, {
      family: '"Atkinson Hyperlegible Next"', slant: "normal", heading: "20.8px", spacing: ["normal", "normal", "normal"], letters: "none",
      indent: "0px", align: "start", button: "block", svg: "1", text: "16px",
    });
  });

  await check(`from ${from}: text inside the tag, text in the attribute, a lick with a fault`, async () => {
    const seen = await page.evaluate(() => ({
      player: document.querySelector("#player").picture.notes.map((n) => n.tab).join(" "),
      picture: document.querySelector("#picture").picture.notes.map((n) => n.tab).join(" "),
      ...Object.fromEntries(["broken", "empty", "torn"].map((id) => [id, document.querySelector(`#${id}`).shadowRoot.textContent.trim().replace(/\s+/g, " ")])),
    }));
    assert.equal(seen.player, "2d 3d' 4b 4d 4d' 4d 4d' 2d 1d");
    assert.equal(seen.picture, "2d 3d 4b 4d");
    // Every fault with its line, its words and its remedy.
    assert.match(seen.broken, /^Not playable cannot be shown: line 3: .*44.*\.\s*line 4: 2d'+ is deeper than this hole bends\. The deepest bend here is 2d''\.$/);
    assert.match(seen.empty, /^This lick cannot be shown: line 1: There is no lick here yet\. ./);
    assert.match(seen.torn, /^Torn cannot be shown: line 2: .*44/);
  });

  await check(`from ${from}: plays, and one sound at a time`, async () => {
    const player = page.locator("#player");
    await player.getByRole("button", { name: "Play" }).click();
    await page.waitForFunction(() => document.querySelector("#player").transport.beat !== null);
    await page.evaluate(() => {
      const other = document.createElement("lw-player");
      other.id = "other";
      other.textContent = "title: Other\nharp: C\ntab | 2d 3d 4b 4d |\n";
      document.querySelector("main").append(other);
    });
    await page.locator("#other").getByRole("button", { name: "Play" }).click();
    assert.deepEqual(await page.evaluate(() => ["player", "other"].map((id) => document.getElementById(id).transport.playing)), [false, true]);
    await page.evaluate(() => document.getElementById("other").remove());
    assert.equal(await page.evaluate(() => document.getElementById("player").transport.playing), false);
  });

  await check(`from ${from}: by night only where the page is made for it`, async () => {
    const ink = () => page.evaluate(() => getComputedStyle(document.querySelector("#player").shadowRoot.querySelector("h2")).color);
    const day = await ink();
    await page.emulateMedia({ colorScheme: "dark" });
    assert.equal(await ink(), day);
    await page.evaluate(() => (document.documentElement.style.colorScheme = "light dark"));
    assert.notEqual(await ink(), day);
    await page.evaluate(() => document.querySelector("#player").setAttribute("look", "day"));
    assert.equal(await ink(), day);
  });

  await check(`from ${from}: axe-core finds nothing in our elements`, async () => {
    await page.evaluate(axe);
    const found = await page.evaluate(() => window.axe.run({ include: ["lw-player", "lw-picture"] }, { resultTypes: ["violations"] }));
    assert.deepEqual(found.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(" ")).slice(0, 3).join("; ")}`), []);
  });

  await check(`from ${from}: asks nothing of anybody else, complains of nothing`, () => assert.deepEqual(complaints, []));
  await page.close();
}
await browser.close();
server.close();
rmSync(folder, { recursive: true });
finish();
