"""Which key is this, and how many sharps or flats does it have?"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum

from lickwright.theory.errors import TheoryError
from lickwright.theory.interval import Interval, transpose
from lickwright.theory.pitch import PitchClass, ascii_signs, h_is_b

_LETTER_FIFTHS = {"F": -1, "C": 0, "G": 1, "D": 2, "A": 3, "E": 4, "B": 5}
_KEY = re.compile(r"(?P<letter>[A-Ga-g])(?P<signs>b*|#*)\s*(?P<mode>(?i:|m|min|minor|maj|major))")
_MINOR_THIRD = Interval(3, 3)
_WANTED = "a key such as C, Bb, A minor or F# minor"


class Mode(Enum):
    """The two modes a key is named in."""

    MAJOR = "major"
    MINOR = "minor"


@dataclass(frozen=True, slots=True)
class Key:
    """A tonic and a mode. Its text, `C` or `A minor`, reads back as the same key."""

    tonic: PitchClass
    mode: Mode

    def __str__(self) -> str:
        return str(self.tonic) + (" minor" if self.mode is Mode.MINOR else "")

    @property
    def pretty(self) -> str:
        """The key's text with music signs: B♭, F♯ minor."""
        return self.tonic.pretty + (" minor" if self.mode is Mode.MINOR else "")

    @property
    def fifths(self) -> int:
        """Sharps (above zero) or flats (below zero) of the key signature, -7 to 7.

        Raises TheoryError for a key that needs more, such as G# major; the mend is the key that
        sounds the same.
        """
        count = _signature(self)
        if abs(count) > 7:
            sign = "sharps" if count > 0 else "flats"
            raise TheoryError(
                f"{self.tonic} {self.mode.value} would need {abs(count)} {sign}; 7 are the most",
                mend=str(practical_key(self)),
            )
        return count


def _signature(key: Key) -> int:
    major = _LETTER_FIFTHS[key.tonic.letter] + 7 * key.tonic.alter
    return major - 3 if key.mode is Mode.MINOR else major


def practical_key(key: Key) -> Key:
    """Return the key itself, or if it needs more than seven accidentals the one sounding alike."""
    return key if abs(_signature(key)) <= 7 else usual_key(key.tonic.chroma, key.mode)


def usual_key(chroma: int, mode: Mode) -> Key:
    """Return the key with the fewest accidentals on a tonic 0 to 11 semitones above C.

    Of two with six each the flat one is taken: Gb major, Eb minor.
    """
    names = [PitchClass(letter, alter) for letter in _LETTER_FIFTHS for alter in (-1, 0, 1)]
    keys = [Key(name, mode) for name in names if name.chroma == chroma % 12]
    return min(keys, key=lambda key: (abs(_signature(key)), _signature(key)))


def relative(key: Key) -> Key:
    """Return the key of the other mode with the same signature: C and A minor."""
    if key.mode is Mode.MAJOR:
        return Key(transpose(key.tonic, _MINOR_THIRD, down=True), Mode.MINOR)
    return Key(transpose(key.tonic, _MINOR_THIRD), Mode.MAJOR)


def parallel(key: Key) -> Key:
    """Return the key of the other mode on the same tonic: C and C minor.

    It may need more than seven accidentals (Db minor): `practical_key` gives one that can be
    signed.
    """
    return Key(key.tonic, Mode.MINOR if key.mode is Mode.MAJOR else Mode.MAJOR)


def parse_key(text: str) -> Key:
    """Read a key: C, C major, Am, A minor, a minor, Bb, B♭ minor. Raises TheoryError if none."""
    plain = ascii_signs(text)
    match = _KEY.fullmatch(plain)
    if match is None:
        raise h_is_b(text) if plain[:1] in ("H", "h") else TheoryError(f"{text!r} is not {_WANTED}")
    word, signs = match["mode"], match["signs"]
    name = PitchClass(match["letter"].upper(), len(signs) if "#" in signs else -len(signs))
    if not word and match["letter"].islower():
        raise TheoryError(f"{text!r} may mean {name} major or {name} minor", mend=f"{name} minor")
    if word == "M":
        raise TheoryError(f"{text!r} may mean {name} major or {name} minor", mend=str(name))
    minor = word.lower() in ("m", "min", "minor")
    return _signed(Key(name, Mode.MINOR if minor else Mode.MAJOR))


def _signed(key: Key) -> Key:
    """Return the key, or raise TheoryError if its signature cannot be written."""
    return key if abs(key.fifths) <= 7 else practical_key(key)
