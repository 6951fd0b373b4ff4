"""On which instrument is it played: neck, strings, tuning and capo together?"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from lickwright.neck.geometry import USUAL_SCALE_MM, Neck
from lickwright.neck.strings import LIGHT, GuitarString, StringSet, string_set
from lickwright.phrase import STANDARD, Phrase, Tuning
from lickwright.theory import midi_to_hz

_HEAVIER = 1.25  # a string further down on an instrument of many strings: gauge of the one before
_HEAVIEST = 100.0


@dataclass(frozen=True, slots=True)
class Guitar:
    """An instrument, strung and tuned. Frets are counted from the capo, as in Note."""

    tuning: Tuning = STANDARD
    strings: StringSet = LIGHT
    capo: int = 0
    scale_mm: float = USUAL_SCALE_MM
    frets: int = 22

    def __post_init__(self) -> None:
        if len(self.strings) != len(self.tuning):
            raise ValueError(
                f"{len(self.strings)} strings are given for a tuning of {len(self.tuning)}"
            )

    @property
    def neck(self) -> Neck:
        """Its neck."""
        return _neck(self.scale_mm, self.frets, len(self.tuning), self.capo)

    def string(self, number: int) -> GuitarString:
        """One of its strings; 1 is the thinnest."""
        return self.strings.strings[number - 1]

    def hz(self, string: int, fret: float) -> float:
        """Frequency in Hz of a string held at a fret."""
        return midi_to_hz(self.tuning.midi(string, 0, self.capo) + fret)

    def tension(self, string: int) -> float:
        """Tension in newtons of a string at rest."""
        return self.string(string).tension(self.hz(string, 0), self.neck.open_mm)


@lru_cache(maxsize=64)
def _neck(scale_mm: float, frets: int, strings: int, capo: int) -> Neck:
    return Neck(scale_mm, frets, strings, capo)


def guitar_for(
    phrase: Phrase,
    strings: StringSet | None = None,
    scale_mm: float = USUAL_SCALE_MM,
    frets: int = 22,
) -> Guitar:
    """The guitar for a phrase's tuning and capo, by default with light strings (10 to 46).

    The neck is made longer if the phrase is written higher than `frets`.
    """
    fretted = [note for note in phrase.notes if not note.harmonic]
    trilled = [note.trill.fret for note in fretted if note.trill is not None]
    written = max([note.fret for note in fretted] + trilled, default=0) + phrase.capo
    return Guitar(
        phrase.tuning,
        strings or usual_strings(len(phrase.tuning)),
        phrase.capo,
        scale_mm,
        max(frets, written),
    )


def usual_strings(count: int) -> StringSet:
    """Light strings for an instrument of `count` strings, thicker ones added at the low end."""
    gauges = [string.gauge for string in LIGHT.strings][:count]
    while len(gauges) < count:
        gauges.append(min(_HEAVIEST, round(gauges[-1] * _HEAVIER)))
    return string_set(*gauges)
