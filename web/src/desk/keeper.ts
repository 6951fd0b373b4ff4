/** How does what is typed get to the disk, and what is done when the file changes elsewhere? */

import { api, Refused, said, type Lesson } from "./api.js";
import { draftOf, dropDraft, keepDraft } from "./draft.js";

export type State = "saved" | "typing" | "saving" | "away" | "two sides";

export interface KeeperAsked {
  replace(text: string): void; // the file was changed elsewhere
  state(state: State, words: string): void;
}

const PAUSE = 350; // ms from the last keystroke to the save
const LOOK = 1500; // ms between two looks at the file
const AGAIN = 2000; // ms until a save that failed is tried once more

export class Keeper {
  private text: string;
  private saved: string;
  private version: string;
  private timer = 0;
  private watch = 0;
  private busy = false;
  private theirs: { text: string; version: string } | null = null;

  constructor(
    private readonly name: string,
    lesson: Lesson,
    private readonly asked: KeeperAsked,
  ) {
    this.text = lesson.text;
    this.saved = lesson.text;
    this.version = lesson.version;
    this.watch = window.setInterval(() => void this.look(), LOOK);
    window.addEventListener("beforeunload", this.leaving);
  }

  /** What was typed in this browser and never reached the disk; null if there is nothing. */
  unsaved(): string | null {
    const draft = draftOf(this.name);
    if (!draft || draft.text === this.saved) return null;
    if (draft.version === this.version) return draft.text;
    this.text = draft.text;
    this.twoSides({ text: this.saved, version: this.version });
    return draft.text;
  }

  changed(text: string): void {
    this.text = text;
    if (text === this.saved) {
      if (!this.theirs) this.quiet();
      return;
    }
    keepDraft(this.name, { text, version: this.version });
    if (this.theirs) return;
    this.asked.state("typing", "");
    this.later(PAUSE);
  }

  /** Save at once. */
  async now(): Promise<void> {
    window.clearTimeout(this.timer);
    if (this.busy || this.theirs) return;
    const text = this.text;
    if (text === this.saved) return this.quiet();
    this.busy = true;
    this.asked.state("saving", "");
    try {
      const { version } = await api.save(this.name, text, this.version);
      this.saved = text;
      this.version = version;
      if (this.text === text) this.quiet();
      else this.later(PAUSE);
    } catch (error) {
      this.failed(error);
    } finally {
      this.busy = false;
    }
  }

  /** Of two sides take the one that is typed here; the other stays among the earlier versions. */
  async mine(): Promise<void> {
    if (!this.theirs) return;
    this.version = this.theirs.version;
    this.saved = this.theirs.text;
    this.theirs = null;
    await this.now();
  }

  /** Take the side that lies on the disk. */
  other(): void {
    if (!this.theirs) return;
    const { text, version } = this.theirs;
    this.theirs = null;
    this.text = this.saved = text;
    this.version = version;
    this.asked.replace(text);
    this.quiet();
  }

  /** Keep both: the side typed here becomes a lesson of its own, whose name is given back. */
  async both(): Promise<string> {
    const made = await api.beside(this.name, this.text);
    this.other();
    return made.name;
  }

  stop(): void {
    window.clearInterval(this.watch);
    window.removeEventListener("beforeunload", this.leaving);
    void this.now();
  }

  private readonly leaving = (event: BeforeUnloadEvent): void => {
    if (this.text !== this.saved) event.preventDefault();
    void this.now();
  };

  private later(ms: number): void {
    window.clearTimeout(this.timer);
    this.timer = window.setTimeout(() => void this.now(), ms);
  }

  private quiet(): void {
    dropDraft(this.name);
    this.asked.state("saved", "");
  }

  private failed(error: unknown): void {
    if (error instanceof Refused && error.status === 409) {
      this.twoSides((error.body as { theirs: { text: string; version: string } }).theirs);
      return;
    }
    this.asked.state("away", said(error));
    this.later(AGAIN);
  }

  private twoSides(theirs: { text: string; version: string }): void {
    this.theirs = theirs;
    this.asked.state("two sides", "This lesson was changed elsewhere while you typed here.");
  }

  private async look(): Promise<void> {
    if (this.busy || this.theirs || document.hidden) return;
    try {
      const found = await api.newer(this.name, this.version);
      if (!found || this.busy || found.version === this.version) return;
      if (this.text !== this.saved) return; // the save at hand will find it out
      this.text = this.saved = found.text;
      this.version = found.version;
      this.asked.replace(found.text);
    } catch {
      // A save says it when it matters.
    }
  }
}
