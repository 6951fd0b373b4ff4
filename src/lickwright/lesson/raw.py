"""What stands in a string row, before it has a time: numbers, signs, and their columns?"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction


@dataclass(slots=True)
class RawGesture:
    """A sign after a number. Columns from 0; `value` as the sign needs it."""

    sign: str  # b pb r ~ ~~ tr
    column: int
    number_column: int | None = None
    semitones: Fraction | None = None  # of a bend or release, above the fret
    fret: int | None = None  # of a trill


@dataclass(slots=True)
class RawNote:
    """A number on a string with all that hangs on it, before it has a time."""

    string: int
    column: int
    fret: int
    ghost: bool = False
    harmonic: bool = False
    dead: bool = False
    entry: str | None = None  # / \ t
    link: str | None = None  # h p / \ t
    link_column: int = -1
    gestures: list[RawGesture] = field(default_factory=list)
    off: str | None = None
    off_column: int = -1
    holds: list[int] = field(default_factory=list)  # columns of its = signs
