/** One phrase up close: picture, neck, reasons, both hands; moved elsewhere before it is taken over. */

import { LitElement, html, nothing, type TemplateResult } from "lit";
import { unsafeHTML } from "lit/directives/unsafe-html.js";
import { enliven } from "../page/phrase.js";
import { api, said, type Close, type OtherString, type Place, type Trouble, type Words } from "./api.js";
import { apart } from "./apart.js";
import type { LickPlayer } from "../player/player.js";
import { handTable } from "./hands.js";
import { makePlayer } from "./page.js";

export interface CloseAsked {
  text(): string;
  take(block: string, behind: boolean): void; // put a block in the place of the phrase, or behind it
  prose(sentence: string): void; // write a sentence above the phrase
  back(): void;
}

interface Tried {
  words: string;
  block: string;
  html: string;
  notes: string[];
}

export class DeskClose extends LitElement {
  static override properties = {
    name: { type: String },
    found: { state: true },
    places: { state: true },
    strings: { state: true },
    tried: { state: true },
    trouble: { state: true },
    working: { state: true },
    note: { state: true },
    told: { state: true },
  };

  declare name: string;
  declare found: Close | null;
  declare places: Place[] | null;
  declare strings: Record<string, OtherString[]>; // by note, of those that were asked for
  declare tried: Tried | null;
  declare trouble: string;
  declare working: boolean;
  declare note: string;
  declare told: string;

  asked: CloseAsked | null = null;
  words: Words | null = null;

  private player: Promise<LickPlayer> | null = null; // of the phrase as it is

  constructor() {
    super();
    this.name = "";
    this.found = null;
    this.places = null;
    this.strings = {};
    this.tried = null;
    this.trouble = "";
    this.working = false;
    this.note = "";
    this.told = "";
  }

  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  override updated(changed: Map<string, unknown>): void {
    if (changed.has("name") && this.name) void this.load();
    if (changed.has("found") && this.found) this.live(".close-picture", this.found.title);
    if (changed.has("tried") && this.tried) this.live(".tried-picture", this.tried.words);
  }

  /** Read the phrase anew. */
  async load(): Promise<void> {
    await this.do(async () => {
      this.found = await api.close(this.asked?.text() ?? "", this.name);
      this.places = null;
      this.strings = {};
      this.tried = null;
      this.player = null;
    });
  }

  private async do(work: () => Promise<void>): Promise<void> {
    this.working = true;
    try {
      await work();
      this.trouble = "";
    } catch (error) {
      this.trouble = said(error);
    } finally {
      this.working = false;
    }
  }

  /** The pictures are the page's own: its sentences light up notes, and notes can be chosen. */
  private live(place: string, title: string): void {
    const section = this.querySelector<HTMLElement>(`${place} .phrase`);
    if (!section || section.dataset["live"]) return;
    section.dataset["live"] = "yes";
    enliven(section, null);
    section.querySelector(".score")?.addEventListener("click", (event) => {
      const note = (event.target as Element).closest<SVGElement>("[data-note]")?.dataset["note"];
      if (note && place === ".close-picture") this.choose(note);
    });
    const hear = document.createElement("button");
    hear.type = "button";
    hear.className = "strong hear";
    hear.textContent = "Hear it";
    hear.setAttribute("aria-label", `Hear it: ${title}`);
    hear.addEventListener("click", () => {
      const tried = place === ".tried-picture" ? this.tried : null;
      hear.disabled = true;
      void this.do(async () => {
        const player = await (tried ? this.playerOf(section, hear, tried) : this.ownPlayer());
        await player.play();
      }).then(() => (hear.disabled = false));
    });
    section.querySelector(".music")?.append(hear);
  }

  private async playerOf(section: HTMLElement, hear: Element | null, tried: Tried | null): Promise<LickPlayer> {
    const text = tried ? tried.block : (this.asked?.text() ?? "");
    const name = tried ? (/^```lick (\S+)/.exec(tried.block)?.[1] ?? this.name) : this.name;
    const player = await makePlayer(section, text, name, tried?.words ?? this.found?.title ?? this.name);
    hear?.replaceWith(player);
    await player.updateComplete;
    return player;
  }

  /** The player of the phrase as it is; made once. */
  private ownPlayer(): Promise<LickPlayer> {
    if (!this.player) {
      const section = this.querySelector<HTMLElement>(".close-picture .phrase");
      if (!section) throw new Error("there is no picture of the phrase");
      this.player = this.playerOf(section, section.querySelector(".hear"), null);
      this.player.catch(() => (this.player = null));
    }
    return this.player;
  }

  private async hearNote(note: string): Promise<void> {
    await this.do(async () => (await this.ownPlayer()).playNote(note));
  }

  private choose(note: string): void {
    this.note = note;
    void this.updateComplete.then(() => {
      const row = this.querySelector<HTMLElement>(`tr[data-hand="${CSS.escape(note)}"]`);
      row?.scrollIntoView({ block: "nearest" });
      row?.querySelector("button")?.focus();
    });
  }

  protected override render(): TemplateResult {
    const found = this.found;
    return html`<main class="close" aria-label="A phrase up close">
      <p><button type="button" class="quiet" @click=${() => this.asked?.back()}>Back to the lesson</button></p>
      <p class="trouble" role="alert">${this.trouble}</p>
      <p class="facts" role="status">${this.working ? "one moment …" : this.told}</p>
      ${found ? this.all(found) : nothing}
    </main>`;
  }

  private all(found: Close): TemplateResult {
    return html`<div class="close-picture">${unsafeHTML(apart(found.html, "close-"))}</div>
      ${this.tried ? this.trial(this.tried) : nothing}
      <div class="close-more">
        <section class="moves">
          <h2>Move it</h2>
          ${this.moves()}
        </section>
        <section>
          <h2>Other places on the neck</h2>
          ${this.otherPlaces()}
        </section>
        <section>
          <h2>Can a hand play it?</h2>
          ${found.troubles.length
            ? found.troubles.map((trouble, index) => this.troubled(trouble, index))
            : html`<p class="facts">Nothing in it is too hard for an average hand.</p>`}
        </section>
        <section>
          <h2>Reasons for the prose</h2>
          <ul class="reasons">
            ${found.reasons.map(
              (reason) =>
                html`<li>
                  ${reason.text}
                  <button type="button" class="quiet" aria-label="Into the prose: ${reason.text}" @click=${() => this.write(reason.text)}>
                    Into the prose
                  </button>
                </li>`,
            )}
          </ul>
        </section>
        <section class="hands">
          <h2>Fingers and picking</h2>
          <p>${found.hands.picking}</p>
          <p>${found.hands.damping}</p>
          ${handTable(found, this.note, this.strings, {
            hear: (note) => void this.hearNote(note),
            finger: (note, finger, place) => void this.finger(note, finger, place),
            strings: (note) => void this.lookForStrings(note),
            string: (other, where, place) => this.tryString(other, where, place),
          })}
        </section>
      </div>`;
  }

  private write(sentence: string): void {
    this.asked?.prose(sentence);
    this.told = "It stands above the phrase now.";
  }

  private trial(tried: Tried): TemplateResult {
    return html`<section class="tried" aria-label="Tried, not taken over yet">
      <h2>${tried.words}</h2>
      ${tried.notes.length ? html`<ul>${tried.notes.map((note) => html`<li>${note}</li>`)}</ul>` : nothing}
      <div class="tried-picture">${unsafeHTML(apart(tried.html, "tried-"))}</div>
      <div class="dialog-do">
        <button type="button" class="strong" @click=${() => this.takeOver(tried, false)}>Take it over</button>
        <button type="button" class="quiet" @click=${() => this.takeOver(tried, true)}>Put it behind, keep both</button>
        <button type="button" class="quiet" @click=${() => (this.tried = null)}>Leave it</button>
      </div>
    </section>`;
  }

  private takeOver(tried: Tried, behind: boolean): void {
    const own = behind ? tried.block : tried.block.replace(/^```lick \S+/, "```lick " + this.name);
    this.asked?.take(own, behind);
    this.tried = null;
    this.told = behind ? "It stands behind the phrase now." : "Taken over; undo in the editor takes it back.";
    if (!behind) void this.load();
  }

  private moves(): TemplateResult {
    const words = this.words;
    const list = (values: string[]): TemplateResult[] => values.map((value) => html`<option value=${value}></option>`);
    return html`<form
      class="fields"
      @submit=${(event: Event) => {
        event.preventDefault();
        void this.move(new FormData(event.target as HTMLFormElement));
      }}
    >
      <label>Key <input name="key" list="close-keys" autocomplete="off" /></label>
      <label>Pattern
        <select name="pattern">
          <option value="">as it is</option>
          ${[1, 2, 3, 4, 5].map((number) => html`<option value=${number}>${number}</option>`)}
        </select></label>
      <label>Octave
        <select name="octave">
          <option value="">as it is</option>
          <option value="1">one up</option>
          <option value="-1">one down</option>
        </select></label>
      <label>Onto the chord <input name="chord" list="close-chords" autocomplete="off" /></label>
      <label>Tuning <input name="tuning" list="close-tunings" autocomplete="off" /></label>
      <label>Capo at fret <input name="capo" inputmode="numeric" pattern="[0-9]*" autocomplete="off" /></label>
      <datalist id="close-keys">${list(words?.keys ?? [])}</datalist>
      <datalist id="close-chords">${list(words?.chords ?? [])}</datalist>
      <datalist id="close-tunings">${list(words?.tunings ?? [])}</datalist>
      <button type="submit" class="quiet">Try it</button>
    </form>`;
  }

  private async move(form: FormData): Promise<void> {
    const text = (name: string): string => String(form.get(name) ?? "").trim();
    const to: Record<string, unknown> = { key: text("key"), chord: text("chord"), tuning: text("tuning") };
    for (const name of ["pattern", "octave", "capo"]) if (text(name)) to[name] = Number(text(name));
    await this.do(async () => {
      const moved = await api.move(this.asked?.text() ?? "", this.name, to);
      this.tried = {
        words: "Moved, not taken over yet",
        block: moved.block,
        html: moved.html,
        notes: [...moved.changed.map((each) => `Changed: ${each}`), ...moved.lost.map((each) => `Lost: ${each}`)],
      };
    });
    this.querySelector(".tried")?.scrollIntoView({ block: "nearest" });
  }

  private otherPlaces(): TemplateResult {
    if (this.places === null) {
      return html`<button type="button" class="quiet" @click=${() => void this.look()}>Look for them</button>`;
    }
    if (!this.places.length) return html`<p class="facts">There is none.</p>`;
    return html`<ol class="places">
      ${this.places.map(
        (place) =>
          html`<li>
            frets ${place.frets[0]} to ${place.frets[1]}
            <span class="facts">${place.cost} points${place.lost.length ? `; lost: ${place.lost.join("; ")}` : ""}</span>
            <button
              type="button"
              class="quiet"
              aria-label="See it: frets ${place.frets[0]} to ${place.frets[1]}"
              @click=${() => {
                this.tried = {
                  words: `At frets ${place.frets[0]} to ${place.frets[1]}, not taken over yet`,
                  block: place.block,
                  html: place.html,
                  notes: place.lost.map((each) => `Lost: ${each}`),
                };
              }}
            >
              See it
            </button>
          </li>`,
      )}
    </ol>`;
  }

  private async look(): Promise<void> {
    await this.do(async () => {
      this.places = await api.places(this.asked?.text() ?? "", this.name);
    });
  }

  private troubled(trouble: Trouble, index: number): TemplateResult {
    return html`<div class="troubled">
      <p>${trouble.where}: ${trouble.what}</p>
      <ul class="measures">
        ${trouble.measures.map(
          (each) =>
            html`<li>${each.name}: ${each.value} ${each.unit}${each.limit === null ? "" : ` (at most ${Math.round(each.limit * 10) / 10})`}</li>`,
        )}
      </ul>
      ${[trouble.mend, ...trouble.or].map(
        (words, way) =>
          html`<button type="button" class="quiet" @click=${() => void this.wayOut(index, way, words)}>${words}</button>`,
      )}
    </div>`;
  }

  private async wayOut(trouble: number, way: number, words: string): Promise<void> {
    await this.do(async () => {
      const made = await api.wayOut(this.asked?.text() ?? "", this.name, trouble, way);
      this.tried = { words: `${words}: not taken over yet`, block: made.block, html: made.html, notes: [] };
    });
  }

  private async lookForStrings(note: string): Promise<void> {
    await this.do(async () => {
      const found = await api.strings(this.asked?.text() ?? "", this.name, note);
      this.strings = { ...this.strings, [note]: found };
    });
  }

  private tryString(other: OtherString, where: string, place: string): void {
    this.tried = { words: `The note at ${place} on the ${where}, not taken over yet`, block: other.block, html: other.html, notes: [] };
    void this.updateComplete.then(() => this.querySelector(".tried")?.scrollIntoView({ block: "nearest" }));
  }

  private async finger(note: string, finger: string, place: string): Promise<void> {
    await this.do(async () => {
      const made = await api.finger(this.asked?.text() ?? "", this.name, note, finger);
      this.tried = { words: `Finger ${finger} at ${place}, not taken over yet`, block: made.block, html: made.html, notes: [] };
    });
  }
}

customElements.define("desk-close", DeskClose);
