/** The player of one phrase: tempo, part, band, rounds. Used by the page and by the desk. */

import { LitElement, html, nothing, svg, type TemplateResult } from "lit";
import type { BendTarget, PlayerData, Rung, SoundSource } from "./data.js";
import { decode, type Stems } from "./sound.js";
import { type Moment, Transport, playPiece } from "./transport.js";

/** What is heard now, for all that follows it: `notes` sound, `at` is NaN while counting in. */
export interface Heard {
  at: number;
  notes: ReadonlySet<string>;
  rung: Rung;
  answering: boolean;
}

/** Which tempos are done, kept somewhere else. */
export interface Done {
  has(phrase: string, tempo: number): boolean;
  set(phrase: string, tempo: number, done: boolean): void;
}

const NEAR = 0.0005; // seconds
let playing: LickPlayer | null = null;

export class LickPlayer extends LitElement {
  static override properties = {
    data: { attribute: false },
    label: { type: String },
    state: { state: true },
    rungIndex: { state: true },
    from: { state: true },
    to: { state: true },
    band: { state: true },
    countIn: { state: true },
    again: { state: true },
    answer: { state: true },
    bending: { state: true },
    trouble: { state: true },
  };

  declare data: PlayerData | null;
  declare label: string;
  declare state: "still" | "loading" | "playing";
  declare rungIndex: number;
  declare from: number;
  declare to: number;
  declare band: boolean;
  declare countIn: boolean;
  declare again: boolean;
  declare answer: boolean;
  declare bending: string;
  declare trouble: string;

  source: SoundSource | null = null;
  done: Done | null = null;

  private context: AudioContext | null = null;
  private stems: Stems | null = null;
  private transport: Transport | null = null;
  private stopPiece: (() => void) | null = null;

  constructor() {
    super();
    this.data = null;
    this.label = "";
    this.state = "still";
    this.rungIndex = 0;
    this.from = 0;
    this.to = 0;
    this.band = false;
    this.countIn = true;
    this.again = false;
    this.answer = false;
    this.bending = "";
    this.trouble = "";
  }

  /** The page's own style is used. */
  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  override willUpdate(changed: Map<string, unknown>): void {
    if (changed.has("data") && this.data) {
      this.to = this.data.places.length - 1;
      this.rungIndex = Math.min(this.rungIndex, this.data.rungs.length - 1);
    }
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.stop();
  }

  get rung(): Rung | undefined {
    return this.data?.rungs[this.rungIndex];
  }

  /** What sounds now: seconds from the 1 of the first full bar. */
  get moment(): Moment | null {
    return this.transport?.moment ?? null;
  }

  async play(): Promise<void> {
    if (playing && playing !== this) playing.stop();
    playing = this;
    this.halt();
    const context = await this.ready();
    const rung = this.rung;
    if (!context || !this.stems || !rung || !this.data) return;
    const last = this.data.places.length - 1;
    const whole = this.from === 0 && this.to === last;
    this.transport = new Transport(
      context,
      this.stems,
      {
        rung,
        beats: this.data.beats,
        from: rung.at[this.from] ?? 0,
        to: rung.at[this.to] ?? rung.round,
        whole,
        band: this.band,
        countIn: this.countIn,
        again: this.again,
        answer: this.answer,
      },
      () => this.ended(),
    );
    this.state = "playing";
    this.follow();
  }

  stop(): void {
    this.halt();
    this.ended();
  }

  private halt(): void {
    this.stopPiece?.();
    this.stopPiece = null;
    const transport = this.transport;
    this.transport = null;
    transport?.stop();
  }

  private ended(): void {
    if (this.transport) this.transport = null;
    this.state = "still";
    this.bending = "";
    this.tell(null);
  }

  /** A running context and the decoded sounds; null (and a word of trouble) without. */
  private async ready(): Promise<AudioContext | null> {
    this.trouble = "";
    try {
      this.context ??= new AudioContext();
      if (!this.stems && this.source) {
        this.state = "loading";
        this.stems = await decode(this.context, this.source);
      }
      await this.context.resume();
      return this.context;
    } catch (error) {
      this.state = "still";
      this.trouble = `The sound cannot be played here (${error instanceof Error ? error.message : "unknown"}). The audio files beside this page can.`;
      return null;
    }
  }

  /** Forget the decoded sounds: the phrase has changed. */
  forget(): void {
    this.stop();
    this.stems = null;
  }

  private follow(): void {
    const transport = this.transport;
    const step = (): void => {
      if (!transport || transport !== this.transport) return;
      const moment = transport.moment;
      if (moment) this.tell(moment);
      requestAnimationFrame(step);
    };
    step();
  }

  private tell(moment: Moment | null): void {
    const rung = this.rung;
    let detail: Heard | null = null;
    if (moment && rung) {
      const notes = new Set<string>();
      for (const [note, begin, end] of rung.times) {
        const at = moment.at + NEAR;
        if ((begin <= at && at < end) || (begin < 0 && begin <= at - rung.round)) notes.add(note);
      }
      detail = { at: moment.at, notes, rung, answering: moment.answering };
    }
    this.dispatchEvent(new CustomEvent<Heard | null>("heard", { detail }));
  }

  /** Sound one note by itself, once, at the tempo that is chosen. */
  async playNote(note: string): Promise<void> {
    const rung = this.rung;
    const time = rung?.times.find(([name]) => name === note);
    if (!rung || !time) return;
    const [, begin, end] = time;
    this.stop();
    if (!(await this.piece(rung.lead - rung.first + begin, end - begin, () => this.tell(null)))) return;
    const detail: Heard = { at: NaN, notes: new Set([note]), rung, answering: false };
    this.dispatchEvent(new CustomEvent<Heard | null>("heard", { detail }));
  }

  private async bend(target: BendTarget): Promise<void> {
    const was = this.bending;
    this.stop();
    if (was === target.label) return;
    if (await this.piece(target.at, target.seconds, () => (this.bending = ""))) this.bending = target.label;
  }

  /** Sound a piece of the lead in place of all else; `onEnd` is called unless something else began. */
  private async piece(at: number, seconds: number, onEnd: () => void): Promise<boolean> {
    if (playing && playing !== this) playing.stop();
    playing = this;
    const context = await this.ready();
    if (!context || !this.stems) return false;
    this.state = "still";
    this.stopPiece?.();
    const stop = playPiece(context, this.stems.lead, at, seconds, () => {
      if (this.stopPiece === stop) onEnd();
    });
    this.stopPiece = stop;
    return true;
  }

  private choose(index: number): void {
    this.rungIndex = index;
    if (this.state === "playing") void this.play();
  }

  protected override render(): TemplateResult | typeof nothing {
    const data = this.data;
    const rung = this.rung;
    if (!data || !rung) return nothing;
    return html`<div class="player" role="group" aria-label="Play ${this.label}">
      <div class="player-row">
        ${this.button()}
        ${this.stairs(data)}
        <div class="player-how">${this.switches(rung)} ${this.partChoice(data)}</div>
      </div>
      <div class="player-row">${this.reached(data, rung)} ${this.targets(data)}</div>
      <p class="player-trouble" role="status">${this.trouble}</p>
    </div>`;
  }

  private button(): TemplateResult {
    const on = this.state === "playing";
    const said = on ? "Stop" : this.state === "loading" ? "Wait" : "Play";
    return html`<button
      type="button"
      class="player-play"
      aria-label="${said}: ${this.label}"
      @click=${() => (on ? this.stop() : void this.play())}
    >
      <svg viewBox="0 0 24 24" aria-hidden="true">
        ${on
          ? svg`<rect x="5" y="5" width="14" height="14" rx="1.5" />`
          : svg`<path d="M7 4.2v15.6L20 12z" />`}
      </svg>
      <span>${said}</span>
    </button>`;
  }

  /** The tempos as steps: each a little higher than the one before. */
  private stairs(data: PlayerData): TemplateResult {
    const count = data.rungs.length;
    return html`<fieldset class="stairs">
      <legend>Beats a minute</legend>
      ${data.rungs.map((rung, index) => {
        const done = this.done?.has(data.name, rung.tempo) ?? false;
        const height = count === 1 ? 1 : 0.45 + (0.55 * index) / (count - 1);
        return html`<label class="stair ${done ? "is-done" : ""}">
          <input
            type="radio"
            name="tempo-${data.name}"
            .checked=${index === this.rungIndex}
            @change=${() => this.choose(index)}
            aria-label="${rung.tempo} beats a minute${done ? ", done" : ""}"
          />
          <span class="step" style="--up:${height}"></span><span class="tempo">${rung.tempo}</span>
        </label>`;
      })}
    </fieldset>`;
  }

  private switches(rung: Rung): TemplateResult {
    const one = (
      label: string,
      on: boolean,
      set: (on: boolean) => void,
      off = false,
    ): TemplateResult =>
      html`<label class="switch"
        ><input
          type="checkbox"
          .checked=${on}
          ?disabled=${off}
          @change=${(event: Event) => set((event.target as HTMLInputElement).checked)}
        />
        ${label}</label
      >`;
    return html`<div class="switches">
      ${one(
        "band",
        this.band,
        (on) => {
          this.band = on;
          this.transport?.setBand(on);
        },
        rung.band === null,
      )}
      ${one("count-in", this.countIn, (on) => (this.countIn = on))}
      ${one("again and again", this.again, (on) => {
        this.again = on;
        this.transport?.setAgain(on);
      })}
      ${one("then my turn", this.answer, (on) => {
        this.answer = on;
        if (this.state === "playing") void this.play();
      })}
    </div>`;
  }

  private partChoice(data: PlayerData): TemplateResult {
    const last = data.places.length - 1;
    const list = (value: number, first: number, to: number, name: string, set: (i: number) => void) =>
      html`<label
        >${name}
        <select @change=${(event: Event) => set(Number((event.target as HTMLSelectElement).value))}>
          ${data.places.map((place, index) =>
            index < first || index > to
              ? nothing
              : html`<option value=${index} ?selected=${index === value}>${place}</option>`,
          )}
        </select></label
      >`;
    return html`<div class="part">
      ${list(this.from, 0, last - 1, "from", (index) => this.setPart(index, Math.max(this.to, index + 1)))}
      ${list(this.to, 1, last, "to", (index) => this.setPart(Math.min(this.from, index - 1), index))}
      ${this.from > 0 || this.to < last
        ? html`<button type="button" class="quiet" @click=${() => this.setPart(0, last)}>whole</button>`
        : nothing}
    </div>`;
  }

  /** Play only the part between two places (indexes). */
  setPart(from: number, to: number): void {
    this.from = from;
    this.to = to;
    if (this.state === "playing") void this.play();
  }

  private reached(data: PlayerData, rung: Rung): TemplateResult | typeof nothing {
    const done = this.done;
    if (!done) return nothing;
    return html`<label class="switch reached"
      ><input
        type="checkbox"
        .checked=${done.has(data.name, rung.tempo)}
        @change=${(event: Event) => {
          done.set(data.name, rung.tempo, (event.target as HTMLInputElement).checked);
          this.requestUpdate();
        }}
      />
      I can play it at ${rung.tempo}</label
    >`;
  }

  private targets(data: PlayerData): TemplateResult | typeof nothing {
    if (!data.bends.length) return nothing;
    return html`<div class="targets">
      <span>Hear where a bend goes:</span>
      ${data.bends.map(
        (bend) =>
          html`<button
            type="button"
            class="quiet"
            aria-pressed=${this.bending === bend.label ? "true" : "false"}
            @click=${() => void this.bend(bend)}
          >
            ${bend.label}
          </button>`,
      )}
    </div>`;
  }
}

customElements.define("lick-player", LickPlayer);
