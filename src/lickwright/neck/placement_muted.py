"""On which strings do muted strings lie, once the notes beside them have moved?

A muted string has no pitch: it goes along with the note next to it, to the nearest free string.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import groupby

from lickwright.neck.placement_moments import Line, Run
from lickwright.neck.placement_seats import Seat
from lickwright.phrase import Note, Timing


def muted_strings(
    line: Line, seats: Sequence[Seat], strings: int
) -> dict[str, int | None] | Fraction:
    """A string for each muted note, by id; None for a raked one that finds none.

    If a counted one finds none, its beat. `strings`: how many the guitar has.
    """
    dead = [note for note in line.phrase.notes if note.dead]
    found: dict[str, int | None] = {}
    follow = _Follow(line, seats)
    for _, group in groupby(dead, key=lambda note: note.onset):
        used: set[int] = set()
        for note in group:
            string = follow.string(note, strings, used)
            if string is None and note.timing is not Timing.GRACE:
                return note.onset
            found[note.id] = string
            used |= set() if string is None else {string}
    return found


class _Follow:
    """Knows which strings the notes around a muted one have left and taken."""

    def __init__(self, line: Line, seats: Sequence[Seat]) -> None:
        self._pairs = list(zip(line.runs, seats, strict=True))
        self._onsets = [run.notes[0].onset for run in line.runs]

    def string(self, note: Note, strings: int, used: set[int]) -> int | None:
        """The free string nearest to where the note goes; rather one where nothing sounds."""
        goal = note.string + self._shift(note)
        near = sorted(range(1, strings + 1), key=lambda string: (abs(string - goal), string))
        free = [s for s in near if s not in used and not self._taken(note, s)]
        quiet = [s for s in free if not self._sounding(note, s)]
        return next(iter(quiet or free), None)

    def _shift(self, note: Note) -> int:
        """By how many strings the nearest note in time, and of these on the neck, has moved."""
        if not self._pairs:
            return 0
        run, seat = min(
            self._pairs,
            key=lambda pair: (
                abs(pair[0].notes[0].onset - note.onset),
                abs(pair[0].string - note.string),
            ),
        )
        return seat.string - run.string

    def _taken(self, note: Note, string: int) -> bool:
        """Whether a run needs the string at that time, and did not need it before."""
        return any(
            seat.string == string and run.string != note.string and _needs(run, note.onset)
            for run, seat in self._pairs
        )

    def _sounding(self, note: Note, string: int) -> bool:
        return any(
            seat.string == string
            and run.string != note.string
            and run.notes[0].onset <= note.onset < run.end
            for run, seat in self._pairs
        )


def _needs(run: Run, beat: Fraction) -> bool:
    """Whether something counted of a run comes at a beat, or before and after it."""
    return run.notes[0].onset <= beat <= run.busy
