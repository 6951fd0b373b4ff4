/** What has this pupil done? Kept in this browser only; can be saved to a file and read back. */

import type { Done } from "../player/player.js";

type Reached = Record<string, Record<string, string>>; // phrase → tempo → day on which it was done

const KIND = "lickwright-progress";

export class Ticks extends EventTarget implements Done {
  private reached: Reached;

  constructor(readonly lesson: string) {
    super();
    this.reached = valid(parsed(read(this.key)));
    window.addEventListener("storage", (event) => {
      if (event.key !== this.key) return;
      this.reached = valid(parsed(event.newValue));
      this.dispatchEvent(new Event("change"));
    });
  }

  has(phrase: string, tempo: number): boolean {
    return this.reached[phrase]?.[tempo] !== undefined;
  }

  set(phrase: string, tempo: number, done: boolean): void {
    const own = { ...this.reached[phrase] };
    if (done) own[tempo] = new Date().toISOString().slice(0, 10);
    else delete own[tempo];
    this.keep({ ...this.reached, [phrase]: own });
  }

  /** The fastest tempo of a phrase that is done, with its day; null if there is none. */
  fastest(phrase: string): { tempo: number; day: string } | null {
    const own = Object.entries(this.reached[phrase] ?? {});
    const best = own.sort(([a], [b]) => Number(b) - Number(a))[0];
    return best ? { tempo: Number(best[0]), day: best[1] } : null;
  }

  get empty(): boolean {
    return Object.values(this.reached).every((own) => Object.keys(own).length === 0);
  }

  clear(): void {
    this.keep({});
  }

  /** The text of a file that holds it all. */
  exported(): string {
    return `${JSON.stringify({ kind: KIND, lesson: this.lesson, reached: this.reached }, null, 1)}\n`;
  }

  /** Add what such a file says to what is here. Says what was wrong with it, or nothing. */
  imported(text: string): string {
    const found = parsed(text) as { kind?: unknown; lesson?: unknown; reached?: unknown } | null;
    if (found?.kind !== KIND) return "This file holds no progress that was saved from a lesson page.";
    if (found.lesson !== this.lesson) return `This file belongs to another lesson: ${String(found.lesson)}.`;
    const merged: Reached = { ...this.reached };
    for (const [phrase, own] of Object.entries(valid(found.reached))) {
      merged[phrase] = { ...own, ...merged[phrase] };
    }
    this.keep(merged);
    return "";
  }

  private get key(): string {
    return `lickwright:${this.lesson}`;
  }

  private keep(reached: Reached): void {
    this.reached = reached;
    try {
      localStorage.setItem(this.key, JSON.stringify(reached));
    } catch {
      // A browser that keeps nothing: the ticks last until the page is closed.
    }
    this.dispatchEvent(new Event("change"));
  }
}

function read(key: string): string | null {
  try {
    return localStorage.getItem(key);
  } catch {
    return null;
  }
}

function parsed(text: string | null): unknown {
  try {
    return JSON.parse(text ?? "null");
  } catch {
    return null;
  }
}

/** Only what can be progress: names, numbers as tempos, days. */
function valid(found: unknown): Reached {
  const kept: Reached = {};
  if (typeof found !== "object" || found === null) return kept;
  for (const [phrase, own] of Object.entries(found)) {
    if (typeof own !== "object" || own === null) continue;
    const days = Object.entries(own as Record<string, unknown>).filter(
      (entry): entry is [string, string] =>
        Number(entry[0]) > 0 && typeof entry[1] === "string" && /^\d{4}-\d\d-\d\d$/.test(entry[1]),
    );
    kept[phrase] = Object.fromEntries(days);
  }
  return kept;
}
