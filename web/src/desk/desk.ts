/** The desk: which screen is shown. */

import { LitElement, html, type TemplateResult } from "lit";
import { keyed } from "lit/directives/keyed.js";
import { api, said, type Words } from "./api.js";
import "./build.js";
import "./close.js";
import "./forms.js";
import "./lesson.js";
import "./list.js";
import "./takes.js";
import { here, type Where } from "./where.js";

class DeskRoom extends LitElement {
  static override properties = { where: { state: true }, words: { state: true }, trouble: { state: true } };

  declare where: Where;
  declare words: Words | null;
  declare trouble: string;

  constructor() {
    super();
    this.where = here();
    this.words = null;
    this.trouble = "";
  }

  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  override connectedCallback(): void {
    super.connectedCallback();
    window.addEventListener("hashchange", () => (this.where = here()));
    api.words().then(
      (words) => (this.words = words),
      (error: unknown) => (this.trouble = said(error)),
    );
  }

  override updated(): void {
    document.title = this.where.lesson ? `${this.where.lesson} · Lickwright` : "Lessons · Lickwright";
  }

  protected override render(): TemplateResult {
    if (this.trouble) return html`<main class="list"><h1>Lickwright</h1><p class="trouble" role="alert">${this.trouble}</p></main>`;
    if (!this.words) return html`<main class="list"><h1>Lickwright</h1></main>`;
    const { lesson, phrase, takes } = this.where;
    if (!lesson) return html`<desk-list></desk-list>`;
    if (takes) return html`<desk-takes .lesson=${lesson}></desk-takes>`;
    return html`${keyed(lesson, html`<desk-lesson .words=${this.words} .name=${lesson} .phrase=${phrase}></desk-lesson>`)}`;
  }
}

customElements.define("desk-room", DeskRoom);
