"""Which seats of its runs take a phrase over the neck at the least cost?

The answer is exact: dynamic programming over the moments of the phrase (S. Sayegh 1989, the optimum
path paradigm), the state being the strings on which notes sound and where the hand rests. Only
where so many strings ring on that a moment has more than 250 states, the dearest are left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from lickwright.neck.placement_hand import HandTable
from lickwright.neck.placement_moments import Line, Moment
from lickwright.neck.placement_seats import Seat
from lickwright.neck.placement_states import Choice, Key, States

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Points = NDArray[np.float64]
    Truths = NDArray[np.bool_]
    Indices = NDArray[np.intp]

# Common practice, no source.
_FREE = 0.5  # share of what a move of the hand costs from open strings
_MOST_STATES = 250  # of a moment that are followed up
_SKIPPED = 0.12  # points a string that the picking hand jumps over

# For each state the states before it, by index, and what the strings cost on the way.
_Edges = dict[Key, "tuple[Indices, Points]"]


class _Layer(NamedTuple):
    """The states of a moment.

    `costs`: by state, window and position of the hand. `free`: in which of them no finger is needed
    for what was struck.
    """

    keys: list[Key]
    costs: Points
    edges: _Edges
    strings: list[tuple[int, ...]]
    free: Truths


@dataclass(frozen=True, slots=True)
class Way:
    """The cheapest seats, one a run, and what they cost in points."""

    seats: tuple[Seat, ...]
    cost: float


class Ways:
    """The cheapest ways of one line over the neck, given the seats of its runs.

    One way for each of `windows`: the lowest and the highest fret that it may use.
    """

    def __init__(
        self,
        line: Line,
        seats: Sequence[Sequence[Seat]],
        table: HandTable,
        windows: Sequence[tuple[int, int]],
    ) -> None:
        self.windows = windows
        self._line = line
        self._seats = seats
        self._table = table
        self._states = States(line, seats, table)
        self._notes: dict[tuple[int, int, int], Points] = {}
        self._masks: dict[tuple[int, int], Points] = {}
        self._start = np.zeros((1, len(windows), len(table.positions)))
        self._layers = [_Layer([()], self._start, {}, [()], np.array([False]))]
        self.jam = self._run()

    def costs(self) -> list[float]:
        """Points for each window; infinite where no way is."""
        return [float(cost) for cost in self._layers[-1].costs.min(axis=(0, 2))]

    def _run(self) -> Fraction | None:
        """Go through all moments; returns the beat of the one where there is no way on."""
        for moment in self._line.moments:
            edges = self._edges(moment)
            if not edges:
                return moment.onset
            keys, reached = list(edges), self._reached(moment)
            if moment.afresh:
                least = _cheapest_of_all(reached, [points for _, points in edges.values()])
            else:
                least = [_cheapest(reached, *edge) for edge in edges.values()]
            costs = np.array(
                [self._standing(key, moment) + row for key, row in zip(keys, least, strict=True)]
            )
            strings = [self._states.strings(key, moment) for key in keys]
            free = np.array([self._states.free(key, moment) for key in keys])
            self._layers.append(_thinned(_Layer(keys, costs, edges, strings, free)))
        return None

    def _reached(self, moment: Moment) -> Points:
        """The least cost of getting the hand to each position, by state and window."""
        last, table = self._layers[-1], self._table
        reached = table.moved(last.costs, moment.pace, moment.slid)
        if last.free.any():
            free = last.costs[last.free]
            reached[last.free] = table.moved(free, _FREE * moment.pace, moment.slid)
        return reached

    def _edges(self, moment: Moment) -> _Edges:
        """Every state of a moment, with the states before it and the points from each."""
        choices, last = self._states.choices(moment), self._layers[-1]
        if moment.afresh:
            return _edges_of_all(choices, last)
        found: dict[Key, tuple[list[int], list[float]]] = {}
        for index, key in enumerate(last.keys):
            kept = tuple(pair for pair in key if pair[0] in moment.alive or pair[0] in moment.notes)
            for choice in choices:
                stay = self._states.stay(kept, choice, moment)
                if stay is not None:
                    before, points = found.setdefault(stay[0], ([], []))
                    before.append(index)
                    skipped = _skipped(last.strings[index], choice.strings)
                    points.append(stay[1] + choice.points + skipped)
        return {
            key: (np.array(before), np.array(points)) for key, (before, points) in found.items()
        }

    # --- the hand ----------------------------------------------------------------------------

    def _standing(self, key: Key, moment: Moment) -> Points:
        """Points for each position of the hand while it strikes and holds a state's notes.

        By window, infinite where a note that begins stands outside.
        """
        rows = [
            self._struck(run, seat, moment.notes[run]) for run, seat in key if run in moment.notes
        ]
        if len(rows) == len(key) == 1:
            return rows[0]
        held = [self._states.fret(pair, moment) for pair in key if pair[0] not in moment.notes]
        total: Points = sum(rows[1:], rows[0])
        if any(held) and self._states.together(key, moment):
            total = total + sum(self._table.covers(fret) for fret in held if fret)
        return total if np.isfinite(total).any() else rows[0]

    def _struck(self, run: int, seat: int, at: int) -> Points:
        """Points for a note's place, by window and position; none if the picking hand frets it."""
        where = (run, seat, at)
        found = self._notes.get(where)
        if found is None:
            found = self._note_points(run, seat, at)
            if at == 0:
                found = found + self._outside(self._seats[run][seat])
            self._notes[where] = found
        return found

    def _outside(self, seat: Seat) -> Points:
        """0 for each window that holds a seat, infinite for the others; a column."""
        frets = (seat.low, seat.high)
        if frets not in self._masks:
            inside = [low <= seat.low and seat.high <= high for low, high in self.windows]
            self._masks[frets] = np.where(inside, 0.0, np.inf)[:, None]
        return self._masks[frets]

    def _note_points(self, run: int, seat: int, at: int) -> Points:
        mine, frets = self._line.runs[run], self._seats[run][seat].frets
        note = mine.notes[at]
        if mine.picking[at]:
            nothing: Points = self._start[0]
            return nothing
        points: Points = self._table.points(frets[at], bent=note.bend is not None)
        if note.trill is None:
            return points
        both = points + self._table.points(frets[at] + note.trill.fret - note.fret)
        return both if np.isfinite(both).any() else points

    # --- the way back ------------------------------------------------------------------------

    def way(self, window: int) -> Way:
        """The cheapest way in a window (by index) that has one, found backward."""
        ends = self._layers[-1].costs[:, window]
        row, position = divmod(int(ends.argmin()), ends.shape[1])
        cost, chosen = float(ends[row, position]), dict[int, int]()
        for at in range(len(self._line.moments), 0, -1):
            key = self._layers[at].keys[row]
            chosen |= dict(key)
            row, position = self._before(at, key, window, position)
        return Way(tuple(self._seats[run][seat] for run, seat in sorted(chosen.items())), cost)

    def _before(self, at: int, key: Key, window: int, position: int) -> tuple[int, int]:
        """The state, by index, and the position from which one of layer `at` is reached."""
        last, moment = self._layers[at - 1], self._line.moments[at - 1]
        rows, points = self._layers[at].edges[key]
        moves = moment.pace * self._table.moves(moment.slid)[:, position]
        if last.free.any():
            moves = np.where(last.free[rows], _FREE, 1.0)[:, None] * moves
        ways = last.costs[rows, window] + moves + points[:, None]
        edge, start = divmod(int(ways.argmin()), ways.shape[1])
        return int(rows[edge]), start


def _thinned(layer: _Layer) -> _Layer:
    """Only the cheapest states of each window, if there are very many."""
    if len(layer.keys) <= _MOST_STATES:
        return layer
    least = layer.costs.min(axis=2)
    kept = np.unique(np.argsort(least, axis=0, kind="stable")[:_MOST_STATES])
    keys = [layer.keys[row] for row in kept]
    strings = [layer.strings[row] for row in kept]
    return _Layer(keys, layer.costs[kept], layer.edges, strings, layer.free[kept])


def _edges_of_all(choices: Sequence[Choice], last: _Layer) -> _Edges:
    """The edges of a moment before which nothing sounds on: every state follows every other."""
    every = np.arange(len(last.keys))
    return {
        choice.seats: (
            every,
            np.array([choice.points + _skipped(old, choice.strings) for old in last.strings]),
        )
        for choice in choices
    }


def _cheapest_of_all(reached: Points, points: Sequence[Points]) -> list[Points]:
    """The least cost of states by window and position, each over all states before it."""
    least: Points = (reached + np.array(points)[:, :, None, None]).min(axis=1)
    return list(least)


def _cheapest(reached: Points, before: Indices, points: Points) -> Points:
    """The least cost of a state by window and position, over some states before it."""
    if len(before) == 1:
        only: Points = reached[before[0]] + points[0]
        return only
    least: Points = (reached[before] + points[:, None, None]).min(axis=0)
    return least


@lru_cache(maxsize=4096)
def _skipped(last: tuple[int, ...], new: tuple[int, ...]) -> float:
    """Points for strings that lie between those struck last and those struck now."""
    if not last or not new:
        return 0.0
    return _SKIPPED * max(0, min(abs(one - other) for one in last for other in new) - 1)
