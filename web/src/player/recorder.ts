/** Records the pupil, on this device only: nothing is sent anywhere. */

import { LitElement, html, nothing, type TemplateResult } from "lit";

export interface Recorded {
  blob: Blob;
  name: string; // of a file
}

const LOUDEST = 0.98; // of full scale: clipped
const QUIETEST = 0.02;
const LONGEST = 120_000; // ms

export class TakeRecorder extends LitElement {
  static override properties = {
    name: { type: String },
    state: { state: true },
    address: { state: true },
    trouble: { state: true },
    word: { state: true },
    seconds: { state: true },
  };

  declare name: string; // of the phrase
  declare state: "still" | "asking" | "recording";
  declare address: string;
  declare trouble: string;
  declare word: string;
  declare seconds: number;

  private recorder: MediaRecorder | null = null;
  private stream: MediaStream | null = null;
  private parts: Blob[] = [];
  private file = "";
  private loudest = 0;
  private clock = 0;

  constructor() {
    super();
    this.name = "take";
    this.state = "still";
    this.address = "";
    this.trouble = "";
    this.word = "";
    this.seconds = 0;
  }

  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.recorder?.stop();
    this.free();
  }

  async begin(): Promise<void> {
    this.trouble = this.word = "";
    this.state = "asking";
    try {
      this.stream = await navigator.mediaDevices.getUserMedia({
        audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: false },
      });
    } catch (error) {
      this.state = "still";
      this.trouble = refusal(error);
      return;
    }
    this.parts = [];
    this.loudest = 0;
    this.recorder = new MediaRecorder(this.stream);
    this.recorder.addEventListener("dataavailable", (event) => this.parts.push(event.data));
    this.recorder.addEventListener("stop", () => this.finish());
    this.recorder.start();
    this.state = "recording";
    this.dispatchEvent(new CustomEvent("recording", { bubbles: true }));
    this.watch(this.stream);
  }

  end(): void {
    if (this.recorder?.state === "recording") this.recorder.stop();
  }

  /** How loud is it, and how long already? */
  private watch(stream: MediaStream): void {
    const context = new AudioContext();
    const meter = context.createAnalyser();
    context.createMediaStreamSource(stream).connect(meter);
    const data = new Float32Array(meter.fftSize);
    const began = Date.now();
    this.clock = window.setInterval(() => {
      meter.getFloatTimeDomainData(data);
      for (const value of data) this.loudest = Math.max(this.loudest, Math.abs(value));
      this.seconds = Math.floor((Date.now() - began) / 1000);
      if (this.state !== "recording") {
        window.clearInterval(this.clock);
        void context.close();
      } else if (Date.now() - began > LONGEST) this.end();
    }, 40);
  }

  private finish(): void {
    this.state = "still";
    this.free();
    const type = this.recorder?.mimeType || "audio/webm";
    const blob = new Blob(this.parts, { type });
    this.file = `${this.name}-take.${type.includes("mp4") ? "m4a" : type.includes("ogg") ? "ogg" : "webm"}`;
    if (this.address) URL.revokeObjectURL(this.address);
    this.address = URL.createObjectURL(blob);
    if (this.loudest > LOUDEST) this.word = "It was too loud for the microphone: move a step away.";
    else if (this.loudest < QUIETEST) this.word = "Hardly anything was heard: move closer to the microphone.";
    this.dispatchEvent(new CustomEvent<Recorded>("recorded", { detail: { blob, name: this.file }, bubbles: true }));
  }

  private free(): void {
    for (const each of this.stream?.getTracks() ?? []) each.stop();
    this.stream = null;
  }

  protected override render(): TemplateResult {
    const on = this.state === "recording";
    return html`<div class="recorder" role="group" aria-label="Record yourself">
      <button type="button" class="quiet record ${on ? "is-on" : ""}" ?disabled=${this.state === "asking"} @click=${() => (on ? this.end() : void this.begin())}>
        ${on ? `Stop recording (${this.seconds} s)` : this.address ? "Record once more" : "Record yourself"}
      </button>
      ${this.address && !on
        ? html`<audio controls src=${this.address} aria-label="Your take"></audio>
            <a class="quiet" href=${this.address} download=${this.file}>Save it to a file</a>`
        : nothing}
      <span role="status">${this.trouble || this.word}</span>
    </div>`;
  }
}

function refusal(error: unknown): string {
  const name = error instanceof DOMException ? error.name : "";
  if (name === "NotAllowedError") return "The microphone may not be used here: allow it in the browser, or open this page from its folder.";
  if (name === "NotFoundError") return "No microphone was found.";
  return "This browser cannot record here; record with your telephone instead.";
}

customElements.define("take-recorder", TakeRecorder);
