"""How is a bar counted: its beats, and what a teacher says on each part of a beat?"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

_SIMPLE = {
    Fraction(0): "",
    Fraction(1, 2): "&",
    Fraction(1, 4): "e",
    Fraction(3, 4): "a",
    Fraction(1, 3): "t",
    Fraction(2, 3): "l",
}
_COMPOUND = {Fraction(0): "", Fraction(1, 3): "&", Fraction(2, 3): "a"}


@dataclass(frozen=True, slots=True)
class Meter:
    """A time signature. `upper` over `lower`, as printed."""

    upper: int
    lower: int

    @property
    def compound(self) -> bool:
        """True in 6/8, 9/8 and 12/8, where a beat is a dotted quarter."""
        return self.lower == 8 and self.upper in (6, 9, 12)

    @property
    def beats(self) -> int:
        """Beats in a full bar."""
        return self.upper // 3 if self.compound else self.upper

    @property
    def beat_in_wholes(self) -> Fraction:
        """Length of one beat as a fraction of a whole note."""
        return Fraction(3, 8) if self.compound else Fraction(1, self.lower)

    @property
    def beat_in_quarters(self) -> Fraction:
        """Length of one beat in quarter notes."""
        return self.beat_in_wholes * 4

    @property
    def sayings(self) -> dict[Fraction, str]:
        """What is said on each part of a beat (in beats), the beat itself being ''."""
        return dict(_COMPOUND if self.compound else _SIMPLE)

    def __str__(self) -> str:
        return f"{self.upper}/{self.lower}"


COMMON_TIME = Meter(4, 4)


def count_name(position: Fraction, meter: Meter) -> str:
    """Name the place `position` (beats after the bar's beginning): `3`, `3&`, `3+1/5`."""
    beat, part = int(position // 1), position % 1
    said = meter.sayings.get(part)
    return f"{beat + 1}{said if said is not None else f'+{part}'}"
