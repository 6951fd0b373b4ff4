"""Which of the five pentatonic patterns holds these places on the neck?

Common practice, no source: the minor pentatonic is taught as five patterns of two notes a string.
Pattern 1 begins with the root on the lowest string, pattern 2 with the next note of the scale, and
so on; together they cover the neck and repeat at the twelfth fret.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from lickwright.phrase import Tuning
from lickwright.theory import ScaleKind, scale_degrees

HIGHEST_FRET = 24
_STANDARD_STEPS = (5, 4, 5, 5, 5)  # semitones between neighbouring strings, thinnest first
_NOTES_A_STRING = 2


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A place on the neck. `fret` counts from the capo."""

    string: int  # 1 = thinnest
    fret: int  # 0 = open


@dataclass(frozen=True, slots=True)
class Pattern:
    """One pattern of the minor pentatonic at one position."""

    number: int  # 1 to 5
    tonic: int  # root of the minor pentatonic, semitones above C, 0 to 11
    fret: int  # its lowest fret
    places: frozenset[Place]

    def inside(self, places: Iterable[Place]) -> int:
        """How many of `places` belong to the pattern."""
        return sum(place in self.places for place in places)


def standard_intervals(tuning: Tuning) -> bool:
    """Whether six strings are tuned in the usual intervals, at whatever height."""
    midis = [pitch.midi for pitch in tuning.strings]
    return tuple(high - low for high, low in pairwise(midis)) == _STANDARD_STEPS


def patterns(tonic: int, tuning: Tuning, capo: int = 0) -> tuple[Pattern, ...]:
    """All positions of the five patterns up to the 24th fret; none in an unusual tuning.

    `tonic`: root of the minor pentatonic, semitones above C.
    """
    if not standard_intervals(tuning):
        return ()
    steps = [degree.semitones for degree in scale_degrees(ScaleKind.MINOR_PENTATONIC)]
    chromas = [(tonic + step) % 12 for step in steps]
    lowest = tuning.midi(len(tuning), 0, capo)
    found = []
    for fret in range(HIGHEST_FRET - 2):
        chroma = (lowest + fret) % 12
        if chroma in chromas:
            number = chromas.index(chroma) + 1
            places = _places(lowest + fret, chromas, tuning, capo)
            frets = [place.fret for place in places]
            if min(frets) >= 0 and max(frets) <= HIGHEST_FRET:
                found.append(Pattern(number, tonic % 12, min(frets), places))
    return tuple(found)


def _places(first: int, chromas: list[int], tuning: Tuning, capo: int) -> frozenset[Place]:
    """Two notes a string from the MIDI note `first` on the lowest string upward."""
    count = _NOTES_A_STRING * len(tuning)
    pitches = [midi for midi in range(first, first + 40) if midi % 12 in chromas][:count]
    return frozenset(
        Place(string, midi - tuning.midi(string, 0, capo))
        for index, midi in enumerate(pitches)
        for string in [len(tuning) - index // _NOTES_A_STRING]
    )


def best_pattern(
    places: Iterable[Place], tonics: Iterable[int], tuning: Tuning, capo: int = 0
) -> Pattern | None:
    """The pattern that holds most of `places`; of equals the earlier tonic, the lower number.

    None if no pattern holds any of them.
    """
    wanted = list(places)
    candidates = [
        (pattern.inside(wanted), -order, -pattern.number, -pattern.fret, pattern)
        for order, tonic in enumerate(tonics)
        for pattern in patterns(tonic, tuning, capo)
    ]
    best = max(candidates, key=lambda each: each[:-1], default=None)
    return None if best is None or best[0] == 0 else best[-1]
