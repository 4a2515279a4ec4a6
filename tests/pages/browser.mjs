// SPDX-License-Identifier: GPL-3.0-or-later
//
// A Chromium for the tests, and a page that is watched: anything it asks of a network, says in anger or throws counts.
import { strict as assert } from "node:assert";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

export async function launched(program, more = []) {
  return chromium.launch({
    executablePath: program,
    args: ["--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
      "--disable-background-networking", "--disable-component-update", "--disable-sync", "--disable-dev-shm-usage",
      "--autoplay-policy=no-user-gesture-required", ...more],
  });
}

/** The page, opened from its file and ready; `complaints` fills up while it runs. */
export async function opened(browser, file, choices = {}) {
  const page = await browser.newPage(choices);
  const complaints = [];
  page.on("pageerror", (e) => complaints.push(`throws ${e.message}`));
  page.on("console", (m) => { if (m.type() === "error" || m.type() === "warning") complaints.push(`says ${m.text()}`); });
  page.on("request", (r) => { if (!/^(file|data|blob):/.test(r.url())) complaints.push(`asks for ${r.url()}`); });
  const url = pathToFileURL(file).href;
  await page.goto(url);
  await page.waitForSelector("html[data-ready]", { timeout: 30000 });
  await page.waitForFunction(() => document.querySelector("lw-practice")?.player?.picture);
  return { page, complaints };
}

let failed = 0;
/** One check with a name; goes on after a failure. */
export async function check(name, what) {
  try {
    await what();
    console.log(`ok: ${name}`);
  } catch (error) {
    ++failed;
    console.error(`FAILED: ${name}\n${error.message}`);
  }
}
export const finish = () => process.exit(failed > 0 ? 1 : 0);
export { assert };
