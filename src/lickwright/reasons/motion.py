"""How does each tone of the line move: by step, passing, leaning, ahead of its chord?

Terms as in common textbooks of harmony (from memory): a passing tone goes on in the direction in
which it came, a neighbour goes back to where it came from, an anticipation sounds a tone of the
next chord before that chord, a suspension holds a tone of the last chord over the next one.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from enum import Enum
from types import MappingProxyType

from lickwright.phrase import Phrase
from lickwright.reasons.tones import Tone
from lickwright.theory import Standing

STEP = 2  # semitones; a step is a whole step or less
LEAP = 5  # semitones; a leap is a fourth or more


class Motion(Enum):
    """What a tone of the line does. Several may hold of one tone."""

    REPEAT = "repeated"
    STEP = "by step"
    SKIP = "by skip"
    LEAP = "by leap"
    RESOLVES = "resolves by step"
    PASSING = "passing"
    NEIGHBOUR = "neighbour"
    APPROACH = "approaches by half step"
    ANTICIPATES = "anticipates the next chord"
    SUSPENDS = "held over from the last chord"


Motions = Mapping[tuple[str, int], tuple[Motion, ...]]


def key_of(tone: Tone) -> tuple[str, int]:
    """What a tone is looked up by: its note's id and its place within the note."""
    return tone.note.id, tone.index


def motions(line: Sequence[Tone], phrase: Phrase) -> Motions:
    """The motions of every tone of the line: how it came, then what it does."""
    ahead = set(anticipating(line, phrase))
    over = set(suspended(line))
    found = {}
    for place, tone in enumerate(line):
        before = line[place - 1] if place else None
        after = line[place + 1] if place + 1 < len(line) else None
        kinds = [*_came(before, tone), *_does(before, tone, after)]
        if place in ahead:
            kinds.append(Motion.ANTICIPATES)
        if place in over:
            kinds.append(Motion.SUSPENDS)
        found[key_of(tone)] = tuple(kinds)
    return MappingProxyType(found)


def chord_tone(tone: Tone) -> bool:
    """Whether it is a tone of the chord under it."""
    return tone.place is not None and tone.place.standing is Standing.TONE


def foreign(tone: Tone) -> bool:
    """Whether a chord sounds under it and it is no tone of that chord."""
    return tone.place is not None and tone.place.standing is not Standing.TONE


def _came(before: Tone | None, tone: Tone) -> list[Motion]:
    if before is None:
        return []
    size = abs(tone.midi - before.midi)
    if size == 0:
        return [Motion.REPEAT]
    if size <= STEP:
        return [Motion.STEP]
    return [Motion.LEAP if size >= LEAP else Motion.SKIP]


def _does(before: Tone | None, tone: Tone, after: Tone | None) -> list[Motion]:
    """What a tone foreign to its chord does on its way."""
    if after is None or not foreign(tone):
        return []
    found = []
    out = after.midi - tone.midi
    if before is not None:
        into = tone.midi - before.midi
        if 0 < abs(into) <= STEP and 0 < abs(out) <= STEP:
            if into == -out:
                found.append(Motion.NEIGHBOUR)
            elif (into > 0) == (out > 0):
                found.append(Motion.PASSING)
    if chord_tone(after) and 0 < abs(out) <= STEP:
        found.append(Motion.RESOLVES)
        if abs(out) == 1 and after.level > tone.level:
            found.append(Motion.APPROACH)
    return found


def anticipating(line: Sequence[Tone], phrase: Phrase) -> list[int]:
    """Places in the line of tones that belong to the next chord, less than a beat before it.

    The pitch must still sound when that chord comes, or be struck again with it.
    """
    beats = [at.beat for at in phrase.chords]
    found = []
    for place, tone in enumerate(line):
        number = bisect_right(beats, tone.start)
        if number == len(beats) or not foreign(tone) or tone.sharp:
            continue
        coming = phrase.chords[number]
        after = line[place + 1] if place + 1 < len(line) else None
        again = after is not None and after.start == coming.beat and after.midi == tone.midi
        belongs = coming.chord.sounds and tone.chroma in coming.chord.chromas
        if belongs and coming.beat - tone.start < 1 and (again or tone.end > coming.beat):
            found.append(place)
    return found


def suspended(line: Sequence[Tone]) -> list[int]:
    """Places of tones struck again, foreign to the new chord, that were at home in the last one.

    They must go on by step to a tone of the new chord.
    """
    found = []
    for place in range(1, len(line) - 1):
        before, tone, after = line[place - 1 : place + 2]
        same_pitch = before.midi == tone.midi and before.chord != tone.chord
        goes_home = chord_tone(after) and after.chord == tone.chord
        step = 0 < abs(after.midi - tone.midi) <= STEP
        if same_pitch and chord_tone(before) and foreign(tone) and goes_home and step:
            found.append(place)
    return found
