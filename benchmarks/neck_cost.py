"""How does fingering a phrase grow with its notes, and how does it stand beside trying every way?

Run: python benchmarks/neck_cost.py. Medians of interleaved runs, in milliseconds of CPU time. Every
way is walked only for phrases so short that it ends; both then name the same least cost.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from statistics import median
from time import process_time

from lickwright.lesson import read_lesson
from lickwright.neck import Fingering, Guitar, finger, guitar_for, playability
from lickwright.neck.hold import HandState
from lickwright.phrase import Note, Phrase

RUNS = 5
SIZES = (64, 125, 250, 500, 1000)  # notes
SHORT = (2, 3, 4, 5)  # notes of a phrase of which every way is walked
START = "```lick growing\nkey: A minor\ntempo: 100\n\nG     |5--------|\ncount |1  2 3 4 |\n```\n"
FRETS = (0, 5, 5, 7, 7, 8, 9, 10, 12)


def phrase_of(count: int) -> Phrase:
    """A line of eighths over all strings."""
    reading = read_lesson(START)
    assert reading.problems == (), reading.problems
    first = reading.lesson.phrases[0]
    dice = random.Random(count)
    return replace(first, notes=tuple(_note(first.notes[0], dice, i) for i in range(count)))


def _note(pattern: Note, dice: random.Random, index: int) -> Note:
    onset, half = Fraction(index, 2), Fraction(1, 2)
    return replace(
        pattern,
        id=f"growing/{index}",
        string=dice.randint(1, 6),
        fret=dice.choice(FRETS),
        onset=onset,
        end=onset + half,
        bar=index // 8 + 1,
    )


def every_way(fingering: Fingering) -> tuple[float, int]:
    """The least cost among all ways through the states, and how many ways there are."""
    lattice = fingering.lattice
    known: dict[tuple[int, HandState | None, HandState], float] = {}
    ends = [0]

    def walk(moment: int, before: HandState | None) -> float:
        if moment == len(lattice.stages):
            ends[0] += 1
            return 0.0
        best = float("inf")
        for holds, row in lattice.layers[moment].ways.items():
            for position in row:
                state = HandState(position, holds)
                if (moment, before, state) not in known:
                    costs = lattice.moment_costs(moment, before, state)
                    known[moment, before, state] = sum(cost.points for cost in costs)
                onward = walk(moment + 1, state)
                best = min(best, known[moment, before, state] + onward)
        return best

    return walk(0, None), ends[0]


def timed(work: Callable[[], object]) -> float:
    """Milliseconds of CPU time."""
    start = process_time()
    work()
    return (process_time() - start) * 1000


def growth(name: str, work: Callable[[Phrase, Guitar], object]) -> None:
    """Print how the time of one answer grows with the notes."""
    made = {count: phrase_of(count) for count in SIZES}
    guitars = {count: guitar_for(phrase) for count, phrase in made.items()}
    times: dict[int, list[float]] = {count: [] for count in made}
    work(made[SIZES[0]], guitars[SIZES[0]])
    for _ in range(RUNS):
        for count, phrase in made.items():
            times[count].append(timed(lambda p=phrase, g=guitars[count]: work(p, g)))  # type: ignore[misc]
    for count, each in times.items():
        print(
            f"{name}, {count:4} notes: {median(each):8.1f} ms, {median(each) / count:.2f} ms a note"
        )
    ratio = median(times[SIZES[-1]]) / median(times[SIZES[0]])
    print(f"{name}: {SIZES[-1] / SIZES[0]:.1f} times the notes cost {ratio:.1f} times as much")


def beside_every_way() -> None:
    """Print the search beside walking every way, for phrases of fretted notes."""
    for count in SHORT:
        made = phrase_of(count)
        made = replace(
            made, notes=tuple(replace(note, fret=max(1, note.fret)) for note in made.notes)
        )
        found = finger(made, guitar_for(made))
        search = median(timed(lambda p=made: finger(p, guitar_for(p))) for _ in range(RUNS))  # type: ignore[misc]
        start = process_time()
        least, ways = every_way(found)
        walked = (process_time() - start) * 1000
        assert abs(least - found.cost) < 1e-9, (least, found.cost)
        print(
            f"{count} notes: {ways:7} ways walked in {walked:8.1f} ms, search {search:.1f} ms, "
            f"both find {least:.2f} points"
        )


def main() -> None:
    growth("fingers", finger)
    growth("playability", playability)
    beside_every_way()


if __name__ == "__main__":
    main()
