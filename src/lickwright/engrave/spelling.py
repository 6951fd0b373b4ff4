"""Which letter and accidental does a written head get?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from lickwright.phrase import Note, Phrase
from lickwright.theory import Pitch, spell


@dataclass(frozen=True, slots=True)
class Written:
    """A head as MEI says it: `octave` is the sounding one, `alter` in semitones, also halves."""

    letter: str
    octave: int
    alter: Fraction

    @property
    def sign(self) -> str:
        """The accidental's MEI name; n for a natural."""
        return _SIGNS[max(min(self.alter, Fraction(2)), Fraction(-2))]


_SIGNS = {
    Fraction(-2): "ff",
    Fraction(-3, 2): "3qf",
    Fraction(-1): "f",
    Fraction(-1, 2): "1qf",
    Fraction(0): "n",
    Fraction(1, 2): "1qs",
    Fraction(1): "s",
    Fraction(3, 2): "3qs",
    Fraction(2): "x",
}


def written_head(
    phrase: Phrase, note: Note, bent: Fraction, spelled: Mapping[str, Pitch]
) -> Written:
    """How a head of `note`, bent up so many semitones, is written."""
    sounding = phrase.midi(note)
    if sounding is None:
        sounding = float(phrase.tuning.midi(note.string, 0, phrase.capo))
    steps = Fraction(round(sounding)) + bent
    if bent == 0 and note.id in spelled:
        return _written(spelled[note.id], Fraction(0))
    whole = int(steps // 1)
    chord = phrase.chord_at(note.onset)
    return _written(spell(whole, phrase.key, chord=chord), steps - whole)


def _written(pitch: Pitch, more: Fraction) -> Written:
    return Written(pitch.name.letter, pitch.octave, pitch.name.alter + more)
