"""Which Roman numeral is this chord in the key?"""

from __future__ import annotations

from lickwright.theory.chord import Chord, pretty_suffix
from lickwright.theory.degree import degree_of
from lickwright.theory.key import Key

_NUMERALS = ("I", "II", "III", "IV", "V", "VI", "VII")
_MINOR_THIRD = (3, 3)
# What the numeral's size does not say already. Where no entry fits, a minor chord's m is dropped.
_FIGURES = (("m7b5", "ø7"), ("dim", "°"), ("aug", "+"), ("mMaj", "maj"))


def roman(chord: Chord, key: Key) -> str:
    """Return the numeral of a chord in a key: I7, iv, ♭VI, V7♯9, vii°7.

    Large for a major third (or none), small for a minor one. The degree is counted in the major
    scale of the tonic, so F in A minor is ♭VI; a bass after the slash is a degree too: I/3.
    """
    if not chord.sounds:
        return chord.symbol
    degree = degree_of(chord.root, key.tonic)
    numeral = _NUMERALS[degree.number - 1]
    if _MINOR_THIRD in chord.kind.tones:
        numeral = numeral.lower()
    accidentals = "♭" * -degree.alter + "♯" * degree.alter
    bass = "" if chord.bass is None else f"/{degree_of(chord.bass, key.tonic)}"
    return accidentals + numeral + pretty_suffix(_figure(chord)) + bass


def _figure(chord: Chord) -> str:
    suffix = chord.kind.suffix
    for start, figure in _FIGURES:
        if suffix.startswith(start):
            return figure + suffix.removeprefix(start)
    minor = suffix.startswith("m") and not suffix.startswith("maj")
    return suffix[1:] if minor else suffix
