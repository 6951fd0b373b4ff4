"""Where are the frets and strings, in mm?

Frets stand in equal temperament: fret n is at L (1 - 2 ** (-n / 12)) from the nut, L being the
scale length. Widths of the neck are those of an ordinary electric guitar: common practice, no
source.
"""

from __future__ import annotations

from dataclasses import dataclass

USUAL_SCALE_MM = 648.0
MOST_FRETS = 48  # no neck has so many; a lesson may write up to fret 36 above a capo


def fret_position(fret: float, scale_mm: float = USUAL_SCALE_MM) -> float:
    """Distance in mm from the nut to a fret (0 is the nut itself; fractions lie between frets)."""
    return float(scale_mm * (1 - 2.0 ** (-fret / 12)))


def fret_distance(low: float, high: float, scale_mm: float = USUAL_SCALE_MM) -> float:
    """Distance in mm along the neck between two frets, never negative."""
    return abs(fret_position(high, scale_mm) - fret_position(low, scale_mm))


@dataclass(frozen=True, slots=True)
class Neck:
    """A fretted neck. Lengths in mm; frets are counted from the capo, as in Note."""

    scale_mm: float = USUAL_SCALE_MM
    frets: int = 22  # of the whole neck
    strings: int = 6
    capo: int = 0
    nut_spread_mm: float = 35.0  # between the outer strings, at the nut
    bridge_spread_mm: float = 52.0  # and at the bridge
    edge_mm: float = 3.5  # from an outer string to the edge of the fingerboard

    def __post_init__(self) -> None:
        if not 300 <= self.scale_mm <= 1000:
            raise ValueError(f"a guitar's scale is 300 to 1000 mm long, not {self.scale_mm:g}")
        if not 0 <= self.capo < self.frets <= MOST_FRETS:
            raise ValueError(
                f"a capo at fret {self.capo} does not fit a neck of {self.frets} frets"
            )

    @property
    def highest(self) -> int:
        """The highest fret there is, counted from the capo."""
        return self.frets - self.capo

    @property
    def open_mm(self) -> float:
        """Length of an open string, from the capo to the bridge."""
        return self.sounding_mm(0)

    def position(self, fret: float) -> float:
        """Distance in mm from the nut to a fret."""
        return fret_position(fret + self.capo, self.scale_mm)

    def distance(self, low: float, high: float) -> float:
        """Distance in mm along the neck between two frets, never negative."""
        return abs(self.position(high) - self.position(low))

    def sounding_mm(self, fret: float) -> float:
        """Length in mm of a string that is held at a fret: from there to the bridge."""
        return self.scale_mm - self.position(fret)

    def spacing(self, fret: float) -> float:
        """Distance in mm between neighbouring strings at a fret: the strings fan out evenly."""
        share = self.position(fret) / self.scale_mm
        spread = self.nut_spread_mm + share * (self.bridge_spread_mm - self.nut_spread_mm)
        return spread / max(1, self.strings - 1)

    def across(self, string: int, other: int, fret: float) -> float:
        """Distance in mm across the neck between two strings at a fret, never negative."""
        return abs(string - other) * self.spacing(fret)

    def room(self, string: int, fret: float, *, toward_bass: bool) -> float:
        """Distance in mm from a string to the edge of the fingerboard on one side of it."""
        between = self.strings - string if toward_bass else string - 1
        return between * self.spacing(fret) + self.edge_mm
