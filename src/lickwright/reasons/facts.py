"""What kinds of facts are there about a phrase? Values only: numbers and the notes they are about.

Every fact names the notes it is about by their ids, in the order in which they are played.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from lickwright.neck import Grip, Pattern
from lickwright.reasons.tones import Tone
from lickwright.theory import Chord, ChordPlace


@dataclass(frozen=True, slots=True)
class Ending:
    """The last tone of the line."""

    notes: tuple[str, ...]
    tone: Tone
    root_of_key: bool


@dataclass(frozen=True, slots=True)
class OctaveSurprise:
    """The line falls towards the low root, and ends on the root an octave above it."""

    notes: tuple[str, ...]
    last: Tone


@dataclass(frozen=True, slots=True)
class Outline:
    """Neighbouring tones that spell a chord, root and third among them."""

    notes: tuple[str, ...]
    chord: Chord
    tones: tuple[Tone, ...]


@dataclass(frozen=True, slots=True)
class Target:
    """A bend of a half step or more: where it starts and what it aims at."""

    notes: tuple[str, ...]
    origin: Tone
    goal: Tone
    struck_bent: bool


@dataclass(frozen=True, slots=True)
class StruckBent:
    """A string bent before it is struck. `goal`: what is heard; `then`: what it is let down to."""

    notes: tuple[str, ...]
    goal: Tone
    then: Tone | None


@dataclass(frozen=True, slots=True)
class SlideHome:
    """A slide on one string from a weaker tone to a stronger one."""

    notes: tuple[str, ...]
    origin: Tone
    goal: Tone


@dataclass(frozen=True, slots=True)
class MinorToMajor:
    """On one string, the minor third of the chord's root and then its major third."""

    notes: tuple[str, ...]
    third: Tone  # the major one


@dataclass(frozen=True, slots=True)
class GuideTones:
    """Across a change of chord a third or seventh goes by step, or stays, to the next one's."""

    notes: tuple[str, ...]
    before: Tone
    after: Tone


@dataclass(frozen=True, slots=True)
class Anticipation:
    """A tone of the next chord that sounds before it. `ahead`: beats."""

    notes: tuple[str, ...]
    tone: Tone
    chord: Chord
    place: ChordPlace  # in that chord
    ahead: Fraction


@dataclass(frozen=True, slots=True)
class Suspension:
    """A tone of the last chord, struck again over the next, that goes home by step."""

    notes: tuple[str, ...]
    tone: Tone
    home: Tone


@dataclass(frozen=True, slots=True)
class Enclosure:
    """A tone above and a tone below, each a step or less away, then the chord tone between."""

    notes: tuple[str, ...]
    around: tuple[Tone, Tone]
    target: Tone


@dataclass(frozen=True, slots=True)
class Approach:
    """A tone foreign to the chord, a half step from the chord tone on a stronger place after it."""

    notes: tuple[str, ...]
    tone: Tone
    target: Tone


@dataclass(frozen=True, slots=True)
class Climax:
    """The one highest tone of the line, neither its first nor its last."""

    notes: tuple[str, ...]
    tone: Tone


@dataclass(frozen=True, slots=True)
class CallAndAnswer:
    """The first half stops away from the root of the key, the second half ends on it."""

    notes: tuple[str, ...]
    call: Tone  # last tone of the first half
    answer: Tone
    bars: tuple[int, int, int, int]  # first and last bar of both halves


@dataclass(frozen=True, slots=True)
class Displacement:
    """The same tones in the same rhythm, begun at another place in the beat or bar."""

    notes: tuple[str, ...]
    count: int
    first: Fraction  # beats
    second: Fraction


@dataclass(frozen=True, slots=True)
class BlueThird:
    """The minor third over a chord or key, pushed less than a half step sharp."""

    notes: tuple[str, ...]
    tone: Tone
    over_major: bool  # the chord under it has a major third


class Passage(Enum):
    """How a blue fifth is come by and left."""

    UP = "up"  # from the 4 to the 5
    DOWN = "down"  # from the 5 to the 4
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class BlueFifth:
    """The tone between the 4 and the 5 of the key, not a tone of its chord."""

    notes: tuple[str, ...]
    tone: Tone
    passage: Passage


@dataclass(frozen=True, slots=True)
class AddedSixth:
    """A major sixth over a chord that has none."""

    notes: tuple[str, ...]
    tone: Tone
    then: Tone | None  # the tone after it if that is a chord tone, else None


@dataclass(frozen=True, slots=True)
class ChordGrip:
    """Notes struck together that are a piece of a movable chord form."""

    notes: tuple[str, ...]
    grip: Grip
    chord_name: str  # of the grip: F, Am
    numeral: str  # its place in the key: I, IV, V
    tones: tuple[Tone, ...]
    same_as_chord: bool  # its root is the root of the chord that sounds


@dataclass(frozen=True, slots=True)
class InPattern:
    """The notes of the phrase that lie in one pentatonic pattern, and those that do not."""

    notes: tuple[str, ...]  # the notes outside
    pattern: Pattern
    tonic: str  # name of the pattern's root
    others: tuple[str, ...]  # degrees of the notes outside, each once
    inside: int  # notes inside
    relative_major: str  # name of the key if it is the relative major, else empty


class Likeness(Enum):
    """How much a later bar repeats an earlier one."""

    SAME = "same"
    LAST_NOTE = "last note"  # all but the last note
    ONE_NOTE = "one note"  # all but one other note
    MOVED = "moved"  # the same line, higher or lower
    SAME_RHYTHM = "same rhythm"


@dataclass(frozen=True, slots=True)
class Repetition:
    """Two bars that are alike. Bar numbers as printed, from 1."""

    notes: tuple[str, ...]  # of the later bar; the changed one alone if only that differs
    bars: tuple[int, int]
    likeness: Likeness
    number: int = 0  # of the note that differs, from 1
    moved: int = 0  # semitones, up positive


@dataclass(frozen=True, slots=True)
class Sequence:
    """The same shape moved with the chords."""

    notes: tuple[str, ...]
    bars: tuple[int, ...]
    chords: tuple[Chord, ...]


@dataclass(frozen=True, slots=True)
class Pickup:
    """Notes before the first full bar. `beats`: how long the pickup is."""

    notes: tuple[str, ...]
    beats: Fraction


@dataclass(frozen=True, slots=True)
class Triplets:
    """Notes on thirds of a beat in a straight simple meter."""

    notes: tuple[str, ...]
    last_on_beat: bool


@dataclass(frozen=True, slots=True)
class Space:
    """Silence at the end. `beats`: how long; `bar_beats`: a whole bar."""

    notes: tuple[str, ...]
    beats: Fraction
    bar_beats: int


@dataclass(frozen=True, slots=True)
class OpenStrings:
    """Open strings that sound. `names` of the strings, each once."""

    notes: tuple[str, ...]
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SlideImitation:
    """Three or more strings at one fret, slid into together. `fret` from the capo."""

    notes: tuple[str, ...]
    fret: int


Fact = (
    Ending
    | OctaveSurprise
    | Outline
    | Target
    | StruckBent
    | SlideHome
    | MinorToMajor
    | GuideTones
    | Anticipation
    | Suspension
    | Enclosure
    | Approach
    | Climax
    | CallAndAnswer
    | Displacement
    | BlueThird
    | BlueFifth
    | AddedSixth
    | ChordGrip
    | InPattern
    | Repetition
    | Sequence
    | Pickup
    | Triplets
    | Space
    | OpenStrings
    | SlideImitation
)
