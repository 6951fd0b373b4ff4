"""How well is a take heard? Counts over made takes whose truth is known."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from random import Random

import numpy as np
from made_takes import Planned
from take_harm import clicked, noisy, roomy, squeaked

from lickwright.hear import Hearing, Verdict

NEAR = 0.06  # seconds within which an onset is the right one
CONDITIONS = ("clean", "20 dB", "room + 15 dB", "squeaks", "metronome")


def harmed(planned: Planned, sound: np.ndarray, rate: int, condition: str) -> np.ndarray:
    """A take as it comes from a phone, a room, a careless hand."""
    seed = planned.plan.seed
    rng = Random(f"{condition}/{planned.phrase.name}/{seed}")
    match condition:
        case "20 dB":
            return noisy(sound, rate, 20, seed)
        case "room + 15 dB":
            return noisy(roomy(sound, rate, seed), rate, 15, seed)
        case "squeaks":
            starts = [note.begin for note in planned.notes if note.verdict != "missed"]
            places = [s - rng.uniform(0.05, 0.16) for s in starts if rng.random() < 0.25]
            return noisy(squeaked(sound, rate, places, seed), rate, 30, seed)
        case "metronome":
            beat = 60 / planned.tempo
            first = planned.parts[-1][0] % beat
            places = [first + beat * k for k in range(int(planned.seconds / beat))]
            return noisy(clicked(sound, rate, places, -8), rate, 30, seed)
        case _:
            return sound


@dataclass
class Counts:
    """What was found of what is there."""

    takes: int = 0
    right: int = 0  # notes with the right verdict at the right place
    said: int = 0  # notes said to sound
    there: int = 0  # notes that sound
    planted: dict[str, int] = field(default_factory=lambda: dict.fromkeys(KINDS, 0))
    found: dict[str, int] = field(default_factory=lambda: dict.fromkeys(KINDS, 0))
    false: dict[str, int] = field(default_factory=lambda: dict.fromkeys(KINDS, 0))
    unsure: int = 0
    bends: list[float] = field(default_factory=list)  # cents off the truth
    bends_there: int = 0
    onsets: list[float] = field(default_factory=list)  # ms off the truth
    tunings: list[float] = field(default_factory=list)

    @property
    def f1(self) -> float:
        return 2 * self.right / max(1, self.said + self.there)

    @property
    def alarms(self) -> float:
        return sum(self.false.values()) / max(1, self.takes)

    def add(self, planned: Planned, heard: Hearing) -> None:
        self.takes += 1
        self.tunings.append(heard.tuning - planned.plan.detune)
        for truth in planned.notes:
            note = heard.note(truth.id)
            written = next(n for n in planned.phrase.notes if n.id == truth.id)
            if written.dead:
                continue
            self._note(truth, note)
            if truth.verdict == "played" and note.bend is not None:
                self.bends_there += 1
                if note.bend.cents is not None:
                    self.bends.append(abs(note.bend.cents - truth.bend_off))
        self._off_beat(planned, heard)
        self._added(planned, heard)

    def _note(self, truth, note) -> None:
        sounds = truth.verdict != "missed"
        self.there += sounds
        if note.verdict is Verdict.CANNOT_TELL:
            self.unsure += 1
            self.there -= sounds  # nothing is claimed
            return
        said = note.verdict is not Verdict.MISSED
        self.said += said
        if said and sounds and note.verdict.value == truth.verdict:
            self.right += abs(note.onset - truth.start) < NEAR or (
                abs(note.onset - truth.begin) < NEAR
            )
        for kind in ("missed", "wrong"):
            is_so, called = truth.verdict == kind, note.verdict.value == kind
            self.planted[kind] += is_so
            self.found[kind] += is_so and called
            self.false[kind] += called and not is_so

    def _off_beat(self, planned: Planned, heard: Hearing) -> None:
        pairs = [
            (heard.note(t.id).error, t.off_beat)
            for t in planned.notes
            if t.verdict == "played" and heard.note(t.id).error is not None
        ]
        self.onsets += [abs(error - truth) * 1000 for error, truth in pairs]

    def _added(self, planned: Planned, heard: Hearing) -> None:
        self.planted["added"] += len(planned.added)
        left = list(heard.added)
        for seconds, _ in planned.added:
            hit = next((a for a in left if abs(a.onset - seconds) < 0.08), None)
            if hit is not None:
                left.remove(hit)
                self.found["added"] += 1
        self.false["added"] += len(left)


KINDS = ("missed", "wrong", "added")


def row(name: str, counts: Counts) -> str:
    """One line of the table of goals."""

    def of(kind: str) -> str:
        return f"{counts.found[kind]}/{counts.planted[kind]}"

    bends = np.percentile(counts.bends, [50, 95]) if counts.bends else (np.nan, np.nan)
    onset = np.percentile(counts.onsets, 95) if counts.onsets else np.nan
    return (
        f"{name:14} {counts.takes:5} {counts.f1:6.3f} {of('missed'):>8} {of('added'):>8} "
        f"{of('wrong'):>8} {counts.alarms:7.2f} {bends[0]:6.1f} {bends[1]:6.1f} {onset:7.1f} "
        f"{counts.unsure / max(1, counts.there + counts.unsure):7.1%}"
    )


HEAD = (
    f"{'condition':14} {'takes':>5} {'F1':>6} {'missed':>8} {'added':>8} {'wrong':>8} "
    f"{'alarms':>7} {'bend':>6} {'95th':>6} {'onset':>7} {'unsure':>7}"
)


def total(all_counts: Iterable[Counts]) -> Counts:
    """All counts together."""
    made = Counts()
    for counts in all_counts:
        for name in ("takes", "right", "said", "there", "unsure", "bends_there"):
            setattr(made, name, getattr(made, name) + getattr(counts, name))
        for name in ("planted", "found", "false"):
            for kind in KINDS:
                getattr(made, name)[kind] += getattr(counts, name)[kind]
        for name in ("bends", "onsets", "tunings"):
            getattr(made, name).extend(getattr(counts, name))
    return made
