"""What does each place cost a hand that rests at this fret or that, and how far may it move?

The hand's position is the fret where its first finger rests, one finger a fret from there up; a
finger leaves its own fret by one at most. Costs are in points, those of `lickwright.neck.hold` and
`lickwright.neck.change`: one point is about the trouble of moving the hand by a fret.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import groupby, pairwise
from math import hypot
from typing import TYPE_CHECKING

import numpy as np

from lickwright.neck.geometry import Neck
from lickwright.neck.hand import HandSize, reach
from lickwright.neck.hold import place_cost, weak_cost
from lickwright.neck.pattern import Place
from lickwright.phrase import Finger

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Points = NDArray[np.float64]

# Common practice, no source.
_SHIFT, _SHIFT_FRET = 0.6, 0.4  # a move of the hand, and each fret of it
_SLIDE_FRET = 0.03  # a fret that a slide takes the hand along
_OPEN, _OPEN_FRET, _LOW = 0.2, 0.12, 3  # an open string, and a fret that the hand is above _LOW
_BENDING = {1: 1.0, 2: 0.3, 3: 0.0, 4: 0.8}  # the third finger bends, the others behind it
_FINGERS = (1, 2, 3, 4)
_REACH_OUT = 1  # frets that a finger may leave its own
_WIDEST = 5  # frets between two fingertips, both reaching out
_BARRE_STRINGS = 4  # that a finger other than the first may cover


@dataclass(frozen=True)
class HandTable:
    """What places and moves cost a hand of a size on a neck up to the fret `highest`."""

    neck: Neck
    size: HandSize
    highest: int

    @property
    def positions(self) -> range:
        """Frets where the hand may rest."""
        return range(1, self.highest + 1 + _REACH_OUT)

    @cached_property
    def _places(self) -> dict[tuple[int, bool], Points]:
        return {}

    def points(self, fret: int, *, bent: bool = False) -> Points:
        """Points for one note, one for each position: infinite where no finger gets to it."""
        found = self._places.get((fret, bent))
        if found is None:
            found = np.array(
                [_note_points(position, fret, self.neck, bent) for position in self.positions]
            )
            self._places[fret, bent] = found
        return found

    def covers(self, fret: int) -> Points:
        """0 where a finger gets to a fret, infinite elsewhere."""
        covered: Points = np.where(np.isfinite(self.points(fret)), 0.0, np.inf)
        return covered

    @cached_property
    def _frets(self) -> Points:
        return np.array(self.positions, dtype=np.float64)

    @cached_property
    def _moves(self) -> dict[int, Points]:
        return {0: _moving(self._frets[None, :] - self._frets[:, None])}

    def moves(self, slid: int) -> Points:
        """Points to get from each position (row) to each (column), `slid` frets along a slide."""
        found = self._moves.get(slid)
        if found is None:
            apart = self._frets[None, :] - self._frets[:, None]
            along = _moving(apart - slid) + _SLIDE_FRET * abs(slid)
            found = np.minimum(self._moves[0], along)
            self._moves[slid] = found
        return found

    def moved(self, costs: Points, pace: float, slid: int) -> Points:
        """The least cost of each position after a move; `costs` has those before on its last axis.

        `pace`: factor on the points of a move. But for its beginning a move costs by its length, so
        without a slide two passes over the positions, one up and one down, find the least.
        """
        if slid:
            by_slide: Points = (costs[..., :, None] + pace * self.moves(slid)).min(axis=-2)
            return by_slide
        ramp = pace * _SHIFT_FRET * self._frets
        up = np.minimum.accumulate(costs - ramp, axis=-1) + ramp
        down = np.minimum.accumulate((costs + ramp)[..., ::-1], axis=-1)[..., ::-1] - ramp
        least: Points = np.minimum(costs, pace * _SHIFT + np.minimum(up, down))
        return least


def _moving(frets: Points) -> Points:
    points: Points = np.where(frets != 0, _SHIFT + _SHIFT_FRET * np.abs(frets), 0.0)
    return points


def _note_points(position: int, fret: int, neck: Neck, bent: bool) -> float:
    if fret == 0:
        return _OPEN + _OPEN_FRET * max(0, position - _LOW)
    return min(
        (
            place_cost(position, finger, fret, neck)
            + weak_cost(finger)
            + (_BENDING[finger] if bent else 0.0)
            for finger in _FINGERS
            if abs(fret - (position + finger - 1)) <= _REACH_OUT
        ),
        default=float("inf"),
    )


@lru_cache(maxsize=64)
def hand_table(neck: Neck, size: HandSize, highest: int) -> HandTable:
    """The hand for notes up to the fret `highest`; its answers are kept."""
    return HandTable(neck, size, highest)


@lru_cache(maxsize=64)
def longest_reach(size: HandSize) -> float:
    """The furthest that two fingertips come apart, in mm."""
    return reach(Finger.FIRST, Finger.FOURTH, size).longest


def joins(low: int, high: int, neck: Neck, size: HandSize) -> bool:
    """Whether two fingers are down at once on these frets of one string; 0 takes no finger."""
    return min(low, high) == 0 or neck.distance(low, high) <= longest_reach(size)


def holds_together(places: Sequence[Place], neck: Neck, size: HandSize) -> bool:
    """Whether four fingers may hold `places` at once: quicker than `finger_shape`, and laxer.

    It looks at the longest stretch and at how many fingers are needed if one lies over all notes
    of a fret that have nothing lower between them; not at every pair of fingers.
    """
    fretted = sorted((p for p in places if p.fret > 0), key=lambda p: (p.fret, p.string))
    if len(fretted) < 2:
        return True
    low, high = fretted[0], fretted[-1]
    along = neck.distance(low.fret, high.fret)
    across = min(
        abs(one.string - other.string) for one in fretted if one.fret == low.fret
        for other in fretted if other.fret == high.fret
    )  # fmt: skip
    if high.fret - low.fret > _WIDEST:
        return False
    if hypot(along, across * neck.spacing(low.fret)) > longest_reach(size):
        return False
    return len(fretted) <= 4 or _fingers_needed(places, fretted) <= len(_FINGERS)


def _fingers_needed(places: Sequence[Place], fretted: list[Place]) -> int:
    needed = 0
    for fret, group in groupby(fretted, key=lambda p: p.fret):
        lower = [p.string for p in places if p.fret < fret]
        needed += _barres([p.string for p in group], lower, first=needed == 0)
    return needed


def _barres(strings: list[int], lower: Iterable[int], *, first: bool) -> int:
    """Fingers that hold down `strings` (ascending) in one fret and leave the `lower` ones free."""
    under, start, fingers = set(lower), strings[0], 1
    for one, other in pairwise(strings):
        wide = not first and other - start >= _BARRE_STRINGS
        if wide or any(string in under for string in range(one + 1, other)):
            start, fingers = other, fingers + 1
    return fingers
