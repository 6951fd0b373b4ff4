"""Where in a bar does a chord player strike, read from a pattern as one would say it?

A pattern names places: `1` on the first pulse, `1&` on its last part, `1+` on the part between
where a pulse has three; with a full stop behind it the stroke is short. In a bar of more than four
pulses the pattern begins again; what lies beyond a shorter bar is left out.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from lickwright.band.bar import BarView, Stretch
from lickwright.band.pulse import Pulse, pulses
from lickwright.phrase import Meter

_PLACE = re.compile(r"(?P<pulse>[1-4])(?P<part>[&+]?)(?P<short>\.?)")
_SHORT = Fraction(1, 3)  # of a pulse
_GAP = Fraction(15, 16)  # of the time to the next stroke that a long one is held


@dataclass(frozen=True, slots=True)
class Place:
    """A place in a bar, in beats from its 1."""

    offset: Fraction
    short: bool
    down: bool  # on a pulse: a down-stroke
    backbeat: bool


@dataclass(frozen=True, slots=True)
class Stroke:
    """A stroke of a chord player, in beats from the form's first 1."""

    onset: Fraction
    length: Fraction
    place: Place


@cache
def places(pattern: str, meter: Meter) -> tuple[Place, ...]:
    """The places that a pattern names in a bar of `meter`, in order."""
    found: dict[Fraction, Place] = {}
    for match in _PLACE.finditer(pattern):
        for pulse in pulses(meter)[int(match["pulse"]) - 1 :: 4]:
            offset = _offset(pulse, match["part"])
            if offset is not None:
                down = offset == pulse.start
                found[offset] = Place(offset, bool(match["short"]), down, down and pulse.backbeat)
    return tuple(found[offset] for offset in sorted(found))


def _offset(pulse: Pulse, part: str) -> Fraction | None:
    if not part:
        return pulse.start
    if part == "&":
        return pulse.last_part
    return pulse.parts[0] if len(pulse.parts) > 1 else None


def strokes(bar: BarView, stretch: Stretch, pattern: str) -> tuple[Stroke, ...]:
    """The strokes of a pattern under one chord; a new chord is always struck where it comes in."""
    marks = {
        bar.start + place.offset: place
        for place in places(pattern, bar.backing.meter)
        if stretch.start <= bar.start + place.offset < stretch.end
    }
    if stretch.changes or not marks:
        marks.setdefault(stretch.start, Place(stretch.start - bar.start, False, True, False))
    onsets = sorted(marks)
    ends = [*onsets[1:], stretch.end]
    return tuple(
        Stroke(onset, _length(end - onset, marks[onset], bar), marks[onset])
        for onset, end in zip(onsets, ends, strict=True)
    )


def _length(room: Fraction, place: Place, bar: BarView) -> Fraction:
    held = room * _GAP
    return min(held, bar.pulses[0].length * _SHORT) if place.short else held


def tier(energy: float) -> int:
    """Which of three lists of patterns is played at an energy of 0 to 1: calm, middle, busy."""
    return min(2, int(energy * 3))
