"""Which notes of a bar can share one line of stems, and which need a second voice?"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Generic, TypeVar

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Sounding(Generic[T]):
    """Something that sounds from `start` to `end` (beats)."""

    start: Fraction
    end: Fraction
    what: T


@dataclass(frozen=True, slots=True)
class Slice(Generic[T]):
    """Everything of one voice that is struck or tied together from `start` to `end` (beats)."""

    start: Fraction
    end: Fraction
    sounding: tuple[T, ...]


def part_voices(
    sounding: Sequence[Sounding[T]], height: Callable[[T], float]
) -> list[list[Slice[T]]]:
    """Part what sounds in a bar into one voice or two, the higher one first.

    What overlaps without beginning and ending together goes into two voices, the higher (by
    `height`) into the first. Where two voices cannot hold it, one voice is cut at every beginning
    and end, and what goes on is tied.
    """
    stretches = sorted({(s.start, s.end) for s in sounding})
    sides = _two_sides(stretches, sounding, height)
    if sides is None:
        return [_cut_everywhere(sounding)]
    voices = []
    for side in (0, 1):
        chosen = [stretch for stretch in stretches if sides[stretch] == side]
        slices = [
            Slice(start, end, tuple(s.what for s in sounding if (s.start, s.end) == (start, end)))
            for start, end in chosen
        ]
        if slices:
            voices.append(slices)
    return voices or [[]]


_Stretch = tuple[Fraction, Fraction]


def _two_sides(
    stretches: list[_Stretch], sounding: Sequence[Sounding[T]], height: Callable[[T], float]
) -> dict[_Stretch, int] | None:
    """Side 0 or 1 for each stretch, so that none overlaps on its side; None if impossible."""
    sides: dict[_Stretch, int] = {}
    for first in stretches:
        if first in sides:
            continue
        component = {first: 0}
        waiting = [first]
        while waiting:
            current = waiting.pop()
            for other in _overlapping(current, stretches):
                if other not in component:
                    component[other] = 1 - component[current]
                    waiting.append(other)
                elif component[other] == component[current]:
                    return None
        if _mean(component, 1, sounding, height) > _mean(component, 0, sounding, height):
            component = {stretch: 1 - side for stretch, side in component.items()}
        sides |= component
    return sides


def _overlapping(stretch: _Stretch, stretches: list[_Stretch]) -> list[_Stretch]:
    start, end = stretch
    return [o for o in stretches if o != stretch and o[0] < end and start < o[1]]


def _mean(
    component: dict[_Stretch, int],
    side: int,
    sounding: Sequence[Sounding[T]],
    height: Callable[[T], float],
) -> float:
    heights = [height(s.what) for s in sounding if component.get((s.start, s.end)) == side]
    return sum(heights) / len(heights) if heights else float("-inf")


def _cut_everywhere(sounding: Sequence[Sounding[T]]) -> list[Slice[T]]:
    places = sorted({place for s in sounding for place in (s.start, s.end)})
    slices = []
    for start, end in itertools.pairwise(places):
        held = tuple(s.what for s in sounding if s.start <= start and end <= s.end)
        if held:
            slices.append(Slice(start, end, held))
    return slices
