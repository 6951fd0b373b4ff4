"""What is this pitch called, and how high is it?

Middle C is C4, MIDI note number 60; A4 is 69 and sounds at 440 Hz (ISO 16:1975).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import isfinite, log2

from lickwright.theory.errors import TheoryError

LETTERS = "CDEFGAB"
MOST_ACCIDENTALS = 4  # flats or sharps on one name; a seventh of C# can need three
_NATURAL = dict(zip(LETTERS, (0, 2, 4, 5, 7, 9, 11), strict=True))  # semitones above C
_SIGNS = str.maketrans({"♭": "b", "♯": "#", "𝄫": "bb", "𝄪": "##"})
_NAME = re.compile(r"(?P<letter>[A-Ga-g])(?P<signs>b*|#*)")
_PITCH = re.compile(_NAME.pattern + r"(?P<octave>-1|[0-9])")


@dataclass(frozen=True, slots=True)
class PitchClass:
    """A note name without its octave, such as B flat."""

    letter: str  # one of CDEFGAB
    alter: int  # semitones: -1 flat, +1 sharp, -2 double flat …

    def __post_init__(self) -> None:
        if len(self.letter) != 1 or self.letter not in LETTERS:
            raise TheoryError(f"a note is named by a letter from A to G, not {self.letter!r}")
        if abs(self.alter) > MOST_ACCIDENTALS:
            raise TheoryError(
                f"{self.letter} with {abs(self.alter)} accidentals cannot be written; "
                f"{MOST_ACCIDENTALS} are the most"
            )

    def __str__(self) -> str:
        return self.letter + ("#" * self.alter if self.alter > 0 else "b" * -self.alter)

    @property
    def pretty(self) -> str:
        """The name with music signs; a double sharp is written as two sharps."""
        return pretty_signs(str(self))

    @property
    def chroma(self) -> int:
        """Semitones above C within one octave, 0 to 11; B# is 0."""
        return (_NATURAL[self.letter] + self.alter) % 12

    @property
    def natural(self) -> int:
        """Semitones from C up to the bare letter, 0 to 11."""
        return _NATURAL[self.letter]


@dataclass(frozen=True, slots=True)
class Pitch:
    """A sounding pitch by name. The octave belongs to the letter: B#3 sounds like C4."""

    name: PitchClass
    octave: int  # scientific; C4 is middle C

    def __str__(self) -> str:
        return f"{self.name}{self.octave}"

    @property
    def pretty(self) -> str:
        """The name with music signs, such as B♭3."""
        return f"{self.name.pretty}{self.octave}"

    @property
    def midi(self) -> int:
        """MIDI note number; C4 is 60."""
        return 12 * (self.octave + 1) + self.name.natural + self.name.alter

    @property
    def position(self) -> int:
        """Letter steps above C0, accidentals left out; one octave is seven steps."""
        return 7 * self.octave + LETTERS.index(self.name.letter)


def pretty_signs(name: str) -> str:
    """Turn the flats and sharps behind a note letter into music signs: Bb to B♭."""
    return name[:1] + name[1:].replace("b", "♭").replace("#", "♯")


def ascii_signs(text: str) -> str:
    """Turn ♭ ♯ (and the double signs) into b and #, and trim the ends."""
    return text.strip().translate(_SIGNS)


def parse_pitch_class(text: str) -> PitchClass:
    """Read a note name: Bb, B♭, F#, f♯. Raises TheoryError if it is none."""
    match = _NAME.fullmatch(ascii_signs(text))
    if match is None:
        raise _unreadable(text, "a note name such as C, F# or Bb")
    return _name_from(match)


def parse_pitch(text: str) -> Pitch:
    """Read a note name with its octave, -1 to 9: Bb3, C4, F♯2. Raises TheoryError if none."""
    match = _PITCH.fullmatch(ascii_signs(text))
    if match is None:
        raise _unreadable(text, "a note name with its octave, such as C4 or Bb3")
    return Pitch(_name_from(match), int(match["octave"]))


def _name_from(match: re.Match[str]) -> PitchClass:
    signs = match["signs"]
    return PitchClass(match["letter"].upper(), len(signs) if "#" in signs else -len(signs))


def _unreadable(text: str, wanted: str) -> TheoryError:
    if text.strip()[:1] in ("H", "h"):
        return h_is_b(text)
    return TheoryError(f"{text!r} is not {wanted}")


def h_is_b(text: str) -> TheoryError:
    """The error for a German H, with B in its place as the mend."""
    plain = ascii_signs(text)
    return TheoryError(f"{text!r}: the note H is written B here", mend="B" + plain[1:])


def midi_to_hz(midi: float, a4_hz: float = 440.0) -> float:
    """Frequency in Hz of a MIDI note number (fractions allowed) in equal temperament.

    Source: f = a4 * 2 ** ((m - 69) / 12); A4 = 440 Hz is ISO 16:1975.
    """
    return float(a4_hz * 2.0 ** ((midi - 69) / 12))


def hz_to_midi(hz: float, a4_hz: float = 440.0) -> float:
    """MIDI note number, with its fraction, of a frequency in Hz above 0."""
    return 69 + 12 * log2(_sounding(hz) / a4_hz)


def cents_between(hz_a: float, hz_b: float) -> float:
    """Cents from the first frequency (Hz) up to the second; below zero if it is lower."""
    return 1200 * log2(_sounding(hz_b) / _sounding(hz_a))


def _sounding(hz: float) -> float:
    if not (isfinite(hz) and hz > 0):
        raise TheoryError(f"a frequency is a number of Hz above 0, not {hz}")
    return hz
