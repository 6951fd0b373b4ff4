"""What sets a string going within one run: which strokes, when, how hard and where?"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from itertools import pairwise

from lickwright.phrase import (
    Entry,
    LinkKind,
    Mark,
    Note,
    NoteTime,
    PitchCurve,
    Stroke,
)

PLAIN, ACCENTED, GHOSTED = 0.75, 1.0, 0.34
_TRILL_STEP = 0.0045  # seconds; a longer move is no finger coming down or off


class Touch(Enum):
    """What sets the string going."""

    PICK = "pick"
    FINGER = "finger"  # of the picking hand
    HAMMER = "hammer-on"
    PULL = "pull-off"
    TAP = "tap"


# How hard each touch is against a pick's stroke. Common practice, no source: a hammer-on or
# pull-off is softer than the note it follows.
_SHARE = {
    Touch.PICK: 1.0,
    Touch.FINGER: 0.9,
    Touch.HAMMER: 0.62,
    Touch.PULL: 0.58,
    Touch.TAP: 0.66,
}
_BY_LINK = {LinkKind.HAMMER: Touch.HAMMER, LinkKind.PULL: Touch.PULL, LinkKind.TAP: Touch.TAP}


@dataclass(frozen=True, slots=True)
class Layer:
    """One stroke and its ringing. `start`, `end` in seconds as in NoteTime; at `end` it fades.

    `strength` runs to 1 (an accent). `fret` is the one held at the stroke.
    """

    note: Note
    touch: Touch
    start: float
    end: float
    strength: float
    fret: int


def run_layers(run: tuple[NoteTime, ...], curve: PitchCurve | None) -> tuple[Layer, ...]:
    """Layers of one run in order of time; each but the last ends where the next begins."""
    strokes = [layer for i, time in enumerate(run) for layer in _strokes(time, i == 0, curve)]
    ends = [after.start for _, after in pairwise(strokes)] + [run[-1].end]
    return tuple(
        Layer(s.note, s.touch, s.start, end, s.strength, s.fret)
        for s, end in zip(strokes, ends, strict=True)
        if end > s.start
    )


def _strokes(time: NoteTime, first: bool, curve: PitchCurve | None) -> list[Layer]:
    note = time.note
    strokes: list[Layer] = []
    touch = _touch(note, first)
    if touch is not None:
        strokes.append(_layer(note, touch, time.begin, note.fret))
    if note.trill is not None and curve is not None:
        strokes += _trilled(time, note.trill.fret, curve)
    return strokes


def _touch(note: Note, first: bool) -> Touch | None:
    """What strikes the note; None if it is slid to."""
    if note.stroke is not None or (first and note.entry is not Entry.TAPPED):
        picked = note.stroke in (None, Stroke.DOWN, Stroke.UP)
        return Touch.PICK if picked else Touch.FINGER
    if first:
        return Touch.TAP
    return _BY_LINK.get(note.link.kind) if note.link is not None else None


def _trilled(time: NoteTime, fret: int, curve: PitchCurve) -> list[Layer]:
    """The fingers of a trill: one stroke at each of its steps."""
    strokes = []
    for move in curve.moves:
        if time.start < move.start < time.end and move.end - move.start <= _TRILL_STEP:
            up = move.goal > move.origin
            away = up == (fret > time.note.fret)
            touch = Touch.HAMMER if up else Touch.PULL
            strokes.append(_layer(time.note, touch, move.start, fret if away else time.note.fret))
    return strokes


def _layer(note: Note, touch: Touch, start: float, fret: int) -> Layer:
    strength = PLAIN
    if Mark.ACCENT in note.marks:
        strength = ACCENTED
    elif note.ghost:
        strength = GHOSTED
    if note.dead and Mark.RAKE in note.marks:
        strength *= 0.7
    return Layer(note, touch, start, start, strength * _SHARE[touch], fret)
