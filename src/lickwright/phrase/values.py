"""With which printed values is a stretch of a bar written?

Places are beats (exact) counted from where the bar would begin if it were full.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from math import floor

from lickwright.phrase.meter import Meter

HALF = Fraction(1, 2)
SHORTEST = 1024  # denominator of the shortest value that MusicXML and MEI can name
Stretch = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Value:
    """A printed note value: `base` 1 is a whole note, 8 an eighth; `dots` 0 or 1."""

    base: int
    dots: int = 0

    @property
    def wholes(self) -> Fraction:
        """Length in whole notes."""
        return Fraction(1, self.base) * (Fraction(3, 2) if self.dots else 1)


def value_of(wholes: Fraction) -> Value | None:
    """Return the one printed value of this length in whole notes; None if ties are needed."""
    for dots, share in ((0, wholes), (1, wholes * 2 / 3)):
        base = share.denominator
        if share.numerator == 1 and base <= SHORTEST and base & (base - 1) == 0:
            return Value(base, dots)
    return None


@cache
def beam_groups(meter: Meter) -> tuple[Fraction, ...]:
    """Places that part a full bar into its beamed groups, both ends included.

    Beats in most meters; eighths go by twos, an odd one making the last group three (7/8 is
    2+2+3, common practice, no source).
    """
    if meter.compound or meter.lower < 8:
        return tuple(Fraction(n) for n in range(meter.beats + 1))
    size = 3 if meter.upper % 3 == 0 else 2
    starts = list(range(0, meter.upper, size))
    if len(starts) > 1 and meter.upper - starts[-1] == 1:
        starts.pop()
    return tuple(Fraction(n) for n in (*starts, meter.upper))


@cache
def middle(meter: Meter) -> Fraction | None:
    """The place in the middle of a bar that a printed value should leave visible, if any."""
    even = meter.beats in (4, 6) and (meter.compound or meter.lower < 8)
    return Fraction(meter.beats, 2) if even else None


@lru_cache(maxsize=4096)
def split_plain(stretch: Stretch, meter: Meter, *, rest: bool = False) -> tuple[Stretch, ...]:
    """Cut a stretch without tuplets into printed values that leave the beats visible."""
    cut = _cut(stretch, meter, rest)
    if cut is None:
        return (stretch,)
    start, end = stretch
    return (
        *split_plain((start, cut), meter, rest=rest),
        *split_plain((cut, end), meter, rest=rest),
    )


def _cut(stretch: Stretch, meter: Meter, rest: bool) -> Fraction | None:
    """Where a stretch has to be cut; None if one printed value is right for it."""
    start, end = stretch
    value = value_of((end - start) * meter.beat_in_wholes)
    for level in range(3 + SHORTEST.bit_length()):
        inside = _boundaries(level, start, end, meter)
        if inside is None:
            continue
        if value is None or not _may_cross(level, stretch, meter, rest):
            return inside[0] if not _aligned(level, start, meter) else inside[1]
    if value is None:
        raise ValueError(f"a place in {meter} finer than 1/{SHORTEST} cannot be printed")
    return None


def _unit(level: int, meter: Meter) -> Fraction:
    """Grid of a level below the groups, in beats: eighths of a compound beat, halves of others."""
    return Fraction(1, (3 if meter.compound else 1) << (level - 2))


def _boundaries(
    level: int, start: Fraction, end: Fraction, meter: Meter
) -> tuple[Fraction, Fraction] | None:
    """First and last boundary of a level strictly inside; None if there is none."""
    if level < 2:
        mid = middle(meter)
        places = beam_groups(meter) if level else (() if mid is None else (mid,))
        inside = [place for place in places if start < place < end]
        return (inside[0], inside[-1]) if inside else None
    unit = _unit(level, meter)
    first = (floor(start / unit) + 1) * unit
    last = -(floor(-end / unit) + 1) * unit
    return (first, last) if first < end else None


def _aligned(level: int, place: Fraction, meter: Meter) -> bool:
    if level == 0:
        return place in (0, middle(meter), meter.beats)
    if level == 1:
        return place in beam_groups(meter)
    return (place / _unit(level, meter)).denominator == 1


def _may_cross(level: int, stretch: Stretch, meter: Meter, rest: bool) -> bool:
    start, end = stretch
    ends = (_aligned(max(level, 1), start, meter), _aligned(max(level, 1), end, meter))
    if rest:
        return _rest_may_cross(level, stretch, meter, all(ends))
    if level == 0 or (level == 1 and meter.compound):
        return all(ends)
    unit = _unit(level, meter) if level > 1 else Fraction(1)
    syncopated = end - start == unit and (start / unit) % 1 == HALF
    return any(ends) or (syncopated and (level > 1 or meter.lower < 8))


def _rest_may_cross(level: int, stretch: Stretch, meter: Meter, both: bool) -> bool:
    """A rest may hide no beat but within half a bar, and stands where a value of its own would."""
    start, end = stretch
    if level < 2:
        return level == 1 and both and middle(meter) is not None
    group = max(place for place in beam_groups(meter) if place <= start)
    whole_group = both and end in beam_groups(meter) and start == group
    return whole_group or ((start - group) / (end - start)).denominator == 1


def split_units(count: int, start: int) -> list[tuple[int, int]]:
    """Cut `count` tuplet units from unit `start` on into runs that one value can print."""
    runs = []
    while count:
        run = max(n for n in _PRINTABLE if n <= count)
        runs.append((start, start + run))
        start, count = start + run, count - run
    return runs


_PRINTABLE = tuple(sorted([2**n for n in range(12)] + [3 * 2**n for n in range(11)]))
