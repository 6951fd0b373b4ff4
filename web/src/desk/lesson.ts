/** One lesson: its text on one side, the page as the pupil will see it on the other. */

import type { EditorView } from "@codemirror/view";
import { LitElement, html, nothing, type TemplateResult } from "lit";
import { api, said, type Kept, type Lesson, type Problem, type Read, type Words } from "./api.js";
import { DeskBuild } from "./build.js";
import "./close.js";
import { day } from "./days.js";
import { applyFixes, makeEditor, replaceText, showProblems } from "./editor.js";
import { DeskForm, type Kind } from "./forms.js";
import { blockAt, commands } from "./grid.js";
import { Keeper, type State } from "./keeper.js";
import { LivePage } from "./page.js";
import { emptyLick, freeName, insertBlock, putBlock, putSentence, renamed } from "./put.js";
import { href, takesOf } from "./where.js";

const SAYS: Record<State, string> = {
  saved: "saved",
  typing: "…",
  saving: "saving",
  away: "not saved",
  "two sides": "two sides",
};
const WAIT = 70; // ms from a keystroke to the picture that is asked for
const MANY = 6; // problems that are listed

export class DeskLesson extends LitElement {
  static override properties = {
    name: { type: String },
    phrase: { type: String },
    read: { state: true },
    saving: { state: true },
    trouble: { state: true },
    told: { state: true },
    earlier: { state: true },
    side: { state: true },
    ready: { state: true },
  };

  declare name: string;
  declare phrase: string;
  declare read: Read | null;
  declare saving: State;
  declare trouble: string;
  declare told: string;
  declare earlier: Kept[] | null;
  declare side: "text" | "page";
  declare ready: boolean;

  words: Words | null = null;
  private editor: EditorView | null = null;
  private page: LivePage | null = null;
  private keeper: Keeper | null = null;
  private timer = 0;
  private asking = false;
  private waiting = false;
  private lastPhrase = "";

  constructor() {
    super();
    this.name = "";
    this.phrase = "";
    this.read = null;
    this.saving = "saved";
    this.trouble = "";
    this.told = "";
    this.earlier = null;
    this.side = "text";
    this.ready = false;
  }

  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.keeper?.stop();
    this.editor?.destroy();
    window.clearTimeout(this.timer);
  }

  override firstUpdated(): void {
    void this.open();
  }

  override updated(changed: Map<string, unknown>): void {
    if (changed.has("phrase") && !this.phrase && changed.get("phrase")) this.show();
  }

  private get text(): string {
    return this.editor?.state.doc.toString() ?? "";
  }

  private async open(): Promise<void> {
    let lesson: Lesson;
    try {
      lesson = await api.lesson(this.name);
    } catch (error) {
      this.trouble = said(error);
      return;
    }
    const place = this.querySelector<HTMLElement>(".text-place");
    const shown = this.querySelector<HTMLElement>(".page-place");
    if (!place || !shown || !this.words) return;
    this.keeper = new Keeper(this.name, lesson, {
      replace: (text) => this.editor && replaceText(this.editor, text),
      state: (state, words) => {
        this.saving = state;
        this.trouble = words;
      },
    });
    this.page = new LivePage(shown, { text: () => this.text, close: (name) => (location.hash = href(this.name, name)) });
    this.editor = makeEditor(place, lesson.text, this.words, {
      changed: (text) => {
        this.keeper?.changed(text);
        this.later();
      },
      moved: (phrase) => {
        this.lastPhrase = phrase;
        this.page?.reveal(phrase);
      },
      save: () => void this.keeper?.now(),
    });
    const unsaved = this.keeper.unsaved();
    if (unsaved !== null) {
      replaceText(this.editor, unsaved);
      this.told = "Brought back what was typed last and not saved.";
    }
    this.ready = true;
    await this.show();
  }

  private later(): void {
    window.clearTimeout(this.timer);
    this.timer = window.setTimeout(() => void this.show(), WAIT);
  }

  /** Ask for the pictures of the text as it is now; never two questions at once. */
  private async show(): Promise<void> {
    if (!this.editor || !this.page) return;
    if (this.asking) {
      this.waiting = true;
      return;
    }
    this.asking = true;
    const text = this.text;
    try {
      const read = await api.read(text, this.page.keys);
      this.read = read;
      this.page.show(read);
      this.page.reveal(this.lastPhrase);
      if (this.text === text) showProblems(this.editor, read.problems);
      this.dispatchEvent(new CustomEvent("shown", { detail: text }));
    } catch (error) {
      if (this.saving === "saved") this.trouble = said(error);
    } finally {
      this.asking = false;
      if (this.waiting) {
        this.waiting = false;
        void this.show();
      }
    }
  }

  protected override render(): TemplateResult {
    const near = this.phrase !== "";
    return html`<div class="lesson ${near ? "is-close" : ""} shows-${this.side}">
      <header class="bar">
        <a href="#/" class="home">All lessons</a>
        <h1>${this.read?.title || this.name}</h1>
        <span class="state is-${this.saving.replace(" ", "-")}" role="status" aria-live="polite">${SAYS[this.saving]}</span>
        <div class="bar-do">
          ${near ? nothing : this.tools()}
          <a href=${takesOf(this.name)} class="quiet link-button">Takes</a>
          <button type="button" class="strong" @click=${() => this.build()} ?disabled=${!this.ready}>Build</button>
        </div>
      </header>
      ${this.trouble ? html`<p class="trouble said" role="alert">${this.trouble} ${this.sides()}</p>` : nothing}
      ${this.told ? html`<p class="said" role="status">${this.told} <button type="button" class="quiet" @click=${() => (this.told = "")}>All right</button></p>` : nothing}
      <main class="two" ?hidden=${near}>
        <section class="writing" aria-label="Text">
          ${this.gridTools()}
          <div class="text-place"></div>
          ${this.problems()} ${this.versions()}
        </section>
        <section class="page-side" aria-label="The page as the pupil sees it">
          <div class="page-place"></div>
          <p class="nothing empty-page">The page appears here as you write.</p>
        </section>
      </main>
      ${near
        ? html`<desk-close
            .name=${this.phrase}
            .words=${this.words}
            .asked=${{
              text: () => this.text,
              take: (block: string, behind: boolean) => this.take(block, behind),
              prose: (sentence: string) => this.editor && putSentence(this.editor, this.phrase, sentence),
              back: () => (location.hash = href(this.name)),
            }}
          ></desk-close>`
        : nothing}
      <desk-form></desk-form>
      <desk-build></desk-build>
    </div>`;
  }

  private tools(): TemplateResult {
    return html`<label class="add"
        >Add
        <select
          aria-label="Add a block to the lesson"
          ?disabled=${!this.ready}
          @change=${(event: Event) => {
            const select = event.target as HTMLSelectElement;
            this.add(select.value as Kind | "lick");
            select.value = "";
          }}
        >
          <option value="">…</option>
          <option value="lick">a phrase</option>
          <option value="neck">a map of the neck</option>
          <option value="band">a backing</option>
          <option value="stage">a practice stage</option>
          <option value="solo">a study piece</option>
        </select></label
      >
      <button type="button" class="quiet" @click=${() => this.change()}>Change block</button>
      <button type="button" class="quiet" @click=${() => void this.tidy()}>Tidy</button>
      <button type="button" class="quiet" @click=${() => void this.old()}>Earlier</button>
      <span class="sides" role="group" aria-label="What is shown">
        <button type="button" class="quiet" aria-pressed=${this.side === "text"} @click=${() => (this.side = "text")}>Text</button>
        <button type="button" class="quiet" aria-pressed=${this.side === "page"} @click=${() => (this.side = "page")}>Page</button>
      </span>`;
  }

  private gridTools(): TemplateResult {
    const one = (words: string, keys: string, run: keyof typeof commands): TemplateResult =>
      html`<button
        type="button"
        class="quiet"
        title="${words} (${keys})"
        @mousedown=${(event: Event) => event.preventDefault()}
        @click=${() => {
          if (!this.editor) return;
          if (!commands[run](this.editor)) this.told = "Place the cursor in the rows of a phrase first; a column is taken out only if nothing stands in it.";
          this.editor.focus();
        }}
      >
        ${words}
      </button>`;
    return html`<div class="grid-tools" role="group" aria-label="Rows of a phrase">
      ${one("column in", "Alt+I", "insertColumn")} ${one("column out", "Alt+U", "removeColumn")}
      ${one("bar in", "Alt+Enter", "insertBar")} ${one("bar out", "Alt+Backspace", "removeBar")}
      ${one("count back", "Alt+Left", "previousCount")} ${one("count on", "Alt+Right", "nextCount")}
    </div>`;
  }

  private problems(): TemplateResult | typeof nothing {
    const problems = this.read?.problems ?? [];
    if (!problems.length) return nothing;
    const sure = problems.filter((problem) => problem.fixes.length).length;
    return html`<section class="problems" aria-label="To mend">
      <h2>${problems.length === 1 ? "One thing to mend" : `${problems.length} things to mend`}</h2>
      ${sure > 1 ? html`<button type="button" class="quiet" @click=${() => void this.mendAll()}>Mend all that are sure (${sure})</button>` : nothing}
      <ul>
        ${problems.slice(0, MANY).map(
          (problem) =>
            html`<li>
              <button type="button" class="link" @click=${() => this.goTo(problem)}>line ${problem.line}</button>
              ${problem.what}. <span class="facts">Mend: ${problem.mend}</span>
              ${problem.fixes.length
                ? html`<button type="button" class="quiet" aria-label="Mend it: line ${problem.line}" @click=${() => this.editor && applyFixes(this.editor, problem)}>Mend it</button>`
                : nothing}
            </li>`,
        )}
      </ul>
      ${problems.length > MANY ? html`<p class="facts">and ${problems.length - MANY} more</p>` : nothing}
    </section>`;
  }

  private sides(): TemplateResult | typeof nothing {
    if (this.saving !== "two sides") return nothing;
    return html`<span class="two-sides">
      <button type="button" class="quiet" @click=${() => void this.keeper?.mine()}>Take mine</button>
      <button type="button" class="quiet" @click=${() => this.keeper?.other()}>Take the other</button>
      <button type="button" class="quiet" @click=${() => void this.both()}>Keep both as two lessons</button>
      <span class="facts">Whichever you take, the other stays under Earlier.</span>
    </span>`;
  }

  private async both(): Promise<void> {
    try {
      this.told = `Yours is now the lesson ${(await this.keeper?.both()) ?? ""}.`;
    } catch (error) {
      this.trouble = said(error);
    }
  }

  private versions(): TemplateResult | typeof nothing {
    if (this.earlier === null) return nothing;
    return html`<section class="earlier" aria-label="Earlier versions">
      <h2>Earlier versions</h2>
      ${this.earlier.length
        ? html`<ul>
            ${this.earlier.map(
              (kept) =>
                html`<li>
                  ${day(kept.when)} <span class="facts">${kept.bytes} letters and signs</span>
                  <button type="button" class="quiet" aria-label="Take it: the version of ${day(kept.when)}" @click=${() => void this.takeEarlier(kept)}>Take it</button>
                </li>`,
            )}
          </ul>`
        : html`<p class="facts">None is kept yet.</p>`}
      <button type="button" class="quiet" @click=${() => (this.earlier = null)}>Close</button>
    </section>`;
  }

  private async old(): Promise<void> {
    try {
      this.earlier = await api.earlier(this.name);
    } catch (error) {
      this.trouble = said(error);
    }
  }

  private async takeEarlier(kept: Kept): Promise<void> {
    try {
      const text = await api.earlierText(this.name, kept.id);
      if (this.editor) replaceText(this.editor, text);
      this.told = "Taken; undo brings back what was there.";
    } catch (error) {
      this.trouble = said(error);
    }
  }

  private async tidy(): Promise<void> {
    try {
      const { text } = await api.tidy(this.text);
      if (this.editor) replaceText(this.editor, text);
    } catch (error) {
      this.trouble = said(error);
    }
  }

  private async mendAll(): Promise<void> {
    try {
      const { text, done } = await api.mend(this.text);
      if (this.editor) replaceText(this.editor, text);
      this.told = done.map((each) => `Line ${each.line}: ${each.what}.`).join(" ");
    } catch (error) {
      this.trouble = said(error);
    }
  }

  private goTo(problem: Problem): void {
    const editor = this.editor;
    if (!editor) return;
    const line = editor.state.doc.line(Math.min(problem.line, editor.state.doc.lines));
    editor.dispatch({ selection: { anchor: Math.min(line.from + problem.column - 1, line.to) }, scrollIntoView: true });
    editor.focus();
  }

  private add(kind: Kind | "lick"): void {
    const editor = this.editor;
    if (!this.words || !editor) return;
    if (kind === "lick") return insertBlock(editor, emptyLick(freeName("new-phrase", this.taken)));
    this.form.open(kind, this.words, [...this.taken], "", (text) => insertBlock(editor, text));
  }

  /** Open the form of the block that the cursor stands in. */
  private change(): void {
    const editor = this.editor;
    if (!editor || !this.words) return;
    const block = blockAt(editor.state, editor.state.doc.lineAt(editor.state.selection.main.head).number);
    if (!block || !["neck", "band", "stage", "solo"].includes(block.kind)) {
      this.told = "Place the cursor in a neck, band, stage or solo block first.";
      return;
    }
    const from = editor.state.doc.line(block.line).from;
    const to = editor.state.doc.line(block.end).to;
    this.form.open(block.kind as Kind, this.words, [...this.taken], editor.state.sliceDoc(from, to), (text) => {
      editor.dispatch({ changes: { from, to, insert: text }, userEvent: "input" });
      editor.focus();
    });
  }

  private get form(): DeskForm {
    return this.querySelector<DeskForm>("desk-form") as DeskForm;
  }

  private get taken(): ReadonlySet<string> {
    return new Set((this.read?.phrases ?? []).map((phrase) => phrase.name));
  }

  private take(block: string, behind: boolean): void {
    if (!this.editor) return;
    if (!putBlock(this.editor, this.phrase, behind ? renamed(block, this.taken) : block, behind)) {
      this.trouble = "The phrase is no longer in the text.";
    }
  }

  private build(): void {
    const build = this.querySelector<DeskBuild>("desk-build");
    if (build && this.words) build.open(this.name, this.words, async () => void (await this.keeper?.now()));
  }
}

customElements.define("desk-lesson", DeskLesson);
