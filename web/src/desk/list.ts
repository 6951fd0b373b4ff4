/** All lessons of the folder: open, begin, copy, rename, put into the bin and take out again. */

import { LitElement, html, nothing, type TemplateResult } from "lit";
import { api, said, type Kept, type LessonLine } from "./api.js";
import { day } from "./days.js";
import { href } from "./where.js";

export class DeskList extends LitElement {
  static override properties = {
    lessons: { state: true },
    bin: { state: true },
    name: { state: true },
    trouble: { state: true },
    renaming: { state: true },
    emptying: { state: true },
  };

  declare lessons: LessonLine[] | null;
  declare bin: Kept[];
  declare name: string;
  declare trouble: string;
  declare renaming: string;
  declare emptying: boolean;

  constructor() {
    super();
    this.lessons = null;
    this.bin = [];
    this.name = "";
    this.trouble = "";
    this.renaming = "";
    this.emptying = false;
  }

  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  override connectedCallback(): void {
    super.connectedCallback();
    void this.load();
    window.addEventListener("focus", this.again);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    window.removeEventListener("focus", this.again);
  }

  private readonly again = (): void => void this.load();

  private async load(): Promise<void> {
    await this.do(async () => {
      [this.lessons, this.bin] = await Promise.all([api.lessons(), api.bin()]);
    });
  }

  /** Do something, and say it if it cannot be done. */
  private async do(work: () => Promise<void>): Promise<void> {
    try {
      await work();
      this.trouble = "";
    } catch (error) {
      this.trouble = said(error);
    }
  }

  private async begin(event: Event): Promise<void> {
    event.preventDefault();
    const name = this.name.trim();
    if (!name) return;
    await this.do(async () => {
      const made = await api.create(name);
      location.hash = href(made.name);
    });
  }

  protected override render(): TemplateResult {
    return html`<main class="list">
      <h1>Your lessons</h1>
      <form class="begin" @submit=${(event: Event) => void this.begin(event)}>
        <label for="new-name">A new lesson</label>
        <input
          id="new-name"
          autocomplete="off"
          maxlength="100"
          placeholder="its name, such as Monday group 4"
          .value=${this.name}
          @input=${(event: Event) => (this.name = (event.target as HTMLInputElement).value)}
        />
        <button type="submit" class="strong" ?disabled=${!this.name.trim()}>Begin it</button>
      </form>
      <p class="trouble" role="alert">${this.trouble}</p>
      ${this.lessons === null
        ? html`<p class="facts">Reading the folder …</p>`
        : this.lessons.length
          ? this.table(this.lessons)
          : html`<p class="nothing">
              No lesson is here yet. Give one a name above: it begins with a small phrase that you can change.
            </p>`}
      ${this.bin.length ? this.binned() : nothing}
    </main>`;
  }

  private table(lessons: LessonLine[]): TemplateResult {
    return html`<div class="scroll" tabindex="0" role="region" aria-label="All lessons">
      <table class="lessons">
        <thead>
          <tr>
            <th scope="col">Lesson</th>
            <th scope="col">Key</th>
            <th scope="col" class="number">Phrases</th>
            <th scope="col">How hard</th>
            <th scope="col">Changed</th>
            <th scope="col">Pack</th>
            <th scope="col"><span class="unseen">What to do</span></th>
          </tr>
        </thead>
        <tbody>
          ${lessons.map((lesson) => this.row(lesson))}
        </tbody>
      </table>
    </div>`;
  }

  private row(lesson: LessonLine): TemplateResult {
    if (lesson.trouble !== undefined) {
      return html`<tr>
        <th scope="row">${lesson.name}</th>
        <td colspan="6" class="trouble">${lesson.trouble}</td>
      </tr>`;
    }
    const grade = lesson.grade ?? [];
    const [low, high] = grade;
    return html`<tr>
      <th scope="row">
        ${this.renaming === lesson.name
          ? this.renameForm(lesson.name)
          : html`<a href=${href(lesson.name)}>${lesson.title || lesson.name}</a>
              <span class="file">${lesson.name}.md</span>`}
      </th>
      <td>${lesson.key}</td>
      <td class="number">${lesson.phrases}${lesson.problems ? html`<span class="trouble"> · ${lesson.problems} to mend</span>` : nothing}</td>
      <td>${low === undefined ? "" : low === high ? low : `${low} to ${high}`}</td>
      <td>${day(lesson.changed)}</td>
      <td>${packed(lesson)}</td>
      <td class="do">
        <button type="button" class="quiet" @click=${() => void this.copy(lesson.name)} aria-label="Copy ${lesson.name}">Copy</button>
        <button type="button" class="quiet" @click=${() => (this.renaming = lesson.name)} aria-label="Rename ${lesson.name}">Rename</button>
        <button type="button" class="quiet" @click=${() => void this.throwAway(lesson.name)} aria-label="Bin: put ${lesson.name} away">Bin</button>
      </td>
    </tr>`;
  }

  private renameForm(name: string): TemplateResult {
    return html`<form
      class="rename"
      @submit=${(event: Event) => {
        event.preventDefault();
        const to = (event.target as HTMLFormElement).querySelector("input")?.value.trim() ?? "";
        void this.do(async () => {
          if (to) await api.rename(name, to);
          this.renaming = "";
          await this.load();
        });
      }}
    >
      <input aria-label="New name of ${name}" .value=${name} maxlength="100" />
      <button type="submit" class="quiet">Rename</button>
      <button type="button" class="quiet" @click=${() => (this.renaming = "")}>Leave it</button>
    </form>`;
  }

  private async copy(name: string): Promise<void> {
    await this.do(async () => {
      await api.copy(name);
      await this.load();
    });
  }

  private async throwAway(name: string): Promise<void> {
    await this.do(async () => {
      await api.remove(name);
      await this.load();
    });
  }

  private binned(): TemplateResult {
    return html`<section class="bin">
      <h2>In the bin</h2>
      <ul>
        ${this.bin.map(
          (kept) =>
            html`<li>
              ${kept.name} <span class="facts">since ${day(kept.when)}</span>
              <button type="button" class="quiet" @click=${() => void this.restore(kept.id)} aria-label="Take it out: ${kept.name}">
                Take it out
              </button>
            </li>`,
        )}
      </ul>
      ${this.emptying
        ? html`<span role="alert">Delete them for good?</span>
            <button type="button" class="quiet" @click=${() => void this.empty()}>Yes, delete</button>
            <button type="button" class="quiet" @click=${() => (this.emptying = false)}>No</button>`
        : html`<button type="button" class="quiet" @click=${() => (this.emptying = true)}>Empty the bin</button>`}
    </section>`;
  }

  private async restore(id: string): Promise<void> {
    await this.do(async () => {
      await api.restore(id);
      await this.load();
    });
  }

  private async empty(): Promise<void> {
    await this.do(async () => {
      await api.emptyBin();
      this.emptying = false;
      await this.load();
    });
  }
}

function packed(lesson: LessonLine): TemplateResult | string {
  if (!lesson.built) return "not built yet";
  const late = (lesson.changed ?? 0) > lesson.built + 1;
  const link = `/packs/${encodeURIComponent(`${lesson.name}-pack`)}/lesson.html`;
  return html`<a href=${link} target="_blank" rel="noopener">${day(lesson.built)}</a>${late ? ", older than the text" : ""}`;
}

customElements.define("desk-list", DeskList);
