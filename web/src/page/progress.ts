/** How far has the pupil come in the whole lesson, and how is that kept or taken elsewhere? */

import { LitElement, html, nothing, type TemplateResult } from "lit";
import type { Ticks } from "./ticks.js";

export interface Goal {
  name: string;
  title: string;
  tempos: number[];
}

export class LessonProgress extends LitElement {
  static override properties = { said: { state: true }, asking: { state: true } };

  declare said: string;
  declare asking: boolean;

  ticks: Ticks | null = null;
  goals: Goal[] = [];

  constructor() {
    super();
    this.said = "";
    this.asking = false;
  }

  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  override connectedCallback(): void {
    super.connectedCallback();
    this.ticks?.addEventListener("change", () => this.requestUpdate());
  }

  protected override render(): TemplateResult | typeof nothing {
    const ticks = this.ticks;
    if (!ticks || !this.goals.length) return nothing;
    return html`<h2>How far you have come</h2>
      ${ticks.empty
        ? html`<p class="facts">
            Nothing is ticked yet. When a tempo is in your fingers, tick “I can play it” under the
            phrase. It is kept in this browser only.
          </p>`
        : html`<ul class="progress">
            ${this.goals.map((goal) => this.row(ticks, goal))}
          </ul>`}
      <div class="progress-keep">
        ${ticks.empty ? nothing : html`<button type="button" class="quiet" @click=${() => this.save(ticks)}>Save it to a file</button>`}
        <label class="quiet file"
          >Read it from a file<input
            type="file"
            accept=".json,application/json"
            @change=${(event: Event) => void this.load(ticks, event.target as HTMLInputElement)}
        /></label>
        ${this.clearing(ticks)}
      </div>
      <p class="facts" role="status">${this.said}</p>`;
  }

  private row(ticks: Ticks, goal: Goal): TemplateResult {
    const best = ticks.fastest(goal.name);
    const top = goal.tempos[goal.tempos.length - 1] ?? 0;
    const share = best && top ? Math.min(1, best.tempo / top) : 0;
    const words = best ? `${best.tempo} of ${top}, on ${best.day}` : `not yet; the goal is ${top}`;
    return html`<li>
      <a href="#${goal.name}">${goal.title}</a>
      <span class="bar" aria-hidden="true"><span style="--share:${share}"></span></span>
      <span class="facts">${words}</span>
    </li>`;
  }

  private clearing(ticks: Ticks): TemplateResult | typeof nothing {
    if (ticks.empty) return nothing;
    if (!this.asking) {
      return html`<button type="button" class="quiet" @click=${() => (this.asking = true)}>
        Begin again from nothing
      </button>`;
    }
    return html`<span role="alert">Take away all ticks?</span>
      <button
        type="button"
        class="quiet"
        @click=${() => {
          ticks.clear();
          this.asking = false;
          this.said = "All ticks are gone.";
        }}
      >
        Yes, all
      </button>
      <button type="button" class="quiet" @click=${() => (this.asking = false)}>No, keep them</button>`;
  }

  private save(ticks: Ticks): void {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([ticks.exported()], { type: "application/json" }));
    link.download = `${ticks.lesson}-progress.json`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
  }

  private async load(ticks: Ticks, input: HTMLInputElement): Promise<void> {
    const file = input.files?.[0];
    if (!file) return;
    const wrong = file.size > 1_000_000 ? "This file is too large to be progress." : ticks.imported(await file.text());
    this.said = wrong || "Read; what was ticked here is kept too.";
    input.value = "";
  }
}

customElements.define("lesson-progress", LessonProgress);
