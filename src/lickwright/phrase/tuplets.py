"""Which parts of a bar need a tuplet, and of how many notes?"""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from lickwright.phrase.meter import Meter
from lickwright.phrase.values import HALF, beam_groups


@dataclass(frozen=True, slots=True)
class Tuplet:
    """`actual` notes in the time of `normal`, from `start` to `end` (beats)."""

    start: Fraction
    end: Fraction
    actual: int
    normal: int

    @property
    def unit(self) -> Fraction:
        """Sounding length of one of its notes, in beats."""
        return (self.end - self.start) / self.actual


def find_tuplets(points: Iterable[Fraction], meter: Meter) -> list[Tuplet]:
    """Tuplets needed so that notes can begin and end at `points`.

    Points are beats counted from where the bar would begin if it were full.
    """
    inside = sorted(set(points))
    tuplets: list[Tuplet] = []
    beat = 0
    while beat < meter.beats:
        pair = _over_two_beats(Fraction(beat), inside, meter)
        if pair is not None:
            tuplets.append(pair)
            beat += 2
            continue
        start = Fraction(beat)
        if meter.compound:
            tuplets += _in_compound_beat(start, inside)
        else:
            tuplets += _in_binary(start, start + 1, inside)
        beat += 1
    return tuplets


def _parts(start: Fraction, end: Fraction, points: list[Fraction]) -> int:
    """The least number of equal parts of a window that puts every point on the grid."""
    inside = [(p - start) / (end - start) for p in points if start < p < end]
    return lcm(*(place.denominator for place in inside))


def _binary(number: int) -> bool:
    return number & (number - 1) == 0


def _over_two_beats(start: Fraction, points: list[Fraction], meter: Meter) -> Tuplet | None:
    """Three notes over two beats of one group or half bar, none of them on the second beat."""
    end, beat = start + 2, start + 1
    if meter.compound or end > meter.beats or beat in points:
        return None
    if meter.lower < 8:
        fits = meter.upper % 2 == 1 or start % 2 == 0
    else:
        fits = beat not in beam_groups(meter)
    return Tuplet(start, end, 3, 2) if fits and _parts(start, end, points) == 3 else None


def _in_binary(start: Fraction, end: Fraction, points: list[Fraction]) -> list[Tuplet]:
    """Tuplets in a window that is a printable undotted value long."""
    parts = _parts(start, end, points)
    if _binary(parts):
        return []
    mid = start + (end - start) * HALF
    if mid in points:
        halves = ((start, mid), (mid, end))
        if any(_binary(_parts(*half, points)) for half in halves):
            return [tuplet for half in halves for tuplet in _in_binary(*half, points)]
    return [Tuplet(start, end, parts, 2 ** (parts.bit_length() - 1))]


def _in_compound_beat(start: Fraction, points: list[Fraction]) -> list[Tuplet]:
    """Tuplets in a dotted beat: three undotted parts, or one group in the time of three."""
    third = Fraction(1, 3)
    parts = _parts(start, start + 1, points)
    eighths = lcm(3, parts) // 3
    if _binary(eighths) and parts not in (4, 8):
        return []
    inner = [start + third, start + 2 * third]
    if all(place in points for place in inner):
        edges = [start, *inner, start + 1]
        return [
            tuplet
            for left, right in itertools.pairwise(edges)
            for tuplet in _in_binary(left, right, points)
        ]
    normal = 3
    while normal * 2 <= parts:
        normal *= 2
    return [Tuplet(start, start + 1, parts, normal)]
