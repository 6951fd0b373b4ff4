/** How is a phrase played in time: rounds without a gap, count-in, band, a part of it, answers? */

import type { Rung } from "./data.js";
import type { Stem, Stems } from "./sound.js";

export interface Wish {
  rung: Rung;
  beats: number; // in a bar
  from: number; // the part, in seconds from the 1 of the first full bar
  to: number;
  whole: boolean; // the part is the whole phrase, with what leads into it
  band: boolean;
  countIn: boolean;
  again: boolean; // and again, until it is stopped
  answer: boolean; // every other round is the pupil's
}

export interface Moment {
  at: number; // seconds from the 1 of the first full bar; NaN while counting in
  round: number; // from 0
  answering: boolean;
}

const AHEAD = 0.35; // seconds that are scheduled before they sound
const SOON = 0.08; // seconds from the button to the first sound
const FADE = 0.008; // seconds of a fade between two pieces
const RING = 1.1; // seconds for which the last note may ring on
const LEAD_IN = 0.02; // seconds of the lead before its first count
const GAIN = 0.85;

export class Transport {
  private readonly out: GainNode;
  private readonly lead: GainNode;
  private readonly band: GainNode;
  private readonly started: number; // context time of the first round
  private nextRound = 0;
  private timer = 0;
  private ended = false;

  constructor(
    private readonly context: AudioContext,
    private readonly stems: Stems,
    private wish: Wish,
    private readonly onEnd: () => void,
  ) {
    this.out = context.createGain();
    this.out.gain.value = GAIN;
    this.out.connect(context.destination);
    this.lead = this.gain(1);
    this.band = this.gain(wish.band ? 1 : 0);
    const begin = context.currentTime + SOON;
    const bar = wish.beats * wish.rung.beat;
    const before = (wish.whole ? Math.max(0, -wish.rung.first) : 0) + LEAD_IN;
    this.started = begin + (wish.countIn ? Math.ceil(before / bar) * bar : before);
    if (wish.countIn) this.count(begin);
    this.schedule();
    this.timer = window.setInterval(() => this.schedule(), 100);
  }

  /** What sounds now, or null before and after. */
  get moment(): Moment | null {
    const late = this.context.outputLatency || this.context.baseLatency || 0;
    const now = this.context.currentTime - late - this.started;
    const { whole, from, rung } = this.wish;
    if (this.ended) return null;
    if (now < (whole ? Math.min(0, rung.first) : 0)) return { at: NaN, round: 0, answering: false };
    const round = Math.max(0, Math.floor(now / this.length));
    if (round >= this.rounds) return null;
    const at = (whole ? 0 : from) + now - round * this.length;
    return { at, round, answering: this.answers(round) };
  }

  setBand(on: boolean): void {
    this.wish = { ...this.wish, band: on };
    this.band.gain.setTargetAtTime(on ? 1 : 0, this.context.currentTime, 0.02);
  }

  setAgain(on: boolean): void {
    this.wish = { ...this.wish, again: on };
    if (on) this.schedule();
  }

  stop(): void {
    if (this.ended) return;
    this.ended = true;
    window.clearInterval(this.timer);
    const now = this.context.currentTime;
    this.out.gain.setTargetAtTime(0, now, 0.015);
    window.setTimeout(() => this.out.disconnect(), 150);
    this.onEnd();
  }

  private get length(): number {
    return this.wish.whole ? this.wish.rung.round : this.wish.to - this.wish.from;
  }

  private get rounds(): number {
    if (this.wish.again) return Infinity;
    return this.wish.answer ? 2 : 1;
  }

  private answers(round: number): boolean {
    return this.wish.answer && round % 2 === 1;
  }

  private gain(value: number): GainNode {
    const node = this.context.createGain();
    node.gain.value = value;
    node.connect(this.out);
    return node;
  }

  private schedule(): void {
    const now = this.context.currentTime;
    while (this.nextRound < this.rounds && this.roundStart(this.nextRound) < now + AHEAD + 1.5) {
      this.play(this.nextRound);
      this.nextRound += 1;
    }
    if (this.nextRound >= this.rounds && now > this.roundStart(this.rounds) + this.tail) this.stop();
  }

  private get tail(): number {
    return this.wish.whole ? RING : 0.05;
  }

  private roundStart(round: number): number {
    return this.started + round * this.length;
  }

  private play(round: number): void {
    const { rung, whole, from, to } = this.wish;
    const start = this.roundStart(round);
    if (!this.answers(round)) {
      const lead = this.stems.lead;
      const first = rung.lead - rung.first; // of the 1 of the first full bar in the sound
      if (whole) {
        const early = LEAD_IN - Math.min(0, rung.first);
        this.clip(lead, this.lead, start - early, first - early, this.length + early + RING);
      } else this.clip(lead, this.lead, start, first + from, this.length + FADE);
    }
    if (this.stems.band && rung.band !== null) {
      const begin = whole ? 0 : from;
      const end = whole ? rung.round : to;
      if (begin < 0) this.bandPart(start, begin + rung.round, rung.round);
      this.bandPart(start - Math.min(0, begin), Math.max(0, begin), end);
      if (round === 0 && whole && rung.first < 0) {
        this.bandPart(start + rung.first, rung.first + rung.round, rung.round);
      }
    }
  }

  private bandPart(when: number, from: number, to: number): void {
    const band = this.stems.band;
    const at = this.wish.rung.band;
    if (!band || at === null) return;
    this.clip(band, this.band, when - FADE / 2, at + from - FADE / 2, to - from + FADE);
  }

  /** A piece of a sound, faded in and out. */
  private clip(stem: Stem, to: AudioNode, when: number, from: number, length: number): void {
    const now = this.context.currentTime;
    const late = Math.max(0, now - when);
    if (late >= length) return;
    const source = this.context.createBufferSource();
    source.buffer = stem.buffer;
    const shape = this.context.createGain();
    const begin = when + late;
    const end = when + length;
    shape.gain.setValueAtTime(0, begin);
    shape.gain.linearRampToValueAtTime(1, begin + FADE);
    shape.gain.setValueAtTime(1, Math.max(begin + FADE, end - FADE));
    shape.gain.linearRampToValueAtTime(0, end);
    source.connect(shape).connect(to);
    source.start(begin, Math.max(0, from + late + stem.delay), length - late);
  }

  private count(begin: number): void {
    const { rung, beats } = this.wish;
    const stop = this.started + (this.wish.whole ? Math.min(0, rung.first) : 0) - 0.01;
    for (let i = 0; begin + i * rung.beat < stop; i += 1) {
      click(this.context, this.out, begin + i * rung.beat, i % beats === 0);
    }
  }
}

/** A dry wooden click; the first of a bar is higher. */
export function click(context: BaseAudioContext, to: AudioNode, when: number, first: boolean): void {
  const tone = context.createOscillator();
  const shape = context.createGain();
  tone.type = "triangle";
  tone.frequency.value = first ? 1760 : 1245;
  shape.gain.setValueAtTime(0, when);
  shape.gain.linearRampToValueAtTime(0.35, when + 0.001);
  shape.gain.exponentialRampToValueAtTime(0.001, when + 0.05);
  tone.connect(shape).connect(to);
  tone.start(when);
  tone.stop(when + 0.06);
}

/** Sound a piece of a stem by itself, once; gives back what stops it. `at`, `seconds`: in the stem. */
export function playPiece(
  context: AudioContext,
  stem: Stem,
  at: number,
  seconds: number,
  onEnd: () => void,
): () => void {
  const length = Math.max(seconds, 4 * FADE);
  const source = context.createBufferSource();
  source.buffer = stem.buffer;
  const shape = context.createGain();
  const now = context.currentTime;
  shape.gain.setValueAtTime(0, now);
  shape.gain.linearRampToValueAtTime(GAIN, now + FADE);
  shape.gain.setValueAtTime(GAIN, now + length - FADE);
  shape.gain.linearRampToValueAtTime(0, now + length);
  source.connect(shape).connect(context.destination);
  source.onended = onEnd;
  source.start(now, Math.max(0, at + stem.delay), length);
  return () => source.stop();
}
