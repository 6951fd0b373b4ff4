"""What may sound together at a moment of a phrase, and what has to stop for it?

A state is the seats of the runs that sound. What a hand cannot hold on to is let go, and what loses
its string is cut short; both cost points.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice
from typing import NamedTuple

from lickwright.neck.pattern import Place
from lickwright.neck.placement_hand import HandTable, holds_together
from lickwright.neck.placement_moments import Line, Moment
from lickwright.neck.placement_seats import Seat

# Common practice, no source.
_CUT = 2.0  # a note cut short because its string is needed
_LET_GO = 2.0  # a note that the hand cannot hold on to
_NO_HAND = 10.0  # notes that no hand holds at once, and none can be let go
_MOST_STRAINED = 200  # seatings tried of notes that no hand holds together

Key = tuple[tuple[int, int], ...]  # (run, index of its seat) of what sounds, by run


class Choice(NamedTuple):
    """Seats for the runs that begin at a moment."""

    seats: Key
    strings: tuple[int, ...]
    points: float


class States:
    """All that may sound at the moments of one line, given the seats of its runs."""

    def __init__(self, line: Line, seats: Sequence[Sequence[Seat]], table: HandTable) -> None:
        self._line = line
        self._seats = seats
        self._table = table
        self._held: dict[tuple[Place, ...], bool] = {}

    def strings(self, key: Key, moment: Moment) -> tuple[int, ...]:
        """The strings struck at a moment."""
        return tuple(self._seats[run][seat].string for run, seat in key if run in moment.notes)

    def free(self, key: Key, moment: Moment) -> bool:
        """Whether nothing that is struck at a moment takes a finger."""
        struck = ((run, seat) for run, seat in key if run in moment.notes)
        return not any(self._seats[run][seat].frets[moment.notes[run]] for run, seat in struck)

    def choices(self, moment: Moment) -> list[Choice]:
        """Every way to seat the runs that begin, each on a string of its own.

        Only if no hand holds any of them, those that no hand holds, and of these not all.
        """
        starts = moment.starts
        if len(starts) == 1:
            run = starts[0]
            return [
                Choice(((run, index),), (seat.string,), seat.points)
                for index, seat in enumerate(self._seats[run])
            ]
        found = list(self._seated(starts, (), (), held=True))
        return found or list(islice(self._seated(starts, (), (), held=False), _MOST_STRAINED))

    def _seated(
        self, runs: tuple[int, ...], chosen: Key, places: tuple[Place, ...], *, held: bool
    ) -> Iterator[Choice]:
        if len(chosen) == len(runs):
            points = sum(self._seats[run][seat].points for run, seat in chosen)
            strings = tuple(place.string for place in places)
            yield Choice(chosen, strings, points + (0.0 if held else _NO_HAND))
            return
        run = runs[len(chosen)]
        picking = self._line.runs[run].picking[0]
        for index, seat in enumerate(self._seats[run]):
            if any(place.string == seat.string for place in places):
                continue
            now = (*places, Place(seat.string, 0 if picking else seat.frets[0]))
            if not held or len(now) == 1 or self._holdable(now):
                yield from self._seated(runs, (*chosen, (run, index)), now, held=held)

    def stay(self, kept: Key, choice: Choice, moment: Moment) -> tuple[Key, float] | None:
        """What of `kept` sounds on beside a choice; None if a run would lose its string."""
        points = 0.0
        takers = dict(zip(choice.strings, choice.seats, strict=True))
        stay: list[tuple[int, int]] = []
        for run, seat in kept:
            taker = takers.get(self._seats[run][seat].string)
            if taker is None:
                stay.append((run, seat))
            elif self._line.runs[taker[0]].string != self._line.runs[run].string:
                if not self._may_end(run, moment):
                    return None
                points += _CUT
        held, more = self._hold_on(tuple(stay), choice.seats, moment)
        return tuple(sorted((*held, *choice.seats))), points + more

    def _may_end(self, run: int, moment: Moment) -> bool:
        """Whether nothing is still to come of a run that sounds."""
        alive = moment.alive.get(run)
        return alive is not None and not alive.going and self._line.runs[run].busy < moment.onset

    def _hold_on(self, stay: Key, chosen: Key, moment: Moment) -> tuple[Key, float]:
        """What the hand holds on to, and points for what it lets go."""
        if self.together((*stay, *chosen), moment):
            return stay, 0.0
        held = tuple(
            pair
            for pair in stay
            if not self._may_end(pair[0], moment) or not self.fret(pair, moment)
        )
        points = _LET_GO * (len(stay) - len(held))
        return held, points + (0.0 if self.together((*held, *chosen), moment) else _NO_HAND)

    def together(self, key: Key, moment: Moment) -> bool:
        """Whether a hand holds what sounds in a state at a moment."""
        return len(key) < 2 or self._holdable(tuple(self._place(pair, moment) for pair in key))

    def fret(self, pair: tuple[int, int], moment: Moment) -> int:
        """The fret that the hand holds for a run at a moment; 0 if it holds none."""
        run, seat = pair
        alive = moment.alive.get(run)
        at = moment.notes[run] if alive is None else alive.at
        return 0 if self._line.runs[run].picking[at] else self._seats[run][seat].frets[at]

    def _place(self, pair: tuple[int, int], moment: Moment) -> Place:
        return Place(self._seats[pair[0]][pair[1]].string, self.fret(pair, moment))

    def _holdable(self, places: tuple[Place, ...]) -> bool:
        if places not in self._held:
            self._held[places] = holds_together(places, self._table.neck, self._table.size)
        return self._held[places]
