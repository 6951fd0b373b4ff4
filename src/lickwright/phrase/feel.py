"""How late do the off-beats sound?"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

_HALF = Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class Feel:
    """Where half a beat is heard, as a share of it: 1/2 is straight, 2/3 the usual shuffle."""

    offbeat: Fraction = _HALF

    @property
    def straight(self) -> bool:
        """True if off-beats sound exactly halfway."""
        return self.offbeat == _HALF

    def sounding(self, beat: Fraction) -> Fraction:
        """Beats at which a place written at `beat` is heard.

        Only halves and quarters of a beat swing; thirds and all other parts are exact.
        """
        if beat.denominator not in (2, 4):
            return beat
        whole, part = beat // 1, beat % 1
        if part <= _HALF:
            return whole + part * 2 * self.offbeat
        return whole + self.offbeat + (part * 2 - 1) * (1 - self.offbeat)

    def __str__(self) -> str:
        if self.straight:
            return "straight"
        if self.offbeat == Fraction(2, 3):
            return "shuffle"
        percent = self.offbeat * 100
        return f"shuffle {percent if percent.denominator != 1 else int(percent)}%"


STRAIGHT = Feel()
