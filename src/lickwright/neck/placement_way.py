"""Which seats of its runs take a phrase over the neck at the least cost?

The answer is exact: dynamic programming over the moments of the phrase (S. Sayegh 1989, the optimum
path paradigm), the state being the strings on which notes sound and where the hand rests. What a
hand cannot hold on to is let go, and what loses its string is cut short; both cost points.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import islice
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from lickwright.neck.geometry import Neck
from lickwright.neck.pattern import Place
from lickwright.neck.placement_hand import HandTable, holds_together
from lickwright.neck.placement_moments import Line, Moment
from lickwright.neck.placement_seats import Seat

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Points = NDArray[np.float64]
    Indices = NDArray[np.intp]

# Common practice, no source.
_FREE = 0.5  # share of what a move of the hand costs from open strings
_SKIPPED = 0.12  # points a string that the picking hand jumps over
_CUT = 2.0  # a note cut short because its string is needed
_LET_GO = 2.0  # a note that the hand cannot hold on to
_NO_HAND = 10.0  # notes that no hand holds at once, and none can be let go
_MOST_STRAINED = 200

Key = tuple[tuple[int, int], ...]  # (run, index of its seat) of what sounds, by run


class _Back(NamedTuple):
    """For each position of the hand: the state before, and where the hand was."""

    key: Indices
    position: Indices


class _Choice(NamedTuple):
    """Seats for the runs that begin at a moment."""

    seats: Key
    strings: tuple[int, ...]
    points: float


# For each state the states before it, by index, and what the strings cost on the way.
_Edges = dict[Key, tuple[list[int], list[float]]]


@dataclass(frozen=True, slots=True)
class Way:
    """The cheapest seats, one a run, and what they cost in points."""

    seats: tuple[Seat, ...]
    cost: float


@dataclass(frozen=True, slots=True)
class Jam:
    """There is no way: at beat `onset` notes struck together have not a string each."""

    onset: Fraction


class WayFinder:
    """Finds the cheapest way of one line over the neck, given the seats of its runs."""

    def __init__(self, line: Line, seats: Sequence[Sequence[Seat]], table: HandTable) -> None:
        self._line = line
        self._seats = seats
        self._table = table
        self._neck: Neck = table.neck
        self._held: dict[tuple[Place, ...], bool] = {}
        self._notes: dict[tuple[int, int, int], Points] = {}

    def best(self) -> Way | Jam:
        """The cheapest way; of equals the one on thinner strings."""
        keys: list[Key] = [()]
        costs: Points = np.zeros((1, len(self._table.positions)))
        trail: list[tuple[list[Key], list[_Back]]] = []
        before: Moment | None = None
        for moment in self._line.moments:
            reached, origins = self._reached(keys, costs, before, moment)
            edges = self._edges(keys, before, moment)
            keys, costs, backs = self._joined(edges, reached, origins, moment)
            if not keys:
                return Jam(moment.onset)
            trail.append((keys, backs))
            before = moment
        return self._traced(trail, costs)

    def _reached(
        self, keys: list[Key], costs: Points, before: Moment | None, moment: Moment
    ) -> tuple[Points, Indices]:
        """The least cost of having the hand at each position, still holding what it held."""
        shares = [1.0 if before is None or self._holds(key, before) else _FREE for key in keys]
        pace = np.array(shares)[:, None, None] * moment.pace
        ways = costs[:, :, None] + pace * self._table.moves(moment.slid)[None]
        origins = ways.argmin(axis=1)
        return np.take_along_axis(ways, origins[:, None, :], axis=1)[:, 0, :], origins

    def _holds(self, key: Key, moment: Moment) -> bool:
        """Whether what is struck at a moment takes a finger."""
        return any(self._seats[r][s].frets[moment.notes[r]] for r, s in key if r in moment.notes)

    def _edges(self, keys: list[Key], before: Moment | None, moment: Moment) -> _Edges:
        """Every state of a moment, with the states before it and the points from each."""
        choices = self._choices(moment)
        edges: _Edges = {}
        for index, key in enumerate(keys):
            kept = tuple(pair for pair in key if pair[0] in moment.alive or pair[0] in moment.notes)
            last = self._strings(key, before) if before is not None else []
            for choice in choices:
                found = self._stay(kept, choice, moment) if kept else (choice.seats, 0.0)
                if found is not None:
                    state, points = found
                    into = edges.setdefault(state, ([], []))
                    into[0].append(index)
                    into[1].append(points + choice.points + _skipped(last, choice.strings))
        return edges

    def _strings(self, key: Key, moment: Moment) -> list[int]:
        """The strings struck at a moment."""
        return [self._seats[run][seat].string for run, seat in key if run in moment.notes]

    def _joined(
        self, edges: _Edges, reached: Points, origins: Indices, moment: Moment
    ) -> tuple[list[Key], Points, list[_Back]]:
        """The states of a moment with their costs, and the way back from each."""
        keys: list[Key] = []
        rows: list[Points] = []
        backs: list[_Back] = []
        at = np.arange(reached.shape[1])
        for key, (before, points) in edges.items():
            totals = reached[before] + np.array(points)[:, None]
            best = totals.argmin(axis=0)
            keys.append(key)
            rows.append(totals[best, at] + self._standing(key, moment))
            backs.append(_Back(np.array(before)[best], origins[np.array(before)[best], at]))
        return keys, np.array(rows), backs

    # --- one moment --------------------------------------------------------------------------

    def _choices(self, moment: Moment) -> list[_Choice]:
        """Every way to seat the runs that begin, each on a string of its own.

        Only if no hand holds any of them, those that no hand holds, and of these not all.
        """
        starts = moment.starts
        found = list(self._seated(starts, (), (), held=True))
        return found or list(islice(self._seated(starts, (), (), held=False), _MOST_STRAINED))

    def _seated(
        self, runs: tuple[int, ...], chosen: Key, places: tuple[Place, ...], *, held: bool
    ) -> Iterator[_Choice]:
        if len(chosen) == len(runs):
            points = sum(self._seats[run][seat].points for run, seat in chosen)
            strings = tuple(place.string for place in places)
            yield _Choice(chosen, strings, points + (0.0 if held else _NO_HAND))
            return
        run = runs[len(chosen)]
        picking = self._line.runs[run].picking[0]
        for index, seat in enumerate(self._seats[run]):
            if any(place.string == seat.string for place in places):
                continue
            now = (*places, Place(seat.string, 0 if picking else seat.frets[0]))
            if not held or len(now) == 1 or self._holdable(now):
                yield from self._seated(runs, (*chosen, (run, index)), now, held=held)

    def _stay(self, kept: Key, choice: _Choice, moment: Moment) -> tuple[Key, float] | None:
        """What of `kept` sounds on beside a choice; None if a run would lose its string."""
        points = 0.0
        takers = dict(zip(choice.strings, choice.seats, strict=True))
        stay: list[tuple[int, int]] = []
        for run, seat in kept:
            taker = takers.get(self._seats[run][seat].string)
            if taker is None:
                stay.append((run, seat))
            elif self._line.runs[taker[0]].string != self._line.runs[run].string:
                if not self._may_take(run, moment):
                    return None
                points += _CUT
        held, more = self._hold_on(tuple(stay), choice.seats, moment)
        return tuple(sorted((*held, *choice.seats))), points + more

    def _may_take(self, run: int, moment: Moment) -> bool:
        """Whether another note can take the string of a run that still sounds."""
        alive = moment.alive.get(run)
        return alive is not None and not alive.going and self._line.runs[run].busy < moment.onset

    def _hold_on(self, stay: Key, chosen: Key, moment: Moment) -> tuple[Key, float]:
        """What the hand holds on to, and points for what it lets go."""
        if self._together((*stay, *chosen), moment):
            return stay, 0.0
        held = tuple(
            pair
            for pair in stay
            if pair[0] in moment.notes
            or moment.alive[pair[0]].going
            or not self._fret(pair, moment)
        )
        points = _LET_GO * (len(stay) - len(held))
        return held, points + (0.0 if self._together((*held, *chosen), moment) else _NO_HAND)

    def _together(self, key: Key, moment: Moment) -> bool:
        return len(key) < 2 or self._holdable(tuple(self._place(pair, moment) for pair in key))

    def _fret(self, pair: tuple[int, int], moment: Moment) -> int:
        """The fret that the hand holds for a run at a moment; 0 if it holds none."""
        run, seat = pair
        alive = moment.alive.get(run)
        at = moment.notes[run] if alive is None else alive.at
        return 0 if self._line.runs[run].picking[at] else self._seats[run][seat].frets[at]

    def _place(self, pair: tuple[int, int], moment: Moment) -> Place:
        return Place(self._seats[pair[0]][pair[1]].string, self._fret(pair, moment))

    def _holdable(self, places: tuple[Place, ...]) -> bool:
        if places not in self._held:
            self._held[places] = holds_together(places, self._neck, self._table.size)
        return self._held[places]

    # --- the hand ----------------------------------------------------------------------------

    def _standing(self, key: Key, moment: Moment) -> Points:
        """Points for each position of the hand while it strikes and holds a state's notes."""
        rows = [
            self._struck(*pair, moment.notes[pair[0]]) for pair in key if pair[0] in moment.notes
        ]
        if len(rows) == len(key) == 1:
            return rows[0]
        held = [self._fret(pair, moment) for pair in key if pair[0] not in moment.notes]
        if any(held) and self._together(key, moment):
            rows += [self._table.covers(fret) for fret in held if fret]
        total: Points = np.sum(rows, axis=0)
        return total if np.isfinite(total).any() else rows[0]

    def _struck(self, run: int, seat: int, at: int) -> Points:
        """Points for a note's place, by position; none for what the picking hand frets."""
        where = (run, seat, at)
        if where not in self._notes:
            self._notes[where] = self._note_points(run, seat, at)
        return self._notes[where]

    def _note_points(self, run: int, seat: int, at: int) -> Points:
        mine, frets = self._line.runs[run], self._seats[run][seat].frets
        note = mine.notes[at]
        if mine.picking[at]:
            return np.zeros(len(self._table.positions))
        points = self._table.points(frets[at], bent=note.bend is not None)
        if note.trill is not None:
            other = frets[at] + note.trill.fret - note.fret
            points = points + self._table.points(other)
        return points

    # --- the way back ------------------------------------------------------------------------

    def _traced(self, trail: list[tuple[list[Key], list[_Back]]], costs: Points) -> Way:
        if not trail:
            return Way((), 0.0)
        row, position = divmod(int(costs.argmin()), costs.shape[1])
        cost, chosen = float(costs[row, position]), dict[int, int]()
        for keys, backs in reversed(trail):
            chosen |= dict(keys[row])
            back = backs[row]
            row, position = int(back.key[position]), int(back.position[position])
        return Way(tuple(self._seats[run][seat] for run, seat in sorted(chosen.items())), cost)


def _skipped(last: Sequence[int], new: Sequence[int]) -> float:
    """Points for strings that lie between those struck last and those struck now."""
    if not last or not new:
        return 0.0
    if len(last) == 1 == len(new):
        return _SKIPPED * max(0, abs(last[0] - new[0]) - 1)
    return _SKIPPED * max(0, min(abs(one - other) for one in last for other in new) - 1)
