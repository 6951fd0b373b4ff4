/** Building the pack: what is wanted, how far it is, stop it, open it. */

import { LitElement, html, nothing, type TemplateResult } from "lit";
import { api, said, type Build, type Words } from "./api.js";

const KINDS = ["mp3", "flac", "wav", "ogg"];

export class DeskBuild extends LitElement {
  static override properties = {
    build: { state: true },
    keys: { state: true },
    kinds: { state: true },
    trouble: { state: true },
    shown: { state: true },
  };

  declare build: Build | null;
  declare keys: string[];
  declare kinds: string[];
  declare trouble: string;
  declare shown: boolean;

  name = "";
  words: Words | null = null;
  first: (() => Promise<void>) | null = null;
  private timer = 0;

  constructor() {
    super();
    this.build = null;
    this.keys = [];
    this.kinds = ["mp3"];
    this.trouble = "";
    this.shown = false;
  }

  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    window.clearTimeout(this.timer);
  }

  /** `first`: what has to be done before (save the text). */
  open(name: string, words: Words, first: () => Promise<void>): void {
    if (this.name !== name) {
      this.build = null;
      this.keys = [];
    }
    this.name = name;
    this.words = words;
    this.first = first;
    this.trouble = "";
    this.shown = true;
    void this.updateComplete.then(() => this.querySelector("dialog")?.showModal());
  }

  private get busy(): boolean {
    return this.build?.state === "waiting" || this.build?.state === "building";
  }

  private async begin(event: Event): Promise<void> {
    event.preventDefault();
    this.trouble = "";
    try {
      await this.first?.();
      this.build = await api.build(this.name, this.keys, this.kinds);
      this.follow();
    } catch (error) {
      this.trouble = said(error);
    }
  }

  private follow(): void {
    window.clearTimeout(this.timer);
    this.timer = window.setTimeout(() => void this.look(), 300);
  }

  private async look(): Promise<void> {
    if (!this.build) return;
    try {
      this.build = await api.built(this.build.id);
      this.trouble = "";
      if (this.busy) this.follow();
    } catch (error) {
      this.trouble = said(error);
      this.follow();
    }
  }

  private async stop(): Promise<void> {
    if (this.build) this.build = await api.stop(this.build.id);
    this.follow();
  }

  protected override render(): TemplateResult | typeof nothing {
    if (!this.shown || !this.words) return nothing;
    return html`<dialog class="form" aria-labelledby="build-title" @close=${() => (this.shown = false)}>
      <h2 id="build-title">Build the pack</h2>
      <p class="facts">Handout, page, audio and files for other programs, in the folder ${this.name}-pack.</p>
      ${this.busy ? this.progress() : this.wish(this.words)}
      <p class="trouble" role="alert">${this.trouble}</p>
      ${this.result()}
      <div class="dialog-do">
        <button type="button" class="quiet" @click=${() => this.querySelector("dialog")?.close()}>Close</button>
      </div>
    </dialog>`;
  }

  private wish(words: Words): TemplateResult {
    return html`<form @submit=${(event: Event) => void this.begin(event)}>
      <fieldset>
        <legend>Audio files</legend>
        ${KINDS.map(
          (kind) => html`<label class="switch"><input type="checkbox" .checked=${this.kinds.includes(kind)} @change=${() => (this.kinds = toggled(this.kinds, kind))} />${kind}</label>`,
        )}
        <span class="facts">${this.kinds.length ? "" : "none: quick, the page then has no player"}</span>
      </fieldset>
      <fieldset class="keys">
        <legend>Also in other keys</legend>
        ${words.keys.slice(0, 12).map(
          (key) => html`<label class="switch"><input type="checkbox" .checked=${this.keys.includes(key)} @change=${() => (this.keys = toggled(this.keys, key))} />${key}</label>`,
        )}
      </fieldset>
      <button type="submit" class="strong">Build</button>
    </form>`;
  }

  private progress(): TemplateResult {
    const build = this.build as Build;
    return html`<div class="progressing">
      <progress max=${build.steps || 1} value=${build.done} aria-label="How far the build is"></progress>
      <p role="status">${build.state === "waiting" ? "waiting for its turn" : `${build.done} of ${build.steps}: ${build.label}`}</p>
      <button type="button" class="quiet" @click=${() => void this.stop()}>Stop</button>
    </div>`;
  }

  private result(): TemplateResult | typeof nothing {
    const build = this.build;
    if (!build || this.busy) return nothing;
    const words = { done: "Done.", stopped: "Stopped; the pack is as it was before.", failed: "It could not be built.", waiting: "", building: "" };
    return html`<div class="result" role="status">
      <p>${words[build.state]}</p>
      ${build.notes.length ? html`<ul>${build.notes.map((note) => html`<li>${note}</li>`)}</ul>` : nothing}
      ${build.state === "done"
        ? html`<ul class="packs">
            ${build.packs.map((pack) => {
              const at = encodeURIComponent(pack);
              return html`<li>
                <b>${pack}</b> <a href="/packs/${at}/lesson.html" target="_blank" rel="noopener">Open the page</a>
                <a href="/packs/${at}/handout.pdf" target="_blank" rel="noopener">Open the handout</a>
                <a href="/api/packs/${at}" download>Take all as one zip file</a>
              </li>`;
            })}
          </ul>`
        : nothing}
    </div>`;
  }
}

function toggled(all: string[], one: string): string[] {
  return all.includes(one) ? all.filter((each) => each !== one) : [...all, one];
}

customElements.define("desk-build", DeskBuild);
