"""What does it cost the hand to hold these notes down, in points?

The cost is this project's own; its ideas are those of Radicioni, Anselma & Lombardo 2005 (moving
along the neck kept apart from reaching across it) and Heijink & Meulenbroek 2002 (hand travel,
finger spread, joints kept near the middle of their range). One point is about the trouble of moving
the hand by one fret. The weights are common practice, no source; how far they agree with published
chord fingerings is measured in tests/neck/chords_db.py.
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum
from itertools import combinations
from math import hypot
from typing import NamedTuple

from lickwright.neck.geometry import Neck
from lickwright.neck.hand import FRETTING, Fault, HandSize, Press, faults, reach
from lickwright.phrase import Finger

OPEN, TAPPED = -1, -2  # finger numbers of what the fretting hand does not hold
THUMB = 0
IMPOSSIBLE = 100.0


class Part(Enum):
    """What a hand's cost is made of."""

    PLACE = "a finger off its own fret"
    STRETCH = "fingers far apart"
    WEAK = "the fourth finger, or the thumb"
    BARRE = "one finger over several strings"
    SEVERAL = "several fingers set down at once"
    ORDER = "a lower finger on the thinner string"
    BEND = "a bend by a weaker or unsupported finger"
    VIBRATO = "vibrato by a weaker finger"
    TRILL = "the finger that trills"
    SHIFT = "the hand moving along the neck"
    SLIDE = "a slide"
    SAME_FINGER = "one finger going from note to note"
    LEGATO = "a hammer-on, pull-off or slide against the hand"
    LET_GO = "a note let go before its time"
    IMPOSSIBLE = "what no hand can do"


class Hold(NamedTuple):
    """One sounding note and its finger: 1 to 4, THUMB, OPEN or TAPPED."""

    note: int  # index among the phrase's notes
    string: int
    fret: int
    finger: int


class HandState(NamedTuple):
    """A hand on the neck. `position`: the fret where the first finger rests; 0: anywhere."""

    position: int
    holds: tuple[Hold, ...]


Cost = tuple[Part, float]
# A finger that reaches out of its own fret, and one drawn in: points a fret, points a mm.
_OUT, _OUT_MM = 0.35, 0.022
_IN, _IN_MM = 0.2, 0.01
_FOURTH, _THUMB = 0.25, 0.8
_STRETCH_MM = 0.05  # a mm beyond comfort
# A barre by the first finger, by another one: points, points a string beyond two; and for another
# finger those a string in between that is not to sound.
_BARRE = {True: (0.5, 0.15), False: (2.0, 0.6)}
_BARRE_GAP = 0.2
_ORDER = 1.5


def fretted(holds: tuple[Hold, ...]) -> tuple[Hold, ...]:
    """Those that the fretting hand holds."""
    return tuple(hold for hold in holds if hold.finger >= 0)


def place_cost(position: int, finger: int, fret: int, neck: Neck) -> float:
    """Points for a finger off the fret that is its own: one finger a fret from `position` up."""
    if finger == THUMB:
        return _OUT * abs(fret - position)
    away = fret - (position + finger - 1)
    if away == 0:
        return 0.0
    mm = neck.distance(fret, fret - away)
    if away > 0 or finger == 1:
        return _OUT * abs(away) + _OUT_MM * mm
    return _IN * -away + _IN_MM * mm


def weak_cost(finger: int) -> float:
    """Points for using a finger at all."""
    return {THUMB: _THUMB, 4: _FOURTH}.get(finger, 0.0)


def hold_costs(
    state: HandState, struck: frozenset[int], neck: Neck, size: HandSize
) -> Iterator[Cost]:
    """Points for holding a state; placing a finger costs only the notes that are `struck`."""
    for hold in fretted(state.holds):
        if hold.note in struck:
            yield Part.PLACE, place_cost(state.position, hold.finger, hold.fret, neck)
            yield Part.WEAK, weak_cost(hold.finger)
    yield from shape_costs(state.holds, struck, neck, size)


def shape_costs(
    holds: tuple[Hold, ...], struck: frozenset[int], neck: Neck, size: HandSize
) -> Iterator[Cost]:
    """Points for holding several notes at once, wherever the hand rests."""
    held = fretted(holds)
    if len(held) > 1:
        yield from _spread_costs(held, neck, size)
        yield from _barre_costs(held, struck)
    if held and len(holds) > 1:
        yield Part.IMPOSSIBLE, IMPOSSIBLE * len(shape_faults(holds, neck, size))


def _spread_costs(held: tuple[Hold, ...], neck: Neck, size: HandSize) -> Iterator[Cost]:
    for one, other in combinations(held, 2):
        low, high = (one, other) if one.finger < other.finger else (other, one)
        if low.finger < 1 or low.finger == high.finger:
            continue
        yield Part.STRETCH, stretch_cost(low, high, neck, size)
        if low.fret == high.fret and low.string < high.string:
            yield Part.ORDER, _ORDER


def stretch_cost(low: Hold, high: Hold, neck: Neck, size: HandSize) -> float:
    """Points for two of the four fingers further apart than is comfortable, the lower first."""
    apart = neck.distance(low.fret, high.fret)
    tips = hypot(apart, neck.across(low.string, high.string, min(low.fret, high.fret)))
    ease = reach(FRETTING[low.finger - 1], FRETTING[high.finger - 1], size).comfortable
    return _STRETCH_MM * max(0.0, tips - ease)


def _barre_costs(held: tuple[Hold, ...], struck: frozenset[int]) -> Iterator[Cost]:
    for press in presses(held):
        if press.barre and any(h.note in struck and h.string in press.strings for h in held):
            first = press.finger is Finger.FIRST
            width = press.strings[-1] - press.strings[0] + 1
            fixed, a_string = _BARRE[first]
            gaps = 0 if first else width - len(press.strings)
            yield Part.BARRE, fixed + a_string * (width - 2) + _BARRE_GAP * gaps


_FINGERS = (Finger.THUMB, *FRETTING)


def presses(holds: tuple[Hold, ...]) -> tuple[Press, ...]:
    """The fingers of a state as they lie on the neck."""
    found: dict[tuple[int, int], list[int]] = {}
    for hold in sorted(fretted(holds), key=lambda h: h.string):
        found.setdefault((hold.finger, hold.fret), []).append(hold.string)
    return tuple(Press(_FINGERS[n], fret, tuple(s)) for (n, fret), s in found.items())


def shape_faults(holds: tuple[Hold, ...], neck: Neck, size: HandSize) -> tuple[Fault, ...]:
    """What keeps a hand from holding all of them at once."""
    idle = [hold.string for hold in holds if hold.finger == OPEN]
    return faults(presses(holds), neck, size, idle)


def sound_shape(holds: tuple[Hold, ...], neck: Neck, size: HandSize) -> bool:
    """Whether a hand can hold all of them at once."""
    return not shape_faults(holds, neck, size)
