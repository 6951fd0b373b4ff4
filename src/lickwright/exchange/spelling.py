"""Which pitch and which accidental does a written head get?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from lickwright.phrase import Note, Phrase
from lickwright.phrase.score import ScoreBar
from lickwright.theory import Pitch, spell

_SHARPS = "FCGDAEB"
_SIGNS = {
    -3: "triple-flat",
    -2: "flat-flat",
    -1: "flat",
    0: "natural",
    1: "sharp",
    2: "double-sharp",
    3: "triple-sharp",
}


@dataclass(slots=True)
class Accidentals:
    """What a reader takes every line and space to mean in one bar. `fifths`: key signature."""

    fifths: int
    _state: dict[tuple[str, int], int] = field(default_factory=dict)

    def sign(self, pitch: Pitch, *, tied: bool = False) -> str | None:
        """MusicXML name of the accidental a head needs, if any; changes what the next one means."""
        place, alter = (pitch.name.letter, pitch.octave), pitch.name.alter
        if tied or self._state.get(place, self._signature(pitch.name.letter)) == alter:
            return None
        self._state[place] = alter
        return _SIGNS.get(alter)

    def _signature(self, letter: str) -> int:
        signed = _SHARPS[: self.fifths] if self.fifths >= 0 else _SHARPS[self.fifths :]
        return (1 if self.fifths > 0 else -1) if letter in signed else 0


def head_pitch(phrase: Phrase, note: Note, spelled: Mapping[str, Pitch]) -> Pitch:
    """Sounding pitch of a head, as fretted; a muted string is written at its open pitch."""
    if note.id in spelled:
        return spelled[note.id]
    midi = phrase.midi(note)
    if midi is None:
        midi = float(phrase.tuning.midi(note.string, 0, phrase.capo))
    return spell(round(midi), phrase.key, chord=phrase.chord_at(note.onset))


HeadKey = tuple[str, Fraction]  # note id, beat at which the head stands (for a grace, its event's)


def bar_accidentals(
    phrase: Phrase, bar: ScoreBar, spelled: Mapping[str, Pitch]
) -> dict[HeadKey, str]:
    """Accidentals of a bar's heads, worked out in the order in which a reader meets them."""
    signs = Accidentals(phrase.key.fifths)
    found: dict[HeadKey, str] = {}
    for event in sorted((e for voice in bar.voices for e in voice), key=lambda e: e.start):
        small = [(note, False) for chord in event.graces for note in chord]
        full = [(head.note, head.tie_in) for head in event.notes]
        for note, tied in small + full:
            if note.dead:
                continue
            sign = signs.sign(head_pitch(phrase, note, spelled), tied=tied)
            if sign is not None:
                found[note.id, event.start] = sign
    return found
