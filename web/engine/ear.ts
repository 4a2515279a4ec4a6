// SPDX-License-Identifier: Apache-2.0
//
// The microphone. A worklet hands the samples on, a worker hears them (the engine's Listener), the page is told after
// every 256 samples what sounds. No sound leaves the machine; a try's samples stay in memory until the next one.
import type { Look, Verdict } from "./engine";

/** Why there is no microphone, in words for the learner. */
export class NoMicrophone extends Error {}

export interface EarNews {
  look: (look: Look) => void;
  verdict: (verdict: Verdict) => void;
  lost: (words: string) => void;
}

// Runs inside the worklet: no imports, no names of the page. It gathers 256 samples and hands them on. Orders for the worker
// go the same way, so that they come to their place in the sound, however far behind a busy machine hears.
const worklet = `registerProcessor("lw-microphone", class extends AudioWorkletProcessor {
  constructor() { super(); this.room = new Float32Array(256); this.filled = 0;
    this.port.onmessage = (e) => { if (e.ports.length) this.out = e.ports[0]; else this.out.postMessage(e.data); }; }
  process(inputs) {
    const channels = inputs[0];
    if (!channels.length || !this.out) return true;
    for (let i = 0; i < channels[0].length; ++i) {
      let sum = 0;
      for (const c of channels) sum += c[i];
      this.room[this.filled++] = sum / channels.length;
      if (this.filled === 256) { this.out.postMessage(this.room.slice()); this.filled = 0; }
    }
    return true;
  }
});`;

export class Ear {
  private stream: MediaStream | null = null;
  private context: AudioContext | null = null;
  private worker: Worker | null = null;
  private orders: MessagePort | null = null;
  private sound: Float32Array | null = null;

  constructor(
    private readonly module: WebAssembly.Module,
    private readonly workerText: string,
    private readonly news: EarNews,
  ) {}

  get open(): boolean {
    return this.context !== null;
  }

  get rate(): number {
    return this.context?.sampleRate ?? 0;
  }

  /** Asks for the microphone; call it from the press of a button. */
  async start(): Promise<void> {
    if (this.context) return;
    if (!window.isSecureContext || !navigator.mediaDevices?.getUserMedia)
      throw new NoMicrophone(
        "This page may not use the microphone here. Open it from a site that begins with https, or from a file on this computer. All the rest works.",
      );
    if (typeof AudioWorkletNode === "undefined")
      throw new NoMicrophone("This browser cannot listen: it has no AudioWorklet. All the rest works.");
    try {
      this.stream = await navigator.mediaDevices.getUserMedia({
        audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: false },
      });
    } catch (error) {
      const name = (error as DOMException).name;
      throw new NoMicrophone(
        name === "NotFoundError"
          ? "No microphone was found. Plug one in, then press Listen again."
          : name === "NotAllowedError"
            ? "The browser was not allowed to use the microphone. Allow it for this page in the address bar, then press Listen again."
            : "The microphone could not be opened; perhaps another program has it. Close that, then press Listen again.",
      );
    }
    const context = new AudioContext({ latencyHint: "interactive" });
    try {
      // On file:// only a data: address can be loaded.
      await context.audioWorklet.addModule(`data:text/javascript;base64,${btoa(worklet)}`);
    } catch {
      this.release();
      throw new NoMicrophone("This browser cannot listen from here. All the rest works.");
    }
    await context.resume();
    const source = context.createMediaStreamSource(this.stream);
    const node = new AudioWorkletNode(context, "lw-microphone", { numberOfOutputs: 0 });
    source.connect(node);
    const worker = new Worker(URL.createObjectURL(new Blob([this.workerText], { type: "text/javascript" })));
    const pipe = new MessageChannel();
    node.port.postMessage(null, [pipe.port1]);
    worker.postMessage({ module: this.module, port: pipe.port2, rate: context.sampleRate }, [pipe.port2]);
    worker.onmessage = (e: MessageEvent<{ look?: Look; verdict?: Verdict; samples?: Float32Array }>) => {
      if (e.data.look) this.news.look(e.data.look);
      if (e.data.samples) this.sound = e.data.samples;
      if (e.data.verdict) this.news.verdict(e.data.verdict);
    };
    worker.onerror = () => this.news.lost("The ear stopped. Press Listen again.");
    for (const track of this.stream.getAudioTracks())
      track.onended = () => {
        this.stop();
        this.news.lost("The microphone went away. Plug it in, then press Listen again.");
      };
    // A phone that locks, a page left in the background: the browser stops the clock, and nothing more would be heard.
    context.onstatechange = () => {
      if (!this.context || context.state === "running") return;
      this.stop();
      this.news.lost("The browser stopped the microphone while the page was away. Press Listen again.");
    };
    this.context = context;
    this.worker = worker;
    this.orders = node.port;
  }

  /** A fresh ear for one lick. The sound of the last finished try stays until the next is finished. */
  begin(lick: string, harp: string, reeds: (number | null)[] | undefined): void {
    this.orders?.postMessage({ open: { lick, harp, reeds } });
  }

  /** The try is over: the verdict comes as news. */
  finish(): void {
    this.orders?.postMessage({ finish: true });
  }

  /** Sound of the last finished try. */
  take(): Float32Array | null {
    return this.sound;
  }

  stop(): void {
    this.release();
  }

  private release(): void {
    for (const track of this.stream?.getTracks() ?? []) {
      track.onended = null;
      track.stop();
    }
    void this.context?.close();
    this.worker?.terminate();
    this.stream = null;
    this.context = null;
    this.worker = null;
    this.orders = null;
  }
}
