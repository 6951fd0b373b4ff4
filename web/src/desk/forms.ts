/** Forms that write the blocks of a lesson, and read back what stands in one. */

import { LitElement, html, nothing, type TemplateResult } from "lit";
import type { Words } from "./api.js";

export type Kind = "neck" | "band" | "stage" | "solo";

interface Field {
  name: string;
  words: string;
  from?: keyof Words; // values that are offered
  phrases?: boolean; // the lesson's own phrases are offered
  usual?: string;
  example?: string;
}

const FIELDS: Record<Kind, Field[]> = {
  neck: [
    { name: "key", words: "Key", from: "keys" },
    { name: "scale", words: "Scale", from: "scales", usual: "minor pentatonic" },
    { name: "chord", words: "or a chord", from: "chords" },
    { name: "lick", words: "or the way of a phrase", phrases: true },
    { name: "pattern", words: "Pattern, 1 to 5 or all", example: "1" },
    { name: "frets", words: "Only these frets", example: "5-9" },
    { name: "show", words: "On the dots", from: "shows" },
    { name: "worksheet", words: "A worksheet to fill in: yes", example: "yes" },
  ],
  band: [
    { name: "key", words: "Key", from: "keys" },
    { name: "form", words: "Form", from: "forms", usual: "twelve-bar" },
    { name: "chords", words: "or its chords, a bar each", example: "A7 | D7 | A7 | E7" },
    { name: "feel", words: "Feel", from: "feels", usual: "shuffle" },
    { name: "tempo", words: "Beats a minute", usual: "90" },
    { name: "choruses", words: "How often", usual: "3" },
    { name: "players", words: "Who plays", example: "drums bass keys guitar" },
    { name: "count-in", words: "Bars counted in", example: "1" },
  ],
  stage: [
    { name: "phrases", words: "Phrases, with commas", phrases: true },
    { name: "start", words: "From, beats a minute", usual: "60" },
    { name: "goal", words: "To", usual: "90" },
    { name: "step", words: "In steps of", usual: "6" },
    { name: "done", words: "Done when", usual: "three clean times in a row" },
  ],
  solo: [
    { name: "key", words: "Key", from: "keys" },
    { name: "form", words: "Form", from: "forms", usual: "twelve-bar" },
    { name: "chords", words: "or its chords, a bar each", example: "A7 | D7 | A7 | E7" },
    { name: "feel", words: "Feel", from: "feels" },
    { name: "tempo", words: "Beats a minute", example: "90" },
    { name: "bar 1", words: "On bar 1", phrases: true },
    { name: "bar 3", words: "On bar 3", phrases: true },
    { name: "bar 5", words: "On bar 5", phrases: true },
    { name: "bar 7", words: "On bar 7", phrases: true },
    { name: "bar 9", words: "On bar 9", phrases: true },
    { name: "bar 11", words: "On bar 11", phrases: true },
  ],
};
const TITLES: Record<Kind, string> = {
  neck: "A map of the neck",
  band: "A backing",
  stage: "A practice stage",
  solo: "A study piece",
};

/** The settings of a block, in their order; a line may hold several between dots. */
export function settingsOf(block: string): Map<string, string> {
  const found = new Map<string, string>();
  for (const line of block.split("\n").slice(1)) {
    for (const part of line.split(" · ")) {
      const at = part.indexOf(":");
      if (at > 0) found.set(part.slice(0, at).trim(), part.slice(at + 1).trim());
    }
  }
  return found;
}

export function blockText(kind: Kind, name: string, values: ReadonlyMap<string, string>): string {
  const lines = [...values].filter(([, value]) => value.trim()).map(([key, value]) => `${key}: ${value.trim()}`);
  return ["```" + kind + (name ? ` ${name}` : ""), ...lines, "```"].join("\n");
}

export class DeskForm extends LitElement {
  static override properties = { kind: { state: true }, values: { state: true }, name: { state: true } };

  declare kind: Kind | "";
  declare values: Map<string, string>;
  declare name: string;

  words: Words | null = null;
  phrases: string[] = [];
  private done: ((text: string) => void) | null = null;
  private old = false;

  constructor() {
    super();
    this.kind = "";
    this.values = new Map();
    this.name = "";
  }

  protected override createRenderRoot(): HTMLElement {
    return this;
  }

  /** Ask for a block; `block` is the text of one that is there already. */
  open(kind: Kind, words: Words, phrases: string[], block: string, done: (text: string) => void): void {
    this.words = words;
    this.phrases = phrases;
    this.done = done;
    this.kind = kind;
    this.old = block !== "";
    this.name = /^```\w+\s+(\S+)/.exec(block)?.[1] ?? "";
    const usual = FIELDS[kind].filter((field) => field.usual).map((field): [string, string] => [field.name, field.usual ?? ""]);
    this.values = block ? settingsOf(block) : new Map(usual);
    if (!block && kind === "stage") this.values = new Map([["phrases", phrases.join(", ")], ...this.values]);
    void this.updateComplete.then(() => this.querySelector("dialog")?.showModal());
  }

  private close(): void {
    this.querySelector("dialog")?.close();
    this.kind = "";
  }

  private take(event: Event): void {
    event.preventDefault();
    if (!this.kind) return;
    const fields = FIELDS[this.kind].map((field) => field.name);
    const first = fields.filter((name) => this.values.has(name)).map((name): [string, string] => [name, this.values.get(name) ?? ""]);
    const others = [...this.values].filter(([name]) => !fields.includes(name));
    const name = this.name.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "");
    this.done?.(blockText(this.kind, name, new Map([...first, ...others])));
    this.close();
  }

  protected override render(): TemplateResult | typeof nothing {
    const { kind, words } = this;
    if (!kind || !words) return nothing;
    return html`<dialog class="form" aria-labelledby="form-title" @close=${() => (this.kind = "")}>
      <form @submit=${(event: Event) => this.take(event)}>
        <h2 id="form-title">${TITLES[kind]}</h2>
        <p class="facts">It is written into the lesson as a block that you can change by hand.</p>
        <div class="fields">
          <label>Name (may be left out)
            <input .value=${this.name} autocomplete="off" @input=${(event: Event) => (this.name = (event.target as HTMLInputElement).value)} />
          </label>
          ${FIELDS[kind].map((field) => this.field(field, words))}
        </div>
        <div class="dialog-do">
          <button type="submit" class="strong">${this.old ? "Change the block" : "Write it"}</button>
          <button type="button" class="quiet" @click=${() => this.close()}>Leave it</button>
        </div>
      </form>
    </dialog>`;
  }

  private field(field: Field, words: Words): TemplateResult {
    const offered = field.from ? (words[field.from] as string[]) : field.phrases ? this.phrases : [];
    const list = offered.length ? `offer-${field.name.replace(" ", "-")}` : "";
    return html`<label>${field.words}
      <input
        list=${list || nothing}
        autocomplete="off"
        placeholder=${field.example ?? ""}
        .value=${this.values.get(field.name) ?? ""}
        @input=${(event: Event) => {
          this.values = new Map(this.values).set(field.name, (event.target as HTMLInputElement).value);
        }}
      />
      ${list ? html`<datalist id=${list}>${offered.map((value) => html`<option value=${value}></option>`)}</datalist>` : nothing}
    </label>`;
  }
}

customElements.define("desk-form", DeskForm);
