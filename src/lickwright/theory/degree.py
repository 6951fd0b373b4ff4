"""Which degree of the key is this note, and how is a sounding pitch spelled in it?"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lickwright.theory.errors import TheoryError
from lickwright.theory.interval import MAJOR_STEPS
from lickwright.theory.pitch import LETTERS, Pitch, PitchClass, ascii_signs

if TYPE_CHECKING:
    from lickwright.theory.chord import Chord
    from lickwright.theory.key import Key

_DEGREE = re.compile(r"(?P<signs>b*|#*)(?P<number>[1-7R])")
_TRITONE = 6
# Degrees as lead guitar is taught (common practice, no source): semitones above the tonic ->
# (number, alter). Six semitones are spelled by where the line goes.
_LEAD_DEGREES = (
    (1, 0), (2, -1), (2, 0), (3, -1), (3, 0), (4, 0),
    (5, -1), (5, 0), (6, -1), (6, 0), (7, -1), (7, 0),
)  # fmt: skip
_RISING_TRITONE = (4, 1)


@dataclass(frozen=True, slots=True)
class Degree:
    """A degree counted in the MAJOR scale of the tonic, whatever the mode: ♭3 is three frets up."""

    number: int  # 1 to 7
    alter: int  # semitones from the major scale's degree

    def __post_init__(self) -> None:
        if not 1 <= self.number <= 7:
            raise TheoryError(f"a degree counts from 1 to 7, not {self.number}")

    def __str__(self) -> str:
        if (self.number, self.alter) == (1, 0):
            return "R"
        return "♭" * -self.alter + "♯" * self.alter + str(self.number)

    @property
    def semitones(self) -> int:
        """Semitones above the tonic, 0 to 11."""
        return (MAJOR_STEPS[self.number - 1] + self.alter) % 12


def parse_degree(text: str) -> Degree:
    """Read a degree: R, 1, b3, ♭3, #4. Raises TheoryError if it is none."""
    match = _DEGREE.fullmatch(ascii_signs(text))
    if match is None:
        raise TheoryError(f"{text!r} is no degree; one is R, or 1 to 7 with ♭ or ♯ before it")
    signs, number = match["signs"], match["number"]
    return Degree(1 if number == "R" else int(number), signs.count("#") - signs.count("b"))


def degree_of(name: PitchClass, tonic: PitchClass) -> Degree:
    """Return the degree a name is above a tonic, by its letter: D# in A is ♯4, Eb is ♭5."""
    step = (LETTERS.index(name.letter) - LETTERS.index(tonic.letter)) % 7
    alter = (name.chroma - tonic.chroma - MAJOR_STEPS[step] + 6) % 12 - 6
    return Degree(step + 1, alter)


def name_at(degree: Degree, tonic: PitchClass) -> PitchClass:
    """Return the note name of a degree above a tonic: ♭3 in A is C."""
    letter = LETTERS[(LETTERS.index(tonic.letter) + degree.number - 1) % 7]
    wanted = tonic.chroma + degree.semitones
    return PitchClass(letter, (wanted - PitchClass(letter, 0).natural + 6) % 12 - 6)


def spell(midi: int, key: Key, toward: int | None = None, chord: Chord | None = None) -> Pitch:
    """Name a sounding MIDI note in a key, as lead-guitar teachers do.

    A tone of `chord` has its name there (E7 in A minor has G#), unless that name has a double
    sharp or flat and the key's has none (over E7#9 in A the ninth is written G). Any other pitch
    is R ♭2 2 ♭3 3 4 ♭5 5 ♭6 6 ♭7 7 of the tonic; the ♭5 is ♯4 if `toward`, the MIDI note that
    follows, is higher.
    """
    rising = toward is not None and toward > midi
    by_key = _name_in_key(midi % 12, key, rising)
    tone = chord.role_of(midi % 12) if chord is not None else None
    if tone is None or abs(tone.name.alter) > max(1, abs(by_key.alter)):
        return _at_midi(by_key, midi)
    return _at_midi(tone.name, midi)


def _name_in_key(chroma: int, key: Key, rising: bool) -> PitchClass:
    above = (chroma - key.tonic.chroma) % 12
    by_line = _RISING_TRITONE if rising and above == _TRITONE else _LEAD_DEGREES[above]
    name = name_at(Degree(*by_line), key.tonic)
    return name if abs(name.alter) <= 2 else _plainest(chroma)


def _plainest(chroma: int) -> PitchClass:
    """Return the name with the fewest accidentals, a flat rather than a sharp."""
    names = [PitchClass(letter, alter) for alter in (0, -1, 1) for letter in LETTERS]
    return next(name for name in names if name.chroma == chroma)


def _at_midi(name: PitchClass, midi: int) -> Pitch:
    return Pitch(name, (midi - name.natural - name.alter) // 12 - 1)
