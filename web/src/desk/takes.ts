/** Takes of pupils: record or drop them, see what was heard, and how each pupil comes along. */

import { LitElement, html, nothing, type TemplateResult } from "lit";
import { unsafeHTML } from "lit/directives/unsafe-html.js";
import "../player/recorder.js";
import type { LickPlayer } from "../player/player.js";
import type { Recorded } from "../player/recorder.js";
import { api, said, type Heard, type Pupil, type PupilLine, type Read } from "./api.js";
import { apart } from "./apart.js";
import { makePlayer } from "./page.js";
import { href } from "./where.js";

interface Take {
  file: string;
  address: string;
  heard: Heard | null; // null while it is listened to, or with trouble
  trouble: string;
}

const MOST_BYTES = 60 << 20;

export class DeskTakes extends LitElement {
  static override properties = {
    lesson: { type: String },
    read: { state: true },
    phrase: { state: true },
    pupil: { state: true },
    pupils: { state: true },
    kept: { state: true },
    takes: { state: true },
    trouble: { state: true },
    forgetting: { state: true },
    over: { state: true },
    shown: { state: true },
  };

  declare lesson: string;
  declare read: Read | null;
  declare phrase: string;
  declare pupil: string;
  declare pupils: PupilLine[];
  declare kept: Pupil | null;
  declare takes: Take[];
  declare trouble: string;
  declare forgetting: boolean;
  declare over: boolean;
  declare shown: number;

  private text = "";

  constructor() {
    super();
    this.lesson = "";
    this.read = null;
    this.phrase = "";
    this.pupil = "";
    this.pupils = [];
    this.kept = null;
    this.takes = [];
    this.trouble = "";
    this.forgetting = false;
    this.over = false;
    this.shown = 0;
  }

  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  override firstUpdated(): void {
    void this.open();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    for (const take of this.takes) URL.revokeObjectURL(take.address);
  }

  private async open(): Promise<void> {
    try {
      this.text = (await api.lesson(this.lesson)).text;
      this.read = await api.read(this.text, []);
      this.phrase = this.read.phrases.find((phrase) => phrase.whole)?.name ?? "";
      this.pupils = await api.pupils();
    } catch (error) {
      this.trouble = said(error);
    }
  }

  private async listen(blob: Blob, file: string): Promise<void> {
    const take: Take = { file, address: URL.createObjectURL(blob), heard: null, trouble: "" };
    this.takes = [take, ...this.takes];
    this.shown = 0;
    try {
      if (blob.size > MOST_BYTES) throw new Error("it is longer than the desk can take: cut out the part with the phrase");
      take.heard = await api.take(this.lesson, this.phrase, this.pupil.trim(), file, blob);
      if (this.pupil.trim()) this.pupils = await api.pupils();
    } catch (error) {
      take.trouble = said(error);
    }
    this.takes = [...this.takes];
    await this.updateComplete;
    const place = this.querySelector<HTMLElement>(".take-shown");
    if (take.heard && place) place.scrollIntoView({ block: "nearest" });
  }

  private async files(files: Iterable<File>): Promise<void> {
    for (const file of files) await this.listen(file, file.name);
  }

  protected override render(): TemplateResult {
    return html`<div class="lesson is-close">
      <header class="bar">
        <a href="#/" class="home">All lessons</a>
        <h1>Takes of ${this.read?.title || this.lesson}</h1>
        <div class="bar-do"><a href=${href(this.lesson)}>Back to the lesson</a></div>
      </header>
      <main class="close takes">
        <p class="trouble" role="alert">${this.trouble}</p>
        ${!this.read ? nothing : this.phrase ? this.asking() : html`<p class="nothing">No phrase of this lesson can be read yet.</p>`}
        ${this.takes.length ? this.list() : nothing} ${this.course()}
      </main>
    </div>`;
  }

  private asking(): TemplateResult {
    const phrases = (this.read?.phrases ?? []).filter((phrase) => phrase.whole);
    return html`<section
      class="drop ${this.over ? "is-over" : ""}"
      aria-label="A take"
      @dragover=${(event: DragEvent) => {
        event.preventDefault();
        this.over = true;
      }}
      @dragleave=${() => (this.over = false)}
      @drop=${(event: DragEvent) => {
        event.preventDefault();
        this.over = false;
        void this.files(event.dataTransfer?.files ?? []);
      }}
    >
      <div class="fields">
        <label>Phrase
          <select @change=${(event: Event) => (this.phrase = (event.target as HTMLSelectElement).value)}>
            ${phrases.map((phrase) => html`<option value=${phrase.name} ?selected=${phrase.name === this.phrase}>${phrase.title}</option>`)}
          </select></label>
        <label>Keep it under a pupil's name (may be left out)
          <input list="pupil-names" maxlength="100" autocomplete="off" .value=${this.pupil} @input=${(event: Event) => (this.pupil = (event.target as HTMLInputElement).value)} />
          <datalist id="pupil-names">${this.pupils.map((pupil) => html`<option value=${pupil.name}></option>`)}</datalist></label>
      </div>
      <div class="drop-do">
        <take-recorder .name=${this.phrase} @recorded=${(event: CustomEvent<Recorded>) => void this.listen(event.detail.blob, event.detail.name)}></take-recorder>
        <label class="quiet file">Choose recordings<input type="file" multiple accept="audio/*,video/mp4,video/webm" @change=${(event: Event) => {
          const input = event.target as HTMLInputElement;
          void this.files([...(input.files ?? [])]).then(() => (input.value = ""));
        }} /></label>
        <span class="facts">or drop them here. They are listened to on this machine, and no recording is kept.</span>
      </div>
      <p class="facts">Headphones, if a band plays along, at a low volume.</p>
    </section>`;
  }

  private list(): TemplateResult {
    const take = this.takes[this.shown];
    return html`<section aria-label="What was heard">
      ${this.takes.length > 1
        ? html`<ol class="take-list">
            ${this.takes.map(
              (each, index) =>
                html`<li><button type="button" class="quiet" aria-pressed=${index === this.shown} @click=${() => (this.shown = index)}>${each.file}</button>
                  <span class="facts">${each.heard?.sentences[0] ?? (each.trouble || "being listened to …")}</span></li>`,
            )}
          </ol>`
        : nothing}
      ${take ? this.one(take) : nothing}
    </section>`;
  }

  private one(take: Take): TemplateResult {
    const heard = take.heard;
    if (!heard) return html`<p class="take-shown ${take.trouble ? "trouble" : ""}" role="status">${take.trouble || `Listening to ${take.file} …`}</p>`;
    return html`<article class="take-shown" aria-label=${take.file}>
      <h2>${take.file}</h2>
      <ul class="told">${heard.sentences.map((sentence) => html`<li>${sentence}</li>`)}</ul>
      ${heard.asides.map((aside) => html`<p class="facts">${aside}</p>`)}
      <div class="beside-take">
        <label class="facts">The take <audio controls src=${take.address} aria-label="The take"></audio></label>
        <button type="button" class="quiet" @click=${(event: Event) => void this.model(event.target as HTMLButtonElement, heard)}>Hear the model</button>
      </div>
      <div class="take-picture wide">${unsafeHTML(heard.wide)}</div>
      <div class="take-picture narrow">${unsafeHTML(apart(heard.narrow, "n-"))}</div>
      ${heard.added.map((extra) => html`<p class="facts">Not written: a note ${extra}.</p>`)}
      <details><summary>Note by note</summary>
        <div class="scroll" tabindex="0" role="region" aria-label="Note by note"><table>
          <thead><tr><th scope="col">Place</th><th scope="col">Written</th><th scope="col">Heard</th><th scope="col">Time</th><th scope="col">Bend, vibrato, slide</th></tr></thead>
          <tbody>${heard.rows.map((row) => html`<tr class=${row.fine ? "" : "lit"}><td>${row.place}</td><td>${row.where}</td><td>${row.verdict}</td><td>${row.time}</td><td>${row.pitch}</td></tr>`)}</tbody>
        </table></div></details>
    </article>`;
  }

  /** The phrase as it is written, beside the take. */
  private async model(button: HTMLButtonElement, heard: Heard): Promise<void> {
    button.disabled = true;
    try {
      const section = document.createElement("div");
      const player: LickPlayer = await makePlayer(section, this.text, heard.phrase, "the model");
      button.replaceWith(player);
      const tempos = player.data?.rungs.map((rung) => Math.abs(rung.tempo - heard.summary.tempo)) ?? [0];
      player.rungIndex = tempos.indexOf(Math.min(...tempos));
      await player.updateComplete;
      await player.play();
    } catch (error) {
      this.trouble = said(error);
      button.disabled = false;
    }
  }

  private course(): TemplateResult {
    return html`<section class="course" aria-label="Pupils">
      <h2>Pupils</h2>
      ${this.pupils.length
        ? html`<ul class="pupils">
            ${this.pupils.map((pupil) => html`<li><button type="button" class="quiet" @click=${() => void this.look(pupil.name)}>${pupil.name}</button> <span class="facts">${pupil.takes} ${pupil.takes === 1 ? "take" : "takes"}, the last on ${pupil.last.slice(0, 10)}</span></li>`)}
          </ul>`
        : html`<p class="facts">Nothing is kept of anyone. Give a name above, and what is heard in a take is kept under it, in this folder only.</p>`}
      ${this.kept ? this.weeks(this.kept) : nothing}
    </section>`;
  }

  private weeks(kept: Pupil): TemplateResult {
    const file = new Blob([JSON.stringify({ kind: kept.kind, pupil: kept.pupil, takes: kept.takes }, null, 1)], { type: "application/json" });
    return html`<article aria-label="${kept.pupil} over the weeks">
      <div class="take-picture">${unsafeHTML(kept.plot)}</div>
      <div class="dialog-do">
        <button type="button" class="quiet" @click=${() => save(file, `${kept.pupil}.json`)}>Take all of it out as a file</button>
        ${this.forgetting
          ? html`<span role="alert">Delete all that is kept of ${kept.pupil}, for good?</span>
              <button type="button" class="quiet" @click=${() => void this.forget(kept.pupil)}>Yes, delete</button>
              <button type="button" class="quiet" @click=${() => (this.forgetting = false)}>No</button>`
          : html`<button type="button" class="quiet" @click=${() => (this.forgetting = true)}>Forget ${kept.pupil}</button>`}
      </div>
    </article>`;
  }

  private async look(name: string): Promise<void> {
    this.forgetting = false;
    try {
      this.kept = await api.pupil(name);
    } catch (error) {
      this.trouble = said(error);
    }
  }

  private async forget(name: string): Promise<void> {
    try {
      await api.forget(name);
      this.kept = null;
      this.forgetting = false;
      this.pupils = await api.pupils();
    } catch (error) {
      this.trouble = said(error);
    }
  }
}

function save(blob: Blob, name: string): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

customElements.define("desk-takes", DeskTakes);
