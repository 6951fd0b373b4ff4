"""How far from the written place and strength does a player strike?"""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import blake2b

from lickwright.phrase import NoteTime, Performance


@dataclass(frozen=True, slots=True)
class Human:
    """Small deviations, the same every time. `seconds`: of time; `strength`: a share of it.

    Both are what two thirds of the strokes stay within. 4 ms is under the just noticeable shift
    of one tone in a row, 6 ms (Friberg & Sundberg 1995).
    """

    seconds: float = 0.004
    strength: float = 0.07
    seed: int = 0

    def late(self, *words: object) -> float:
        """Seconds that the stroke named by `words` comes late; below zero early."""
        return self.seconds * self._throw("time", *words)

    def stronger(self, *words: object) -> float:
        """By what its strength is multiplied."""
        return max(0.3, 1.0 + self.strength * self._throw("strength", *words))

    def _throw(self, *words: object) -> float:
        """A number around 0 with standard deviation 1, never beyond ±3 (a sum of three)."""
        text = "/".join(map(str, (self.seed, *words)))
        drawn = blake2b(text.encode(), digest_size=6).digest()
        thirds = (int.from_bytes(drawn[at : at + 2], "big") for at in (0, 2, 4))
        return sum(third / 32767.5 - 1.0 for third in thirds)


EXACT = Human(0.0, 0.0)
HUMAN = Human()


def humanised(performance: Performance, human: Human) -> Performance:
    """A phrase as a human player times it: every run of notes a little early or late as a whole.

    A string still ends one note where the next one begins.
    """
    if human.seconds == 0:
        return performance
    moved = {
        time.note.id: _moved(time, human.late(run[0].note.id))
        for run in performance.runs
        for time in run
    }
    begins: dict[int, float] = {}
    for time in sorted(moved.values(), key=lambda t: t.begin, reverse=True):
        limit = begins.get(time.note.string, float("inf"))
        ends = NoteTime(time.note, time.begin, time.start, min(time.end, limit))
        moved[time.note.id], begins[time.note.string] = ends, time.begin
    times = tuple(moved[time.note.id] for time in performance.times)
    return Performance(performance.phrase, performance.clock, times)


def _moved(time: NoteTime, late: float) -> NoteTime:
    return NoteTime(time.note, time.begin + late, time.start + late, time.end + late)
