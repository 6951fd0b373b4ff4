"""What can be too hard in a phrase, how is it measured, and where is the limit?

All limits are common practice, no source: chosen so that what teachers ask of a pupil who has
played for some years passes.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from lickwright.neck.pattern import Place
from lickwright.neck.strings import StringSet
from lickwright.phrase import Finger, Tuning

# Newtons that a finger holds with the others behind it, and what is left of it without them.
BEND_NEWTONS = {
    Finger.FIRST: 9.0, Finger.SECOND: 14.0, Finger.THIRD: 18.0, Finger.FOURTH: 9.0,
    Finger.THUMB: 4.0,
}  # fmt: skip
UNSUPPORTED_SHARE = 0.7
JUMP_MS = 70.0  # the hand lets go, aims and lands
JUMP_MS_A_MM = 0.5
LEAST_JUMP_FRETS = 2  # a hand leans over a single fret without leaving its place
TRILL_SECONDS = {False: 4.0, True: 1.5}  # on a plain string, on a wound one
FOURTH_TRILL_SHARE = 0.5  # of that, with the fourth finger


class TroubleKind(Enum):
    """What is too hard, or cannot be done."""

    STRETCH = "a stretch too wide"
    FINGERS = "fingers that get in each other's way"
    JUMP = "a jump too fast"
    BEND_HARD = "a bend too hard"
    BEND_ROOM = "a bend that does not fit on the neck"
    BEND_OPEN = "a bent open string"
    BEND_BLOCKED = "a bend into a string that sounds"
    TRILL = "a trill too hard"
    SAME_STRING = "two notes on one string at once"
    BARRE_BEND = "a barre and a bend at once"


_ELSE = {
    TroubleKind.JUMP: "leave out the note before, so that the hand has time to move",
    TroubleKind.BEND_HARD: "slide up to the pitch instead of bending",
    TroubleKind.BEND_ROOM: "slide up to the pitch instead of bending",
    TroubleKind.BEND_OPEN: "play the higher pitch after it instead of bending",
    TroubleKind.BEND_BLOCKED: "end the other note before the bend",
    TroubleKind.TRILL: "end the trill sooner and let the note ring",
    TroubleKind.BARRE_BEND: "end the other note before the bend",
}


@dataclass(frozen=True, slots=True)
class Measure:
    """One number of a trouble. `limit`: what it may be at most; None if it is only told."""

    name: str
    value: float
    unit: str  # mm, ms, s, newtons, frets, fret, strings, notes
    limit: float | None = None


@dataclass(frozen=True, slots=True)
class Mend:
    """One way out, computed and tried. Of the fields after `words` those that it changes are set.

    `finger`, `trill` (of the note that it trills with) and `place` are for the note `note_id`;
    `tempo` in beats a minute; `semitones` is a narrower bend.
    """

    words: str
    note_id: str = ""
    finger: Finger | None = None
    trill: Finger | None = None
    place: Place | None = None
    strings: StringSet | None = None
    tuning: Tuning | None = None
    tempo: Fraction | None = None
    semitones: Fraction | None = None

    @property
    def changes(self) -> str:
        """Which of its fields is set: finger, trill, place, strings, tuning, tempo or semitones."""
        fields = ("finger", "trill", "place", "strings", "tuning", "tempo", "semitones")
        return next(name for name in fields if getattr(self, name) is not None)


@dataclass(frozen=True, slots=True)
class Trouble:
    """One thing that is too hard. `words` say what; `mends` the ways out, the nearest first."""

    kind: TroubleKind
    note_ids: tuple[str, ...]
    measures: tuple[Measure, ...]
    words: str
    mends: tuple[Mend, ...] = ()

    @property
    def mend(self) -> str:
        """The nearest way out, in words."""
        return self.mends[0].words if self.mends else _ELSE.get(self.kind, "leave a note out")


_STEPS = {
    Fraction(1, 2): "a quarter step", Fraction(1): "a half step",
    Fraction(3, 2): "three quarters of a step",
    Fraction(2): "a whole step", Fraction(3): "a step and a half", Fraction(4): "two steps",
}  # fmt: skip


def steps(semitones: Fraction) -> str:
    """The width of a bend in words."""
    return _STEPS.get(semitones, f"{float(semitones / 2):g} steps")


def on_string(tuning: Tuning, string: int) -> str:
    """A string in words."""
    return f"the {tuning.label(string)} string"
