"""What can one struck note do: how it begins, how it moves, how it ends?"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction


class Finger(Enum):
    """Fretting-hand finger: thumb, open string, first (index) to fourth (little)."""

    THUMB = "T"
    OPEN = "0"
    FIRST = "1"
    SECOND = "2"
    THIRD = "3"
    FOURTH = "4"


class Stroke(Enum):
    """How the other hand strikes: pick down or up, or a finger."""

    DOWN = "d"
    UP = "u"
    THUMB = "p"
    INDEX = "i"
    MIDDLE = "m"
    RING = "a"


class Mark(Enum):
    """A playing mark over one or more notes."""

    PALM_MUTE = "PM"
    LET_RING = "ring"
    RAKE = "rake"
    ACCENT = "accent"
    STACCATO = "stac"


class Timing(Enum):
    """How a note gets its time: from a count, quickly before one, or quickly after one."""

    COUNTED = "counted"
    GRACE = "grace"
    QUICK = "quick"


class Entry(Enum):
    """How the first note of a run begins, if it is not plainly struck."""

    FROM_BELOW = "/"
    FROM_ABOVE = "\\"
    TAPPED = "t"


class LinkKind(Enum):
    """How a note follows the one before it on its string without being struck anew."""

    HAMMER = "h"
    PULL = "p"
    SLIDE_UP = "/"
    SLIDE_DOWN = "\\"
    TAP = "t"


@dataclass(frozen=True, slots=True)
class Link:
    """The join to the note before. `start`: beat at which a slide leaves, None = late and quick."""

    kind: LinkKind
    start: Fraction | None = None

    @property
    def slide(self) -> bool:
        """True for a slide up or down."""
        return self.kind in (LinkKind.SLIDE_UP, LinkKind.SLIDE_DOWN)


@dataclass(frozen=True, slots=True)
class Bend:
    """A bend to `to` semitones above the fretted pitch (halves of a semitone are quarter bends).

    `start`: beat where it begins, None = at once. `arrive`: beat where it is there, None = quickly
    after its start. `struck_bent`: bent before it is struck.
    """

    to: Fraction
    start: Fraction | None = None
    arrive: Fraction | None = None
    struck_bent: bool = False


@dataclass(frozen=True, slots=True)
class Release:
    """A bent string let down to `to` semitones above the fretted pitch (0: all the way).

    `start`: beat where it begins, None = halfway through what is left of the note. `arrive`: beat
    where it is down, None = quickly after its start.
    """

    to: Fraction = Fraction(0)
    start: Fraction | None = None
    arrive: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Vibrato:
    """Vibrato to the note's end. `start`: beat where it begins, None = soon."""

    wide: bool = False
    start: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Trill:
    """A trill with `fret` to the note's end. `start`: beat where it begins, None = at once."""

    fret: int
    start: Fraction | None = None
    finger: Finger | None = None  # of the other note


@dataclass(frozen=True, slots=True)
class SlideOff:
    """A slide away to no goal at the note's end. `start`: beat where it leaves, None = late."""

    up: bool
    start: Fraction | None = None


Gesture = Bend | Release | Vibrato | Trill


@dataclass(frozen=True, slots=True)
class Note:
    """One number on one string.

    Times are beats (exact), counted so that bar n begins at (n - 1) times the bar's beats, also if
    the first bar is a pickup. `order` is 0 for a counted note, -2, -1 for the graces before the
    count at `onset`, 1, 2 … for the quick notes after it. A grace, and a counted or quick note
    that at once moves on to the next, has `end == onset`.
    """

    id: str  # phrase/bar/count/string
    string: int  # 1 = thinnest
    fret: int  # counted from the capo, 0 = open; of a muted string 0
    onset: Fraction
    end: Fraction
    timing: Timing = Timing.COUNTED
    order: int = 0
    bar: int = 1
    entry: Entry | None = None
    link: Link | None = None
    gestures: tuple[Gesture, ...] = ()
    off: SlideOff | None = None
    ghost: bool = False
    harmonic: bool = False
    dead: bool = False
    finger: Finger | None = None
    stroke: Stroke | None = None
    marks: frozenset[Mark] = field(default_factory=frozenset)

    @property
    def struck(self) -> bool:
        """True if a hand strikes it: not merely hammered, pulled, slid or tapped to."""
        return self.link is None or self.stroke is not None

    @property
    def bend(self) -> Bend | None:
        """Its first bend, if it has one."""
        return next((g for g in self.gestures if isinstance(g, Bend)), None)

    @property
    def vibrato(self) -> Vibrato | None:
        """Its vibrato, if it has one."""
        return next((g for g in self.gestures if isinstance(g, Vibrato)), None)

    @property
    def trill(self) -> Trill | None:
        """Its trill, if it has one."""
        return next((g for g in self.gestures if isinstance(g, Trill)), None)

    @property
    def instant(self) -> bool:
        """True if it takes no beats of its own: a grace, or a start that moves on at once."""
        return self.end == self.onset
