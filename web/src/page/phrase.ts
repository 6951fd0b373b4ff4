/** One phrase on the page: its sentences, pictures, table and player belong together. */

import { Cursor } from "../player/cursor.js";
import type { PlayerData, SoundSource } from "../player/data.js";
import type { Done, Heard, LickPlayer } from "../player/player.js";
import { bytes } from "../player/sound.js";

/** Make a section of the page live; `source` gives its sounds, else they stand in the page. */
export function enliven(section: HTMLElement, done: Done | null, source?: SoundSource): void {
  sentences(section, marker(section));
  const player = section.querySelector<LickPlayer>("lick-player");
  if (player?.dataset["player"]) {
    player.source = source ?? (() => inPage(section));
    player.done = done;
    player.data = JSON.parse(player.dataset["player"]) as PlayerData;
    follow(section, player);
  }
}

/** Light up what a player sounds, and move the line through the pictures. */
export function follow(section: HTMLElement, player: LickPlayer): void {
  const mark = marker(section);
  const cursors = [...section.querySelectorAll<SVGSVGElement>(".score .wide svg, .score .narrow svg")];
  const following = cursors.map((svg) => new Cursor(svg));
  player.addEventListener("heard", (event) => {
    const heard = (event as CustomEvent<Heard | null>).detail;
    mark("now", heard && !heard.answering ? heard.notes : new Set());
    section.classList.toggle("my-turn", heard?.answering ?? false);
    for (const cursor of following) cursor.show(heard);
  });
}

type Mark = (name: string, ids: ReadonlySet<string>) => void;

/** Gives everything that belongs to some notes a class, and takes it from all else. */
function marker(section: HTMLElement): Mark {
  const marks = [...section.querySelectorAll<HTMLElement | SVGElement>("[data-note],[data-row]")];
  return (name, ids) => {
    for (const each of marks) {
      const own = each.dataset["note"] ?? each.dataset["row"] ?? "";
      each.classList.toggle(name, ids.has(own));
    }
  };
}

function sentences(section: HTMLElement, mark: Mark): void {
  const buttons = [...section.querySelectorAll<HTMLButtonElement>("[data-notes]")];
  for (const button of buttons) {
    button.addEventListener("click", () => {
      const on = button.getAttribute("aria-pressed") !== "true";
      for (const each of buttons) each.setAttribute("aria-pressed", String(each === button && on));
      mark("lit", new Set(on ? (JSON.parse(button.dataset["notes"] ?? "[]") as string[]) : []));
    });
  }
}

async function inPage(section: HTMLElement): Promise<{ lead: ArrayBuffer; band: ArrayBuffer | null }> {
  const of = (name: string): ArrayBuffer | null => {
    const text = section.querySelector(`script[data-sound="${name}"]`)?.textContent;
    return text ? bytes(text) : null;
  };
  const lead = of("lead");
  if (!lead) throw new Error("the sound is not in the page");
  return { lead, band: of("band") };
}
