"""Which keys does a keyboard player press for a chord?

Common practice, no source: chords of up to four tones are played close together around middle C;
of bigger ones the third and seventh lie below, the colours above, and the root is the bass
player's. Every chord is set in the same few keys, so that the hands move little.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from itertools import pairwise

from lickwright.theory import Chord

_CLOSE = (55, 54, 56, 53, 57, 52)  # lowest keys to try for a close chord, the best first
_SHELL = (50, 51, 49, 52)
_COLOURS = (60, 61, 59, 62)
_LEFT_HAND = 41  # lowest key of the bass note, where nobody else plays it
_SHELL_ROLES = (3, 4, 2, 7, 6)
_CLOSE_MOST = 4  # tones that one hand takes together


@cache
def keys_voicing(chord: Chord, bass_player: bool) -> tuple[int, ...]:
    """MIDI notes, low to high: all tones of the chord, but without what the bass player has.

    The bass note under a slash is the bass player's, and so is the root of a chord of five tones
    or more; without a bass player the left hand plays the bass note.
    """
    if not chord.sounds:
        return ()
    upper = {(chord.root.chroma + semitones) % 12: role for role, semitones in chord.kind.tones}
    if len(upper) > _CLOSE_MOST and (chord.bass is None or not bass_player):
        del upper[chord.root.chroma]
    left = set() if bass_player else {_above(bass_chroma(chord), _LEFT_HAND)}
    if not bass_player and chord.bass is not None:
        left.add(_above(chord.root.chroma, _LEFT_HAND + 7))
    return tuple(sorted(left | set(_right_hand(upper))))


def bass_chroma(chord: Chord) -> int:
    """The chord's lowest note, semitones above C: the one after the slash, else the root."""
    return (chord.bass or chord.root).chroma


def _right_hand(upper: dict[int, int]) -> tuple[int, ...]:
    if len(upper) <= _CLOSE_MOST:
        return _smoothest(upper, _CLOSE)
    shell = [chroma for chroma, role in upper.items() if role in _SHELL_ROLES][:2]
    low = _smoothest(shell, _SHELL)
    return low + _smoothest([chroma for chroma in upper if chroma not in shell], _COLOURS)


def _smoothest(chromas: Iterable[int], floors: tuple[int, ...]) -> tuple[int, ...]:
    """The tones within an octave above a floor, such that fewest rub a semitone apart."""
    row = tuple(chromas)
    settings = [tuple(sorted(_above(chroma, floor) for chroma in row)) for floor in floors]
    return min(settings, key=_rubs)


def _rubs(keys: tuple[int, ...]) -> int:
    return sum(high - low == 1 for low, high in pairwise(keys))


def _above(chroma: int, floor: int) -> int:
    """The lowest key of a name from `floor` (MIDI) upward."""
    return floor + (chroma - floor) % 12
