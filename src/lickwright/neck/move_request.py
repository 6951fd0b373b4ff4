"""What is a move to do, and by how many semitones does the phrase then sound higher?"""

from __future__ import annotations

from dataclasses import dataclass

from lickwright.phrase import Phrase, Tuning
from lickwright.theory import Chord, Key, PitchClass, practical_key

_TRITONE = 6


@dataclass(frozen=True, slots=True)
class Request:
    """Where a phrase shall go; None, or 0 octaves, for what is not asked for.

    `pattern`: 1 to 5. `octave`: octaves up, below 0 down. `chord`: the chord that the line shall
    stand on instead of its first.
    """

    key: Key | None = None
    pattern: int | None = None
    octave: int = 0
    tuning: Tuning | None = None
    capo: int | None = None
    chord: Chord | None = None


def ways(phrase: Phrase, request: Request) -> tuple[int, ...]:
    """Semitones by which the phrase may move, the shorter way first.

    A tritone goes up first. If octaves are asked for they are added to the shorter way.
    """
    goal = goal_root(phrase, request)
    above = 0 if goal is None else (goal.chroma - source_root(phrase, request).chroma) % 12
    near = above if above <= _TRITONE else above - 12
    if request.octave or not near:
        return (near + 12 * request.octave,)
    return near, near - 12 if near > 0 else near + 12


def goal_root(phrase: Phrase, request: Request) -> PitchClass | None:
    """The note that the root of the line, `source_root`, becomes; None if it stays."""
    if request.chord is not None:
        return request.chord.root
    return None if request.key is None else new_key(phrase, request).tonic


def source_root(phrase: Phrase, request: Request) -> PitchClass:
    """The root that the line is counted from: of its first chord, or of its key."""
    chord = first_chord(phrase) if request.chord is not None else None
    return phrase.key.tonic if chord is None else chord.root


def first_chord(phrase: Phrase) -> Chord | None:
    """The first chord of a phrase that sounds, if any does."""
    return next((at.chord for at in phrase.chords if at.chord.sounds), None)


def new_key(phrase: Phrase, request: Request) -> Key:
    """The key that the phrase is in afterwards, with seven accidentals at most."""
    return phrase.key if request.key is None else practical_key(request.key)
