"""How far apart are two pitches, and what lies that far from a pitch?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import overload

from lickwright.theory.errors import TheoryError
from lickwright.theory.pitch import LETTERS, Pitch, PitchClass

MAJOR_STEPS = (0, 2, 4, 5, 7, 9, 11)  # semitones of the major scale's seven degrees
_PERFECT = (1, 4, 5)
_UNITS = ("", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")
_TEENS = (
    *("tenth", "eleventh", "twelfth", "thirteenth", "fourteenth"),
    *("fifteenth", "sixteenth", "seventeenth", "eighteenth", "nineteenth"),
)
_TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty")
_TIMES = ("", "", "doubly ", "triply ", "quadruply ", "quintuply ")
_MOST_DEVIATION = 5  # semitones from the perfect or major interval that still have a name


@dataclass(frozen=True, slots=True)
class Interval:
    """A distance upward, simple or compound."""

    number: int  # letters counted from the lower to the upper, both included: 3 is a third
    semitones: int

    def __post_init__(self) -> None:
        if self.number < 1:
            raise TheoryError(f"an interval counts at least one letter, not {self.number}")
        if not -_MOST_DEVIATION <= self._deviation <= _MOST_DEVIATION:
            raise TheoryError(f"{self.semitones} semitones cannot be called a {self._count}")

    @property
    def name(self) -> str:
        """Plain words: minor third, augmented fourth, octave, major ninth."""
        quality = self._quality
        if quality == "perfect":
            whole = {1: "unison", 8: "octave", 15: "double octave", 22: "triple octave"}
            if self.number in whole:
                return whole[self.number]
        return f"{quality} {self._count}"

    @property
    def simple(self) -> Interval:
        """The same interval within one octave; the octave itself stays an octave."""
        octaves = 0 if self.number <= 8 else (self.number - 1) // 7
        if self.number > 8 and self.number % 7 == 1:
            octaves -= 1
        return Interval(self.number - 7 * octaves, self.semitones - 12 * octaves)

    @property
    def _count(self) -> str:
        return {1: "unison", 8: "octave"}.get(self.number) or ordinal(self.number)

    @property
    def _deviation(self) -> int:
        """Semitones above the perfect or major interval of this number."""
        octaves, step = divmod(self.number - 1, 7)
        return self.semitones - 12 * octaves - MAJOR_STEPS[step]

    @property
    def _quality(self) -> str:
        deviation = self._deviation
        perfect = (self.number - 1) % 7 + 1 in _PERFECT
        if deviation > 0:
            return f"{_TIMES[deviation]}augmented"
        if deviation == 0:
            return "perfect" if perfect else "major"
        if not perfect and deviation == -1:
            return "minor"
        return f"{_TIMES[-deviation if perfect else -deviation - 1]}diminished"


def ordinal(number: int) -> str:
    """The number in words, as intervals and chord tones are counted: 9 is ninth."""
    if number < 10:
        return _UNITS[number]
    if number < 20:
        return _TEENS[number - 10]
    tens, unit = divmod(number, 10)
    if tens >= len(_TENS):
        raise TheoryError(f"an interval of {number} letters is wider than any instrument")
    stem = _TENS[tens]
    return f"{stem}-{_UNITS[unit]}" if unit else stem[:-1] + "ieth"


@overload
def interval_between(low: Pitch, high: Pitch) -> Interval: ...
@overload
def interval_between(low: PitchClass, high: PitchClass) -> Interval: ...
def interval_between(low: Pitch | PitchClass, high: Pitch | PitchClass) -> Interval:
    """Return the interval from the lower to the upper pitch.

    Between two names without octaves it is the smallest one upward: C to B is a major seventh,
    C to Cb a diminished octave. Raises TheoryError if the second pitch is the lower one.
    """
    if isinstance(low, Pitch) and isinstance(high, Pitch):
        return _between_pitches(low, high)
    if isinstance(low, PitchClass) and isinstance(high, PitchClass):
        return _between_names(low, high)
    raise TypeError("an interval lies between two pitches or between two names")


def _between_pitches(low: Pitch, high: Pitch) -> Interval:
    steps = high.position - low.position
    semitones = high.midi - low.midi
    if steps < 0 or (steps == 0 and semitones < 0):
        raise TheoryError(
            f"wanted the lower pitch first, got {low} before {high}", mend=f"{high}, {low}"
        )
    return Interval(steps + 1, semitones)


def _between_names(low: PitchClass, high: PitchClass) -> Interval:
    steps = (LETTERS.index(high.letter) - LETTERS.index(low.letter)) % 7
    semitones = (high.natural - low.natural) % 12 + high.alter - low.alter
    if semitones < 0:
        return Interval(steps + 8, semitones + 12)
    return Interval(steps + 1, semitones)


@overload
def transpose(pitch: Pitch, interval: Interval, *, down: bool = False) -> Pitch: ...
@overload
def transpose(pitch: PitchClass, interval: Interval, *, down: bool = False) -> PitchClass: ...
def transpose(
    pitch: Pitch | PitchClass, interval: Interval, *, down: bool = False
) -> Pitch | PitchClass:
    """Return the pitch (or name) an interval above, or below with `down`, correctly spelled.

    Raises TheoryError if the new name would need more accidentals than can be written.
    """
    if isinstance(pitch, PitchClass):
        return _transposed(Pitch(pitch, 4), interval, down).name
    return _transposed(pitch, interval, down)


def _transposed(pitch: Pitch, interval: Interval, down: bool) -> Pitch:
    way = -1 if down else 1
    octave, step = divmod(pitch.position + way * (interval.number - 1), 7)
    natural = Pitch(PitchClass(LETTERS[step], 0), octave)
    alter = pitch.midi + way * interval.semitones - natural.midi
    return Pitch(PitchClass(LETTERS[step], alter), octave)
