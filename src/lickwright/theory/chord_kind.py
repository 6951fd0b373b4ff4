"""Which qualities of chord are there, what are their tones, and what does MusicXML call them?

The kind words are the `kind-value` type of MusicXML 4.0 (W3C). Where that word alone does not say
the whole chord, the row's changes are the `degree` elements that complete it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from lickwright.theory.interval import MAJOR_STEPS


class ChangeType(Enum):
    """What a change does to the chord its kind word names (MusicXML `degree-type`)."""

    ADD = "add"
    ALTER = "alter"
    SUBTRACT = "subtract"


@dataclass(frozen=True, slots=True)
class Change:
    """One MusicXML `degree` of a chord.

    `alter` counts semitones as MusicXML does: an added tone is measured from the dominant chord
    (major and perfect intervals, but a minor seventh), an altered or subtracted one from the tone
    the kind already has.
    """

    number: int  # degree-value
    alter: int  # degree-alter, semitones
    type: ChangeType


@dataclass(frozen=True, slots=True)
class ChordKind:
    """A quality of chord: what follows the root in its symbol."""

    suffix: str  # the symbol's usual ending, such as m7b5
    name: str  # in words: half-diminished seventh
    tones: tuple[tuple[int, int], ...]  # (role, semitones above the root), the ninth being 14
    musicxml: str  # kind-value of MusicXML 4.0
    changes: tuple[Change, ...] = ()


def semitones_of(number: int, alter: int) -> int:
    """Semitones of a major-scale degree above the root, compound beyond 7, altered by `alter`."""
    octaves, step = divmod(number - 1, 7)
    return 12 * octaves + MAJOR_STEPS[step] + alter


def _tone(word: str) -> tuple[int, int]:
    number = word.lstrip("b#")
    signs = word[: len(word) - len(number)]
    return int(number), semitones_of(int(number), signs.count("#") - signs.count("b"))


def _row(
    suffix: str, name: str, tones: str, musicxml: str, changes: tuple[Change, ...] = ()
) -> ChordKind:
    return ChordKind(suffix, name, tuple(map(_tone, tones.split())), musicxml, changes)


_ADDED_NINTH = (Change(9, 0, ChangeType.ADD),)
_SUS4 = (Change(3, 0, ChangeType.SUBTRACT), Change(4, 0, ChangeType.ADD))


# One row a quality. The dominant and major thirteenth are without the eleventh, which no player
# sounds over the major third (common practice, no source); the other stacks are complete. A
# suspended seventh is written as a dominant chord with its third replaced: readers differ on which
# seventh an added 7 is.
CHORD_KINDS: tuple[ChordKind, ...] = (
    _row("", "major", "1 3 5", "major"),
    _row("m", "minor", "1 b3 5", "minor"),
    _row("5", "power chord", "1 5", "power"),
    _row("dim", "diminished", "1 b3 b5", "diminished"),
    _row("aug", "augmented", "1 3 #5", "augmented"),
    _row("sus2", "suspended second", "1 2 5", "suspended-second"),
    _row("sus4", "suspended fourth", "1 4 5", "suspended-fourth"),
    _row("6", "major sixth", "1 3 5 6", "major-sixth"),
    _row("m6", "minor sixth", "1 b3 5 6", "minor-sixth"),
    _row("6/9", "six-nine", "1 3 5 6 9", "major-sixth", _ADDED_NINTH),
    _row("m6/9", "minor six-nine", "1 b3 5 6 9", "minor-sixth", _ADDED_NINTH),
    _row("add9", "major added ninth", "1 3 5 9", "major", _ADDED_NINTH),
    _row("madd9", "minor added ninth", "1 b3 5 9", "minor", _ADDED_NINTH),
    _row("7", "dominant seventh", "1 3 5 b7", "dominant"),
    _row("m7", "minor seventh", "1 b3 5 b7", "minor-seventh"),
    _row("maj7", "major seventh", "1 3 5 7", "major-seventh"),
    _row("mMaj7", "minor major seventh", "1 b3 5 7", "major-minor"),
    _row("dim7", "diminished seventh", "1 b3 b5 bb7", "diminished-seventh"),
    _row("m7b5", "half-diminished seventh", "1 b3 b5 b7", "half-diminished"),
    _row("aug7", "augmented seventh", "1 3 #5 b7", "augmented-seventh"),
    _row("7sus4", "dominant seventh suspended fourth", "1 4 5 b7", "dominant", _SUS4),
    _row("9", "dominant ninth", "1 3 5 b7 9", "dominant-ninth"),
    _row("m9", "minor ninth", "1 b3 5 b7 9", "minor-ninth"),
    _row("maj9", "major ninth", "1 3 5 7 9", "major-ninth"),
    _row("mMaj9", "minor major ninth", "1 b3 5 7 9", "major-minor", _ADDED_NINTH),
    _row("9sus4", "dominant ninth suspended fourth", "1 4 5 b7 9", "dominant-ninth", _SUS4),
    _row("11", "dominant eleventh", "1 3 5 b7 9 11", "dominant-11th"),
    _row("m11", "minor eleventh", "1 b3 5 b7 9 11", "minor-11th"),
    _row("maj11", "major eleventh", "1 3 5 7 9 11", "major-11th"),
    _row("13", "dominant thirteenth", "1 3 5 b7 9 13", "dominant-13th"),
    _row("m13", "minor thirteenth", "1 b3 5 b7 9 11 13", "minor-13th"),
    _row("maj13", "major thirteenth", "1 3 5 7 9 13", "major-13th"),
    _row(
        "13sus4", "dominant thirteenth suspended fourth", "1 4 5 b7 9 13",
        "dominant-13th", _SUS4,
    ),
)  # fmt: skip

NO_CHORD_KIND = ChordKind("N.C.", "no chord", (), "none")
