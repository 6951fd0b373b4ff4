/** The pupil's page: everything on it that moves, sounds or remembers. Nothing leaves the page. */

import "../player/player.js";
import "../player/recorder.js";
import type { PlayerData } from "../player/data.js";
import type { LickPlayer } from "../player/player.js";
import { enliven } from "./phrase.js";
import { type Goal, LessonProgress } from "./progress.js";
import { Ticks } from "./ticks.js";
import { keepView } from "./view.js";

const ticks = new Ticks(document.body.dataset["lesson"] ?? "lesson");
const sections = [...document.querySelectorAll<HTMLElement>(".phrase")];
for (const section of sections) enliven(section, ticks);

const players = [...document.querySelectorAll<LickPlayer>("lick-player")];
ticks.addEventListener("change", () => {
  for (const player of players) player.requestUpdate();
  showStages();
});

/** The boxes of the practice stages are the same ticks. */
const boxes = [...document.querySelectorAll<HTMLInputElement>("input[data-phrase]")];
function showStages(): void {
  for (const box of boxes) box.checked = ticks.has(box.dataset["phrase"] ?? "", Number(box.dataset["tempo"]));
}
for (const box of boxes) {
  box.addEventListener("change", () =>
    ticks.set(box.dataset["phrase"] ?? "", Number(box.dataset["tempo"]), box.checked),
  );
}
showStages();

const place = document.querySelector("#progress");
if (place) {
  const goals: Goal[] = sections.map((section) => {
    const tempos = new Set<number>();
    const data = section.querySelector<HTMLElement>("lick-player")?.dataset["player"];
    for (const rung of data ? (JSON.parse(data) as PlayerData).rungs : []) tempos.add(rung.tempo);
    for (const box of boxes) if (box.dataset["phrase"] === section.id) tempos.add(Number(box.dataset["tempo"]));
    const title = section.querySelector("h2,h3,h4")?.textContent ?? section.id;
    return { name: section.id, title, tempos: [...tempos].sort((a, b) => a - b) };
  });
  const progress = new LessonProgress();
  progress.ticks = ticks;
  progress.goals = goals.filter((goal) => goal.tempos.length > 0);
  place.append(progress);
}

/** Of everything that sounds, only one thing does. */
document.addEventListener(
  "play",
  (event) => {
    for (const player of players) player.stop();
    for (const audio of document.querySelectorAll("audio")) if (audio !== event.target) audio.pause();
  },
  true,
);
for (const player of players) {
  player.addEventListener("heard", (event) => {
    if ((event as CustomEvent).detail) for (const audio of document.querySelectorAll("audio")) audio.pause();
  });
}
/** While a take is recorded, nothing of the page sounds but what the pupil starts after that. */
document.addEventListener("recording", () => {
  for (const audio of document.querySelectorAll("audio")) audio.pause();
});
keepView();
