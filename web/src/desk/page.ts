/** The lesson as the pupil will see it, beside the text: only what changed is put in anew. */

import { enliven, follow } from "../page/phrase.js";
import "../player/player.js";
import type { LickPlayer } from "../player/player.js";
import { bytes } from "../player/sound.js";
import { api, said, type Part, type Read } from "./api.js";

interface Shown {
  key: string;
  element: HTMLElement;
}

export interface PageAsked {
  text(): string;
  close(phrase: string): void;
}

export class LivePage {
  private shown = new Map<string, Shown>();

  constructor(
    readonly root: HTMLElement,
    private readonly asked: PageAsked,
  ) {}

  /** Keys of what is there already. */
  get keys(): string[] {
    return [...this.shown.values()].map((each) => each.key).filter(Boolean);
  }

  show(read: Read): void {
    const titles = new Map(read.phrases.map((phrase) => [phrase.name, phrase.title]));
    const order: HTMLElement[] = [];
    const kept = new Map<string, Shown>();
    for (const part of read.parts) {
      const shown = this.part(part, titles.get(part.id) ?? part.id);
      kept.set(part.id, shown);
      order.push(shown.element);
    }
    this.shown = kept;
    this.place(order);
    this.root.classList.toggle("is-empty", order.length === 0);
  }

  /** Bring a phrase into view, if it is not. */
  reveal(phrase: string): void {
    const element = this.shown.get(phrase)?.element;
    for (const each of this.shown.values()) each.element.classList.toggle("is-written", each.element === element);
    if (!element) return;
    const box = element.getBoundingClientRect();
    const own = this.root.getBoundingClientRect();
    if (box.top > own.bottom - 120 || box.bottom < own.top + 120) element.scrollIntoView({ block: "start" });
  }

  private part(part: Part, title: string): Shown {
    const before = this.shown.get(part.id);
    if (before && part.key && before.key === part.key) {
      before.element.classList.remove("is-broken");
      return before;
    }
    if (!part.key) return this.broken(title, before);
    if (part.html === undefined && before) return before;
    const element = before?.element ?? document.createElement("div");
    element.className = `part part-${part.kind}`;
    element.innerHTML = part.html ?? "";
    const section = element.querySelector<HTMLElement>(".phrase");
    if (section) this.enliven(section, part.id, title);
    return { key: part.key, element };
  }

  /** A phrase with problems: its last good picture stays, faded. */
  private broken(title: string, before: Shown | undefined): Shown {
    const element = before?.element ?? document.createElement("div");
    element.classList.add("part", "is-broken");
    if (!before) {
      const word = document.createElement("p");
      word.className = "waiting";
      word.textContent = `${title}: shown here when it can be read`;
      element.append(word);
    }
    return { key: before?.key ?? "", element };
  }

  private enliven(section: HTMLElement, name: string, title: string): void {
    enliven(section, null);
    const bar = document.createElement("div");
    bar.className = "part-bar";
    const hear = button("Hear it", `Hear it: ${title}`);
    const near = button("Up close", `Up close: ${title}`);
    const status = document.createElement("span");
    status.setAttribute("role", "status");
    hear.addEventListener("click", () => void this.hear(section, name, title, hear, status));
    near.addEventListener("click", () => this.asked.close(name));
    bar.append(hear, near, status);
    section.querySelector(".music")?.append(bar);
  }

  private async hear(section: HTMLElement, name: string, title: string, button: HTMLButtonElement, status: HTMLElement): Promise<void> {
    button.disabled = true;
    status.textContent = "playing it in …";
    try {
      const player = await makePlayer(section, this.asked.text(), name, title);
      button.replaceWith(player);
      status.textContent = "";
      await player.updateComplete;
      await player.play();
    } catch (error) {
      status.textContent = said(error);
      button.disabled = false;
    }
  }

  /** Put the parts in order; those that stay are not touched. */
  private place(order: HTMLElement[]): void {
    const wanted = new Set<Element>(order);
    for (const child of [...this.root.children]) if (!wanted.has(child)) child.remove();
    let at: Element | null = this.root.firstElementChild;
    for (const element of order) {
      if (element === at) at = at.nextElementSibling;
      else this.root.insertBefore(element, at);
    }
  }
}

/** A player of a phrase whose sound the server makes. */
export async function makePlayer(section: HTMLElement, text: string, name: string, title: string): Promise<LickPlayer> {
  const { data, sounds } = await api.sound(text, name);
  const player = document.createElement("lick-player") as LickPlayer;
  player.label = title;
  player.source = async () => ({ lead: bytes(sounds.lead), band: sounds.band ? bytes(sounds.band) : null });
  player.data = data;
  player.rungIndex = data.rungs.length - 1;
  follow(section, player);
  return player;
}

function button(words: string, label: string): HTMLButtonElement {
  const made = document.createElement("button");
  made.type = "button";
  made.className = "quiet";
  made.textContent = words;
  made.setAttribute("aria-label", label);
  return made;
}
