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

_SHARPS = "FCGDAEB"


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


class Accidentals:
    """What a reader takes every line and space to mean in one bar."""

    def __init__(self, fifths: int) -> None:
        letters = _SHARPS[:fifths] if fifths >= 0 else _SHARPS[fifths:]
        self.key = {letter: Fraction(1 if fifths > 0 else -1) for letter in letters}
        self.state: dict[tuple[str, int], Fraction] = {}

    def attribute(self, head: Written, tied: bool) -> str:
        """The MEI attribute of a head; changes what the next one means."""
        place = (head.letter, head.octave)
        meant = self.state.get(place, self.key.get(head.letter, Fraction(0)))
        if tied or meant == head.alter:
            return "" if head.alter == 0 else f' accid.ges="{_gestural(head)}"'
        self.state[place] = head.alter
        return f' accid="{head.sign}"'


def _gestural(head: Written) -> str:
    return {"1qf": "f", "3qf": "f", "1qs": "s", "3qs": "s", "x": "ss"}.get(head.sign, head.sign)
