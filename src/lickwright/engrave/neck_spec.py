"""What does a map of the neck show?

Values only: places, tones and labels are worked out before, drawing comes after.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from lickwright.lesson import Show
from lickwright.neck import Place
from lickwright.phrase import STANDARD, Tuning

USUAL_FRETS = 22
MOST_STRINGS = 12
MOST_FRET = 48


class NeckMapError(ValueError):
    """A map that cannot be made; the message says in plain words why."""


class Tone(Enum):
    """What a place is to the map, each drawn in a shape of its own; the value is its SVG class."""

    ROOT = "root"
    CHORD = "chord-tone"
    SCALE = "scale-tone"
    OTHER = "other-tone"


@dataclass(frozen=True, slots=True)
class Board:
    """The neck that is drawn. `frets`: of the whole neck, counted from the nut."""

    tuning: Tuning = STANDARD
    capo: int = 0
    frets: int = USUAL_FRETS
    left_handed: bool = False

    def __post_init__(self) -> None:
        if not 1 <= len(self.tuning) <= MOST_STRINGS:
            raise NeckMapError(f"a neck has 1 to {MOST_STRINGS} strings, not {len(self.tuning)}")
        if not 0 <= self.capo < self.frets <= MOST_FRET:
            raise NeckMapError(
                f"a capo at fret {self.capo} does not fit a neck of {self.frets} frets"
            )

    @property
    def highest(self) -> int:
        """The highest fret there is, counted from the capo."""
        return self.frets - self.capo

    def midi(self, place: Place) -> int:
        """MIDI note number of a place."""
        return self.tuning.midi(place.string, place.fret, self.capo)


@dataclass(frozen=True, slots=True)
class Visit:
    """A note of a phrase that is played at a place. `order`: from 1; struck together, the same."""

    order: int
    note: str  # id


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on the map. `degree`, `name` and `finger` are the texts it may be labelled with."""

    place: Place
    tone: Tone
    degree: str
    name: str
    finger: str = ""
    visits: tuple[Visit, ...] = ()
    harmonic: bool = False  # touched over the fret

    def label(self, show: Show) -> str:
        """The text it is labelled with."""
        match show:
            case Show.DEGREES:
                return self.degree
            case Show.NAMES:
                return self.name
            case Show.FINGERS:
                return self.finger
            case Show.BLANK:
                return ""


@dataclass(frozen=True, slots=True)
class Bent:
    """A bend from a place to `semitones` above it, and what that pitch is called."""

    notes: tuple[str, ...]  # ids
    place: Place
    semitones: Fraction
    degree: str
    name: str

    @property
    def target(self) -> Place | None:
        """The place on the same string that sounds like it; None between two frets."""
        if self.semitones.denominator != 1:
            return None
        return Place(self.place.string, self.place.fret + int(self.semitones))


@dataclass(frozen=True, slots=True)
class Barre:
    """One finger laid over several strings (1 = thinnest)."""

    fret: int
    thin: int
    thick: int


@dataclass(frozen=True, slots=True)
class NeckSpec:
    """A map of the neck from fret `low` (0: with the open strings) to `high`, both shown.

    Frets count from the capo. `legend`: what each tone is called below the map. `silent`: strings
    of a chord form that are not played. A `worksheet` has the places, all alike and without
    labels; with `show` blank it has the bare neck.
    """

    name: str  # for ids
    title: str
    board: Board
    low: int
    high: int
    spots: tuple[Spot, ...] = ()
    show: Show = Show.DEGREES
    legend: tuple[tuple[Tone, str], ...] = ()
    worksheet: bool = False
    bends: tuple[Bent, ...] = ()
    barre: Barre | None = None
    silent: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        if not 0 <= self.low <= max(self.low, 1) <= self.high:
            raise NeckMapError(f"frets {self.low} to {self.high} are no stretch of a neck")
        if self.high + self.board.capo > MOST_FRET:
            raise NeckMapError(f"no neck has a fret {self.high + self.board.capo}")
        for spot in self.spots:
            inside = self.low <= spot.place.fret <= self.high
            if not inside or not 1 <= spot.place.string <= len(self.board.tuning):
                raise NeckMapError(f"{spot.place} is not on the neck that is drawn")

    @property
    def path(self) -> bool:
        """Whether it shows the way of a phrase."""
        return any(spot.visits for spot in self.spots)

    @property
    def first_fret(self) -> int:
        """The first fret that has a space of its own: open strings have none."""
        return max(1, self.low)
