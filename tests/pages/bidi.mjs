// SPDX-License-Identifier: GPL-3.0-or-later
//
// A Firefox for the tests, spoken to in WebDriver BiDi (w3.org/TR/webdriver-bidi), which it understands without a driver
// between. Only what the walk needs: open, ask, press keys, drag, photograph, and what the page says in anger.
import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { env as environment } from "node:process";
import WebSocket from "ws";

/** Code points of keys without a letter (webdriver, "Keyboard actions"). */
const named = { Tab: "\uE004", Enter: "\uE007", Escape: "\uE00C", Space: " ", ArrowUp: "\uE013", Control: "\uE009" };

export class Firefox {
  /** With `pulse` (PulseAudio's server) its sound goes into a sink that nobody hears: without any way out Firefox's clock stands still. */
  static async launched(program, pulse) {
    const folder = mkdtempSync(join(tmpdir(), "lw-firefox-"));
    const sink = spawn(pulse, ["-n", "--daemonize=no", "--use-pid-file=no", "--exit-idle-time=-1", "-L", "module-null-sink",
      "-L", `module-native-protocol-unix socket=${folder}/sound auth-anonymous=1`], { stdio: "ignore", env: { ...environment, HOME: folder, PULSE_RUNTIME_PATH: folder } });
    for (const end = Date.now() + 10000; !existsSync(join(folder, "sound")); await new Promise((r) => setTimeout(r, 50)))
      if (Date.now() > end || sink.exitCode !== null) throw new Error("PulseAudio did not open");
    // Sound may begin without a hand, no microphone is given; nothing is fetched behind the test's back.
    writeFileSync(join(folder, "user.js"), `user_pref("media.autoplay.default", 0);
user_pref("permissions.default.microphone", 2);
user_pref("browser.download.folderList", 2);
user_pref("browser.download.dir", "${folder}/taken");
user_pref("browser.helperApps.neverAsk.saveToDisk", "text/plain,audio/midi,image/svg+xml,text/html,audio/wav");
user_pref("app.update.enabled", false);
user_pref("datareporting.policy.dataSubmissionEnabled", false);
user_pref("browser.shell.checkDefaultBrowser", false);
`);
    const process = spawn(program, ["--headless", "--remote-debugging-port", "0", "--profile", folder, "--no-remote", "about:blank"],
      { env: { ...environment, PULSE_SERVER: `unix:${folder}/sound` } });
    const gone = new Promise((done) => process.on("exit", done));
    const address = await new Promise((found, failed) => {
      let said = "";
      const timer = setTimeout(() => failed(new Error(`Firefox did not open: ${said}`)), 40000);
      process.on("exit", () => failed(new Error(`Firefox went away: ${said}`)));
      process.stderr.on("data", (words) => {
        said += words;
        const at = /WebDriver BiDi listening on (ws:\S+)/.exec(said);
        if (at) { clearTimeout(timer); found(at[1]); }
      });
    });
    const socket = new WebSocket(`${address}/session`);
    await new Promise((ready, failed) => socket.on("open", ready).on("error", failed));
    const firefox = new Firefox(socket, async () => {
      socket.close();
      // With sound open Firefox does not go when it is asked to.
      process.kill("SIGKILL");
      await gone;
      sink.kill();
      rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
    });
    await firefox.send("session.new", { capabilities: {} });
    await firefox.send("session.subscribe", { events: ["log.entryAdded"] });
    firefox.folder = folder;
    await firefox.renew();
    return firefox;
  }

  complaints = [];
  #last = 0;
  #waiting = new Map();

  constructor(socket, close) {
    this.socket = socket;
    this.close = close;
    socket.on("message", (data) => {
      const news = JSON.parse(data);
      if (news.method === "log.entryAdded" && ["error", "warn"].includes(news.params.level))
        this.complaints.push(`${news.params.level}: ${news.params.text}`);
      const waiting = this.#waiting.get(news.id);
      this.#waiting.delete(news.id);
      if (news.type === "error") waiting?.failed(new Error(`${news.error}: ${news.message}`));
      else waiting?.done(news.result);
    });
  }

  send(method, params) {
    const id = ++this.#last;
    return new Promise((done, failed) => {
      this.#waiting.set(id, { done, failed });
      this.socket.send(JSON.stringify({ id, method, params }));
    });
  }

  /** A new window. The one that Firefox opens with has no focus, and one that goes from files to http loses it: there a key
   *  presses no button. */
  async renew() {
    const old = this.context;
    this.context = (await this.send("browsingContext.create", { type: "window" })).context;
    await this.send("browsingContext.activate", { context: this.context });
    if (old) await this.send("browsingContext.close", { context: old });
  }

  async open(url) {
    await this.send("browsingContext.navigate", { context: this.context, url, wait: "complete" });
  }

  /** What a function of the page gives, as JSON would carry it. */
  async ask(what, ...given) {
    const expression = `(async () => JSON.stringify(await (${what})(...${JSON.stringify(given)})))()`;
    const answer = await this.send("script.evaluate", { expression, target: { context: this.context }, awaitPromise: true, userActivation: true });
    if (answer.type === "exception") throw new Error(answer.exceptionDetails.text);
    return answer.result.value === undefined ? undefined : JSON.parse(answer.result.value);
  }

  /** Until a function of the page gives something true. */
  async until(what, ...given) {
    for (const end = Date.now() + 15000; Date.now() < end; await new Promise((r) => setTimeout(r, 50)))
      if (await this.ask(what, ...given)) return;
    throw new Error(`never came: ${what}`);
  }

  /** One key, or keys held down together: "Control+a". */
  press(keys) {
    const all = (keys === "+" ? ["+"] : keys.split("+")).map((k) => named[k] ?? k);
    const actions = [...all.map((value) => ({ type: "keyDown", value })), ...all.reverse().map((value) => ({ type: "keyUp", value }))];
    return this.send("input.performActions", { context: this.context, actions: [{ type: "key", id: "keys", actions }] });
  }

  /** Letter by letter. */
  type(text) {
    const actions = [...text].flatMap((value) => [{ type: "keyDown", value }, { type: "keyUp", value }]);
    return this.send("input.performActions", { context: this.context, actions: [{ type: "key", id: "keys", actions }] });
  }

  drag(from, to) {
    const move = (p) => ({ type: "pointerMove", x: Math.round(p.x), y: Math.round(p.y) });
    const actions = [move(from), { type: "pointerDown", button: 0 }, move({ x: (from.x + to.x) / 2, y: to.y }), move(to), { type: "pointerUp", button: 0 }];
    return this.send("input.performActions", { context: this.context, actions: [{ type: "pointer", id: "mouse", actions }] });
  }

  /** The bytes of a file that the page gave away. */
  async taken(name) {
    const file = join(this.folder, "taken", name);
    for (const end = Date.now() + 15000; Date.now() < end; await new Promise((r) => setTimeout(r, 50)))
      if (existsSync(file) && statSync(file).size > 0 && !existsSync(`${file}.part`)) return readFileSync(file);
    throw new Error(`was not given: ${name}`);
  }

  /** The whole page as PNG, in a window of this size. */
  async photograph(width, height) {
    await this.send("browsingContext.setViewport", { context: this.context, viewport: { width, height } });
    const { data } = await this.send("browsingContext.captureScreenshot", { context: this.context, origin: "document" });
    return Buffer.from(data, "base64");
  }
}
