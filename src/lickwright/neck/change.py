"""What does it cost the hand to get from one hold to the next, in points?

A shift is the hand's way along the neck; it costs less while nothing is held and more at speed. A
slide takes the hand along. Common practice, no source; weights as in `lickwright.neck.hold`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from lickwright.neck.effort import Player
from lickwright.neck.hold import (
    IMPOSSIBLE,
    OPEN,
    THUMB,
    Hold,
    Part,
    fretted,
    shape_faults,
    stretch_cost,
)

_SHIFT, _SHIFT_FRET = 0.6, 0.4
_FREE, _RESTED = 0.5, 0.3  # share of a shift's points from an open string, after a silence
_SLIDE, _SLIDE_FRET, _SLIDE_FOURTH = 0.15, 0.03, 0.2
_USUAL_SECONDS = 0.3  # from note to note; shorter is dearer, longer is cheaper
_MOST_HASTE, _LEAST_HASTE = 3.0, 0.5
_ROLL, _ROLL_STRING = 0.3, 0.1  # one finger going on in its fret, to the next string or further
_HOP, _GUIDED_HOP = 1.0, 0.7  # to another fret; along its own string
_OTHER_FINGER = 0.5  # the same place again, with another finger
_FOURTH_JOIN = 0.3
_NO_JOIN = 20.0  # more for one finger in both frets of a hammer-on than for a stretch too wide
_SEVERAL = 0.2  # a finger after the first that is set down at once with it
_LET_GO, _LET_OPEN_GO = 2.0, 1.0


class Pace(NamedTuple):
    """How the hand gets to a moment. `haste`: factor; `slide`: frets that a slide takes it."""

    haste: float
    rest: bool
    slide: int


class Join(NamedTuple):
    """How a note follows another on its string. `origin`: index of the note before."""

    origin: int
    slid: bool


class NoteCost(NamedTuple):
    """Points charged to a note, by index among the phrase's notes."""

    note: int
    part: Part
    points: float


def haste(seconds: float) -> float:
    """Factor on the points of whatever has to be done within `seconds`."""
    return min(_MOST_HASTE, max(_LEAST_HASTE, _USUAL_SECONDS / max(seconds, 1e-3)))


def shift_cost(start: int, goal: int, pace: Pace, *, holding: bool) -> float:
    """Points for the hand to move from position `start` to `goal`; from 0, anywhere, none."""
    if start in (0, goal):
        return 0.0
    share = _RESTED if pace.rest else 1.0 if holding else _FREE
    points = _moving(goal - start) * share * pace.haste
    if pace.slide:
        left = _moving(goal - start - pace.slide) * share * pace.haste
        points = min(points, left + _SLIDE_FRET * abs(pace.slide))
    return points


def _moving(frets: int) -> float:
    return _SHIFT + _SHIFT_FRET * abs(frets) if frets else 0.0


def change_costs(
    before: tuple[Hold, ...],
    after: tuple[Hold, ...],
    joins: Mapping[int, Join],
    pace: Pace,
    who: Player,
) -> Iterator[NoteCost]:
    """Points for the fingers that go from the holds `before` to those `after`."""
    old = {hold.note: hold for hold in before}
    still = {hold.note for hold in after}
    new = fretted(tuple(hold for hold in after if hold.note not in old))
    if len(new) > 1:
        fingers = len({(hold.finger, hold.fret) for hold in new})
        yield NoteCost(new[0].note, Part.SEVERAL, _SEVERAL * (fingers - 1) * pace.haste)
    for hold in after:
        if hold.note in old:
            continue
        join = joins.get(hold.note)
        origin = old.get(join.origin) if join is not None else None
        if join is not None and origin is not None:
            yield from _join_costs(origin, hold, who, slid=join.slid)
        if hold.finger >= THUMB and not pace.rest:
            lifted = [h for h in fretted(before) if h is not origin and h.note not in still]
            yield from _finger_costs(hold, lifted, pace)


def let_go_costs(before: tuple[Hold, ...], after: tuple[Hold, ...], kept: tuple[int, ...],
                 first: int) -> Iterator[NoteCost]:  # fmt: skip
    """Points for notes that should sound on and are let go, charged to the note `first`."""
    held = {hold.note for hold in after}
    for hold in before:
        if hold.note in kept and hold.note not in held:
            yield NoteCost(first, Part.LET_GO, _LET_OPEN_GO if hold.finger == OPEN else _LET_GO)


def _join_costs(origin: Hold, hold: Hold, who: Player, *, slid: bool) -> Iterator[NoteCost]:
    """A hammer-on, pull-off or slide."""
    if slid:
        if not one_finger_slides(origin, hold):
            yield NoteCost(hold.note, Part.SLIDE, IMPOSSIBLE)
        fourth = _SLIDE_FOURTH if 4 in (origin.finger, hold.finger) else 0.0
        yield NoteCost(hold.note, Part.SLIDE, _SLIDE + fourth)
        return
    acting = hold if hold.fret > origin.fret else origin
    if acting.finger == 4:
        yield NoteCost(hold.note, Part.LEGATO, _FOURTH_JOIN)
    if min(origin.finger, hold.finger) >= THUMB:
        yield NoteCost(hold.note, Part.LEGATO, _both_down(origin, hold, who))


def _both_down(origin: Hold, hold: Hold, who: Player) -> float:
    """Points for the two fingers of a hammer-on or pull-off, which are down at once."""
    pair = fretted((origin, hold))
    points = IMPOSSIBLE * len(shape_faults(pair, who.neck, who.size))
    if origin.finger == hold.finger and origin.fret != hold.fret:
        return points + _NO_JOIN
    if min(h.finger for h in pair) >= 1:
        low, high = sorted(pair, key=lambda h: h.finger)
        points += stretch_cost(low, high, who.neck, who.size)
    return points


def _finger_costs(hold: Hold, lifted: list[Hold], pace: Pace) -> Iterator[NoteCost]:
    """One finger going from note to note, or two taking turns on one place."""
    for old in lifted:
        place = (old.string, old.fret) == (hold.string, hold.fret)
        if place and old.finger != hold.finger:
            yield NoteCost(hold.note, Part.SAME_FINGER, _OTHER_FINGER)
        elif not place and old.finger == hold.finger:
            yield NoteCost(hold.note, Part.SAME_FINGER, _hop(old, hold) * pace.haste)


def _hop(old: Hold, hold: Hold) -> float:
    if old.fret == hold.fret:
        return _ROLL + _ROLL_STRING * (abs(old.string - hold.string) - 1)
    return _GUIDED_HOP if old.string == hold.string else _HOP


def one_finger_slides(origin: Hold, hold: Hold) -> bool:
    """Whether one finger plays both ends of a slide, or one of them is an open string."""
    return min(origin.finger, hold.finger) < THUMB or origin.finger == hold.finger
