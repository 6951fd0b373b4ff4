"""Where in a bar does a player lean: its pulses, their parts, and the back-beats?

A pulse is what a foot taps. In 4/4 and 3/4 it is the beat, halved; in 12/8 it is the dotted
quarter, in three; in 7/8 it is a group of two or three eighths (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import cache

from lickwright.phrase import Feel, Meter

_HALF = Fraction(1, 2)
_THIRDS = (Fraction(1, 3), Fraction(2, 3))


class Style(Enum):
    """How the parts of a pulse are played."""

    STRAIGHT = "straight"
    SHUFFLE = "shuffle"
    TRIPLETS = "triplets"  # 12/8, 6/8, 9/8
    GROUPS = "groups"  # 7/8, 5/8 …


@dataclass(frozen=True, slots=True)
class Pulse:
    """One pulse of a bar, in beats from the bar's 1. `parts`: where else in it one may play."""

    start: Fraction
    length: Fraction
    parts: tuple[Fraction, ...]
    backbeat: bool

    @property
    def last_part(self) -> Fraction:
        """The part that leads into the next pulse."""
        return self.parts[-1] if self.parts else self.start


def style_of(meter: Meter, feel: Feel) -> Style:
    """The style that meter and feel ask for."""
    if meter.compound:
        return Style.TRIPLETS
    if meter.lower >= 8:
        return Style.GROUPS
    return Style.STRAIGHT if feel.straight else Style.SHUFFLE


@cache
def pulses(meter: Meter) -> tuple[Pulse, ...]:
    """The pulses of one bar."""
    lengths = _groups(meter)
    starts = [Fraction(sum(lengths[:index])) for index in range(len(lengths))]
    return tuple(
        Pulse(start, Fraction(length), _parts(start, length, meter), _backbeat(index, len(lengths)))
        for index, (start, length) in enumerate(zip(starts, lengths, strict=True))
    )


def _groups(meter: Meter) -> list[int]:
    """Lengths of the pulses in beats: in eighths, twos with a three at the end of an odd bar."""
    if meter.compound or meter.lower < 8:
        return [1] * meter.beats
    if meter.upper % 3 == 0 and meter.upper % 2:
        return [3] * (meter.upper // 3)
    twos, odd = divmod(meter.upper, 2)
    if not odd:
        return [2] * twos
    return [2] * (twos - 1) + [3] if twos else [1]


def _parts(start: Fraction, length: int, meter: Meter) -> tuple[Fraction, ...]:
    if meter.compound:
        return tuple(start + third for third in _THIRDS)
    if meter.lower < 8:
        return (start + _HALF,)
    return tuple(start + beat for beat in range(1, length))


def _backbeat(index: int, count: int) -> bool:
    """Every second pulse; of three the last."""
    return index == 2 if count == 3 else index % 2 == 1


@cache
def first_of_half(meter: Meter) -> int:
    """Index of the pulse in the middle of a bar; 0 if it has no middle."""
    count = len(pulses(meter))
    return count // 2 if count >= 4 else 0
