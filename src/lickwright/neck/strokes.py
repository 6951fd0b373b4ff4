"""With which stroke is each note struck?

Common practice, no source: strokes alternate by their place in the beat, down on the beat; a short
strong phrase takes down-strokes only; a rake is one stroke; two strings far apart are played by
pick and middle finger together (hybrid). What the teacher wrote stays.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from itertools import groupby, pairwise
from math import lcm
from typing import NamedTuple

from lickwright.phrase import Entry, Mark, Note, Phrase, Stroke, Timing, perform

_STRONG_NOTES = 8  # strokes of a phrase that is short
_STRONG_SECONDS = 0.3  # between strokes of one that is slow enough for down-strokes alone
_SLOW_THIRD = 0.25  # seconds of a third of a beat from which every beat begins with a down-stroke
_SKIP = 3  # strings from one note to the next that are far apart, of notes one after the other
_SKIP_SECONDS = 0.25  # and quick
_HYBRID = (Stroke.DOWN, Stroke.MIDDLE, Stroke.RING)


class Why(Enum):
    """Why a note has its stroke."""

    WRITTEN = "the teacher wrote it"
    ALTERNATE = "strokes alternate, down on the beat"
    STRONG = "a short strong phrase takes down-strokes"
    RAKE = "a rake is one stroke"
    HYBRID = "pick and finger together reach strings far apart"
    GRACE = "the stroke before the next one"


@dataclass(frozen=True, slots=True)
class Picked:
    """The stroke of one note."""

    note_id: str
    stroke: Stroke
    why: Why


def picking(phrase: Phrase) -> tuple[Picked, ...]:
    """The stroke of every note that a hand strikes, in the phrase's order.

    Notes that are only hammered, pulled, slid or tapped to have none.
    """
    strokes = [tuple(group) for group in _together(phrase)]
    found: dict[str, Picked] = {}
    found |= _plain(phrase, strokes)
    found |= _graces(strokes, found)
    found |= _hybrid(phrase, strokes)
    found |= _rakes(strokes)
    for note in phrase.notes:
        if note.stroke is not None:
            found[note.id] = Picked(note.id, note.stroke, Why.WRITTEN)
    return tuple(found[note.id] for note in phrase.notes if note.id in found)


def _together(phrase: Phrase) -> Iterator[list[Note]]:
    """Struck notes, those of one stroke together."""
    struck = [note for note in phrase.notes if note.struck and note.entry is not Entry.TAPPED]
    for _, group in groupby(struck, key=lambda note: (note.onset, note.order)):
        yield list(group)


def _plain(phrase: Phrase, strokes: list[tuple[Note, ...]]) -> dict[str, Picked]:
    counted = [group for group in strokes if group[0].order == 0]
    if _strong(phrase, counted):
        return {n.id: Picked(n.id, Stroke.DOWN, Why.STRONG) for group in counted for n in group}
    grids = _grids(phrase, counted)
    return {
        note.id: Picked(note.id, _by_place(note.onset, grids), Why.ALTERNATE)
        for group in counted
        for note in group
    }


def _strong(phrase: Phrase, strokes: list[tuple[Note, ...]]) -> bool:
    """Whether a phrase is short, slow and leant on: accents or palm mutes on half its strokes."""
    if not strokes or len(strokes) > _STRONG_NOTES:
        return False
    seconds = [phrase.clock.seconds(group[0].onset) for group in strokes]
    slow = all(later - early >= _STRONG_SECONDS for early, later in pairwise(seconds))
    leant = {Mark.ACCENT, Mark.PALM_MUTE}
    strong = sum(any(leant & note.marks for note in group) for group in strokes)
    return slow and 2 * strong >= len(strokes)


class _Grid(NamedTuple):
    """How a beat is parted, and how many strokes have gone by since alternation began."""

    parts: int
    gone: int


def _grids(phrase: Phrase, strokes: list[tuple[Note, ...]]) -> dict[int, _Grid]:
    """The grid of every beat with strokes in it.

    Alternation runs on through beats of an odd number of parts, so that every other one begins
    with an up-stroke; if they are slow, each begins anew.
    """
    parts: dict[int, int] = {}
    for group in strokes:
        beat, part = int(group[0].onset // 1), group[0].onset % 1
        parts[beat] = lcm(parts.get(beat, 1), part.denominator)
    usual = 3 if phrase.meter.compound else 2
    found: dict[int, _Grid] = {}
    gone = 0
    for beat in range(min(parts, default=0), max(parts, default=-1) + 1):
        size = parts.get(beat, 1)
        size = usual if size == 1 else size
        slow = phrase.clock.beat_seconds / size >= _SLOW_THIRD
        if size % 2 == 0 or slow:
            gone = 0
        found[beat] = _Grid(size, gone)
        gone += size
    return found


def _by_place(onset: Fraction, grids: Mapping[int, _Grid]) -> Stroke:
    grid = grids[int(onset // 1)]
    index = grid.gone + int(onset % 1 * grid.parts)
    return Stroke.DOWN if index % 2 == 0 else Stroke.UP


def _graces(strokes: list[tuple[Note, ...]], found: Mapping[str, Picked]) -> dict[str, Picked]:
    """Struck quick notes take turns with the stroke that they lead to or come from."""
    counted = {
        group[0].onset: found[group[0].id].stroke for group in strokes if group[0].id in found
    }
    made: dict[str, Picked] = {}
    for group in strokes:
        if group[0].order != 0:
            goal = counted.get(group[0].onset, Stroke.DOWN)
            same = group[0].order % 2 == 0
            other = Stroke.UP if goal is Stroke.DOWN else Stroke.DOWN
            for note in group:
                made[note.id] = Picked(note.id, goal if same else other, Why.GRACE)
    return made


def _hybrid(phrase: Phrase, strokes: list[tuple[Note, ...]]) -> dict[str, Picked]:
    made: dict[str, Picked] = {}
    times = {time.note.id: time.start for time in perform(phrase).times}
    for group in strokes:
        strings = sorted(note.string for note in group)
        apart = any(b - a > 1 for a, b in pairwise(strings))
        if apart and len(group) <= len(_HYBRID):
            ordered = sorted(group, key=lambda note: -note.string)
            for note, stroke in zip(ordered, _HYBRID, strict=False):
                made[note.id] = Picked(note.id, stroke, Why.HYBRID)
    for before, after in pairwise(strokes):
        if len(before) == len(after) == 1:
            pair = (before[0], after[0])
            far = abs(pair[0].string - pair[1].string) >= _SKIP
            if far and times[pair[1].id] - times[pair[0].id] < _SKIP_SECONDS:
                low, high = sorted(pair, key=lambda note: -note.string)
                made[high.id] = Picked(high.id, Stroke.MIDDLE, Why.HYBRID)
                made.setdefault(low.id, Picked(low.id, Stroke.DOWN, Why.HYBRID))
    return made


def _rakes(strokes: list[tuple[Note, ...]]) -> dict[str, Picked]:
    """Muted strings that are dragged, and the note they lead to, in the drag's direction."""
    made: dict[str, Picked] = {}
    for onset, some in groupby(strokes, key=lambda group: group[0].onset):
        notes = [note for group in some for note in group]
        raked = [n for n in notes if n.dead and n.timing is Timing.GRACE and Mark.RAKE in n.marks]
        landing = [note for note in notes if note.onset == onset and note.order == 0]
        if raked:
            last = min((n.string for n in landing), default=raked[-1].string)
            stroke = Stroke.DOWN if raked[0].string >= last else Stroke.UP
            for note in (*raked, *landing):
                made[note.id] = Picked(note.id, stroke, Why.RAKE)
    return made
