"""A second, plain way to hear a phrase, to check the sentences against.

It knows nothing of the room under test: pitches from tuning, fret and bend by arithmetic, chords
and keys by music21 (outside the project).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from music21 import harmony, pitch

from lickwright.phrase import Bend, Note, Phrase, Timing


@dataclass(frozen=True)
class Heard:
    """One tone of the line: when it begins and ends, and where it stands in semitones."""

    start: Fraction
    end: Fraction
    midi: Fraction
    note: Note

    @property
    def chroma(self) -> Fraction:
        return self.midi % 12


def fretted(note: Note, phrase: Phrase) -> Fraction:
    """Pitch as fretted."""
    string = phrase.tuning.strings[note.string - 1].midi
    return Fraction(string + phrase.capo + note.fret)


def sounding(note: Note, phrase: Phrase) -> Fraction:
    """Pitch after its (immediate) bend."""
    bends = [gesture.to for gesture in note.gestures if isinstance(gesture, Bend)]
    return fretted(note, phrase) + (bends[-1] if bends else 0)


def line(phrase: Phrase) -> list[Heard]:
    """The highest sounding note of each onset."""
    by_onset: dict[Fraction, list[Note]] = {}
    for note in phrase.notes:
        if not note.dead and note.timing is not Timing.GRACE and note.end > note.onset:
            by_onset.setdefault(note.onset, []).append(note)
    found = []
    for onset in sorted(by_onset):
        top = max(by_onset[onset], key=lambda note: sounding(note, phrase))
        found.append(Heard(onset, top.end, sounding(top, phrase), top))
    return found


@lru_cache(maxsize=200)
def chord_chromas(symbol: str) -> frozenset[int]:
    """Pitch classes of a chord symbol, by music21."""
    return frozenset(p.pitchClass for p in harmony.ChordSymbol(symbol.replace("b", "-")).pitches)


@lru_cache(maxsize=200)
def root(symbol: str) -> int:
    """Pitch class of a chord's root, by music21."""
    return int(harmony.ChordSymbol(symbol.replace("b", "-")).root().pitchClass)


@lru_cache(maxsize=200)
def chroma_of(name: str) -> int:
    """Pitch class of a name as printed: E♭, F♯."""
    return int(pitch.Pitch(name.replace("♭", "-").replace("♯", "#")).pitchClass)


def symbol_at(beat: Fraction, phrase: Phrase) -> str | None:
    """The chord symbol that sounds at a beat."""
    found = [at for at in phrase.chords if at.beat <= beat]
    return str(found[-1].chord) if found else None


def degree(text: str) -> int:
    """Semitones above the tonic of a degree as printed: ♭3, ♯4, the root."""
    if text in ("R", "root"):
        return 0
    natural = {"1": 0, "2": 2, "3": 4, "4": 5, "5": 7, "6": 9, "7": 11}[text[-1]]
    return natural + text.count("♯") - text.count("♭")


PLACES = {  # words for a place in a chord: semitones above its root that they may mean
    "root": {0}, "third": {3, 4}, "blue third": {3}, "minor third": {3}, "major third": {4},
    "fourth": {5}, "fifth": {6, 7, 8}, "flat fifth": {6}, "sharp fifth": {8}, "sixth": {9},
    "flat sixth": {8}, "seventh": {9, 10, 11}, "flat seventh": {10}, "major seventh": {11},
    "ninth": {2}, "flat ninth": {1}, "sharp ninth": {3}, "eleventh": {5}, "sharp eleventh": {6},
    "thirteenth": {9},
}  # fmt: skip
