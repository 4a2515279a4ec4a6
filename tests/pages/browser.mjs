// SPDX-License-Identifier: GPL-3.0-or-later
//
// A Chromium for the tests, and a page that is watched: anything it asks of a network, says in anger or throws counts.
import { strict as assert } from "node:assert";
import { existsSync, readFileSync } from "node:fs";
import { createServer } from "node:http";
import { basename, extname, join } from "node:path";
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

/** A fresh page; `complaints` fills up while it runs. Only files and `home` may be asked. */
export async function watched(browser, choices = {}, home = "file:") {
  const page = await browser.newPage(choices);
  const complaints = [];
  page.on("pageerror", (e) => complaints.push(`throws ${e.message}`));
  page.on("console", (m) => { if (m.type() === "error" || m.type() === "warning") complaints.push(`says ${m.text()}`); });
  page.on("request", (r) => { if (!/^(file|data|blob):/.test(r.url()) && !r.url().startsWith(home)) complaints.push(`asks for ${r.url()}`); });
  return { page, complaints };
}

/** The practice page, opened from its file and ready. */
export async function opened(browser, file, choices = {}) {
  const { page, complaints } = await watched(browser, choices);
  await page.goto(pathToFileURL(file).href);
  await page.waitForSelector("html[data-ready]", { timeout: 30000 });
  await page.waitForFunction(() => document.querySelector("lw-practice")?.player?.picture);
  return { page, complaints };
}

/** A folder on http, on this machine only, with `headers` beside every file. */
export async function served(folder, headers = {}) {
  const types = { ".html": "text/html; charset=utf-8", ".js": "text/javascript" };
  const server = createServer((request, answer) => {
    const file = join(folder, basename(decodeURIComponent(new URL(request.url, "http://here").pathname)));
    if (!existsSync(file)) return void answer.writeHead(request.url === "/favicon.ico" ? 204 : 404).end();
    answer.writeHead(200, { ...headers, "content-type": types[extname(file)] ?? "application/octet-stream" }).end(readFileSync(file));
  });
  await new Promise((ready) => server.listen(0, "127.0.0.1", ready));
  return { url: `http://127.0.0.1:${server.address().port}`, close: () => server.close() };
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
/** Ends with 1 when a check failed, else with `otherwise`. */
export const finish = (otherwise = 0) => process.exit(failed > 0 ? 1 : otherwise);
export { assert };
