"""What is this note to the chord that sounds under it?"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from lickwright.theory.chord import Chord, ChordTone
from lickwright.theory.interval import Interval, interval_between, ordinal
from lickwright.theory.pitch import PitchClass


class Standing(Enum):
    """How a note stands to a chord."""

    TONE = "chord tone"
    COLOUR = "colour"  # a ninth, eleventh, sixth or seventh that the chord has not, but bears
    OUTSIDE = "outside"
    NO_CHORD = "no chord"


@dataclass(frozen=True, slots=True)
class ChordPlace:
    """A note's place in a chord."""

    standing: Standing
    number: int  # 1 root, 3 third, 5, 7, 9 …; 0 without a chord
    words: str  # root, third, seventh, ninth, blue third, flat fifth
    also: str  # another name of the same place, or empty: sharp ninth for the blue third
    interval: Interval | None  # from the root up to the note; None without a chord
    tone: ChordTone | None  # the chord's own tone, if it is one


# Notes foreign to the chord, by semitones above its root: (number, words, other words,
# semitones with the octave of a ninth or eleventh). Names as in common practice, no source;
# the intervals are those of the number named.
_FOREIGN = {
    0: (1, "root", "", 0),
    1: (9, "flat ninth", "", 13),
    2: (9, "ninth", "second", 14),
    3: (3, "minor third", "", 3),
    4: (3, "major third", "", 4),
    5: (11, "eleventh", "fourth", 17),
    6: (5, "flat fifth", "sharp eleventh", 6),
    7: (5, "fifth", "", 7),
    8: (6, "flat sixth", "flat thirteenth", 8),
    9: (6, "sixth", "thirteenth", 9),
    10: (7, "flat seventh", "minor seventh", 10),
    11: (7, "major seventh", "", 11),
}
_BLUE_THIRD = (3, "blue third", "sharp ninth", 3)
_MAJOR_THIRD = (3, 4)
_COLOURS = {2: {2, 9}, 5: {4, 11}, 9: {6, 13}}  # semitones -> roles that must still be free
_STACK = {3: {3}, 4: {3}, 7: {5}, 10: {7}, 11: {7}}
_NATURAL = {5: 7, 9: 14, 11: 17, 13: 21}  # semitones of the tones whose alterations are named


def place_in_chord(note: int | PitchClass, chord: Chord) -> ChordPlace:
    """Say what a note (a MIDI note number, or a name) is to a chord.

    A name keeps its own spelling in the interval (F## over E is an augmented ninth, G a minor
    third); a MIDI number is spelled as the chord does, or by the words given.
    """
    if not chord.sounds:
        return ChordPlace(Standing.NO_CHORD, 0, "no chord", "", None, None)
    chroma = note % 12 if isinstance(note, int) else note.chroma
    tone = chord.role_of(chroma)
    place = _foreign(chroma, chord) if tone is None else _own(tone)
    return place if isinstance(note, int) else _spelled(place, note, chord)


def _own(tone: ChordTone) -> ChordPlace:
    return ChordPlace(Standing.TONE, tone.role, _tone_words(tone), "", tone.interval, tone)


def _tone_words(tone: ChordTone) -> str:
    if tone.role in (1, 8):  # other than the root only where a bass is set beside it: C/C#
        return tone.interval.name if tone.semitones % 12 else "root"
    shift = tone.semitones - _NATURAL.get(tone.role, tone.semitones)
    return {-1: "flat ", 1: "sharp "}.get(shift, "") + ordinal(tone.role)


def _foreign(chroma: int, chord: Chord) -> ChordPlace:
    above = (chroma - chord.root.chroma) % 12
    blue = above == 3 and _MAJOR_THIRD in chord.kind.tones
    number, words, also, semitones = _BLUE_THIRD if blue else _FOREIGN[above]
    standing = Standing.COLOUR if _bears(chord, above) else Standing.OUTSIDE
    return ChordPlace(standing, number, words, also, Interval(number, semitones), None)


def _bears(chord: Chord, above: int) -> bool:
    """Whether a foreign note colours the chord: 9, 11, 6, or a third, fifth, seventh it lacks."""
    roles = {role for role, _ in chord.kind.tones}
    needed = _COLOURS.get(above) or _STACK.get(above)
    return needed is not None and not needed & roles


def _spelled(place: ChordPlace, name: PitchClass, chord: Chord) -> ChordPlace:
    interval = interval_between(chord.root, name)
    if place.number > 7 and interval.number < 8:
        interval = Interval(interval.number + 7, interval.semitones + 12)
    return ChordPlace(place.standing, place.number, place.words, place.also, interval, place.tone)
