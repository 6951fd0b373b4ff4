"""What does it cost to place and to move a phrase, against trying every string and drawing it?

Run: python benchmarks/move_cost.py. Prints ratios only, of medians of CPU time in one process:
placing and moving a phrase of about 64 notes against engraving it, by how much trying every choice
of strings is slower for a few notes (and that it finds nothing cheaper), and how the time of the
best placement grows with the notes up to about 1,000.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from itertools import product
from math import inf, prod
from statistics import median
from time import process_time

from engrave_cost import drawn, first_phrase, lesson

from lickwright.neck import Guitar, HandSize, guitar_for
from lickwright.neck.moving import Moved, move
from lickwright.neck.placement import Placement, Placer, placements
from lickwright.neck.placement_hand import hand_table
from lickwright.neck.placement_moments import line_of
from lickwright.neck.placement_seats import Seater, Wish
from lickwright.neck.placement_way import Ways
from lickwright.phrase import Phrase
from lickwright.reasons import explain
from lickwright.theory import Key, Mode, parse_key, usual_key

RUNS = 15
BARS = 10  # about 64 notes
FEW = (3, 4, 5, 6)  # notes of which every choice of strings is tried
MANY = (9, 37, 148)  # bars: about 60, 250 and 1,000 notes
AIM = 1.0  # of engraving the phrase: what all placements of it may take at most


def main() -> None:
    made = first_phrase(lesson(BARS))
    guitar = guitar_for(made)
    against_engraving(made, guitar)
    against_every_string(made, guitar)
    growth()


def against_engraving(made: Phrase, guitar: Guitar) -> None:
    keys = [usual_key(tonic, Mode.MINOR) for tonic in range(12)]
    moved = moved_to(made, guitar, parse_key("C minor"))
    explained = explain(moved)
    cost = medians(
        {
            "engrave": lambda: drawn(moved, explained),
            "best placement": lambda: Placer(made, guitar).best(),
            "all placements": lambda: placements(made, guitar),
            "to another key": lambda: moved_to(made, guitar, keys[0]),
            "to twelve keys": lambda: [moved_to(made, guitar, key) for key in keys],
            "into pattern 4": lambda: move(made, guitar, pattern=4),
        }
    )
    print(f"{len(made.notes)} notes; shares of what engraving the phrase takes:")
    for name, spent in cost.items():
        if name != "engrave":
            aim = f" (aim: at most {AIM})" if name == "all placements" else ""
            print(f"  {name:16} {spent / cost['engrave']:6.2f}{aim}")


def moved_to(made: Phrase, guitar: Guitar, key: Key) -> Phrase:
    found = move(made, guitar, key=key)
    if not isinstance(found, Moved):
        raise TypeError(str(found))
    return found.phrase


def against_every_string(made: Phrase, guitar: Guitar) -> None:
    print("notes  choices of strings  slower than the best placement by")
    for few in FEW:
        short = first_notes(made, few)
        best = Placer(short, guitar).best()
        cheapest, tried = every_string(short, guitar)
        if not isinstance(best, Placement) or abs(best.cost - cheapest) > 1e-6:
            raise ValueError(f"{few} notes: {best} is not the cheapest, {cheapest}")
        cost = medians(
            {
                "best": lambda short=short: Placer(short, guitar).best(),  # type: ignore[misc]
                "every": lambda short=short: every_string(short, guitar),  # type: ignore[misc]
            },
            runs=3,
        )
        print(f"{few:5} {tried:19} {cost['every'] / cost['best']:8.0f} times; none is cheaper")


def first_notes(made: Phrase, few: int) -> Phrase:
    """The beginning of a phrase, up to the end of the run that its `few`-th note belongs to."""
    kept = {note.id for run in made.runs[:few] for note in run}
    return replace(made, notes=tuple(note for note in made.notes if note.id in kept))


def every_string(made: Phrase, guitar: Guitar) -> tuple[float, int]:
    """The least cost of all choices of strings, each reckoned alone, and how many there are."""
    line = line_of(made)
    seater = Seater(line, guitar, guitar, HandSize.AVERAGE)
    table = hand_table(guitar.neck, HandSize.AVERAGE, seater.highest)
    wish = Wish()
    seats = [seater.seats(run, wish).seats for run in line.runs]
    least = inf
    for chosen in product(*seats):
        ways = Ways(line, [(seat,) for seat in chosen], table, [(0, seater.highest)])
        if ways.jam is None:
            least = min(least, ways.costs()[0])
    return least, prod(map(len, seats))


def growth() -> None:
    phrases = {bars: first_phrase(lesson(bars)) for bars in MANY}
    cost = medians(
        {
            str(bars): lambda made=made: Placer(made, guitar_for(made)).best()  # type: ignore[misc]
            for bars, made in phrases.items()
        },
        runs=5,
    )
    base = cost[str(MANY[0])] / len(phrases[MANY[0]].notes)
    print("notes  time a note, the shortest phrase being 1")
    for bars, made in phrases.items():
        print(f"{len(made.notes):5} {cost[str(bars)] / len(made.notes) / base:8.2f}")


def medians(steps: Mapping[str, Callable[[], object]], runs: int = RUNS) -> dict[str, float]:
    """Seconds of CPU time of each step; the steps take turns, the first turn is not counted."""
    spent: dict[str, list[float]] = {name: [] for name in steps}
    for turn in range(runs + 1):
        for name, step in steps.items():
            before = process_time()
            step()
            if turn:
                spent[name].append(process_time() - before)
    return {name: median(found) for name, found in spent.items()}


if __name__ == "__main__":
    main()
