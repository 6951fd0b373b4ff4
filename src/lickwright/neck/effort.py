"""What do bends, vibrato, trills and slides ask of the finger that plays them, in points?

Common practice, no source: a bend is for the third finger with the others behind it; the fourth is
the weakest. That ring and little finger trill more slowly: Aoki 2005. Weights as in
`lickwright.neck.hold`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from lickwright.neck.bending import bend_effort
from lickwright.neck.geometry import Neck
from lickwright.neck.guitar import Guitar
from lickwright.neck.hand import HandSize
from lickwright.neck.hold import (
    IMPOSSIBLE,
    OPEN,
    THUMB,
    Cost,
    Hold,
    Part,
    fretted,
    place_cost,
    sound_shape,
    stretch_cost,
)
from lickwright.phrase import Bend, Finger, Note, Trill

NUMBERED = {Finger.FIRST: 1, Finger.SECOND: 2, Finger.THIRD: 3, Finger.FOURTH: 4}
# (points for any bend, points a newton), by finger
_BEND = {THUMB: (3.0, 0.2), 1: (0.2, 0.1), 2: (0.1, 0.05), 3: (0.0, 0.0), 4: (0.5, 0.12)}
_UNSUPPORTED = 0.05  # points a newton, if the finger behind is busy elsewhere or there is none
_BARRE_BEND = 2.0
_HARDEST = 40.0  # newtons taken for a bend that nothing reaches
_VIBRATO = {THUMB: 1.0, 1: 0.1, 2: 0.1, 3: 0.0, 4: 0.4}
_SLIDE_OFF = {THUMB: 0.5, 1: 0.05, 2: 0.05, 3: 0.0, 4: 0.2}
_TRILL = {(1, 2): 0.0, (1, 3): 0.1, (2, 3): 0.3, (2, 4): 0.5, (1, 4): 0.6, (3, 4): 1.0}
_OPEN_TRILL = {1: 0.0, 2: 0.0, 3: 0.1, 4: 0.4}
_TRILLING = -3  # stands for the note that a trill goes to


class Player(NamedTuple):
    """Who plays on what. `neck` is the guitar's."""

    guitar: Guitar
    neck: Neck
    size: HandSize


def gesture_costs(hold: Hold, note: Note, holds: tuple[Hold, ...], who: Player) -> Iterator[Cost]:
    """Points for what a held note does after it is struck, wherever the hand rests."""
    for gesture in note.gestures:
        if isinstance(gesture, Bend):
            yield Part.BEND, _bend_cost(hold, gesture, holds, who)
    if (vibrato := note.vibrato) is not None:
        yield Part.VIBRATO, _VIBRATO[hold.finger] * (2 if vibrato.wide else 1)
    if note.entry is not None or note.off is not None:
        yield Part.SLIDE, _SLIDE_OFF[hold.finger]


def _bend_cost(hold: Hold, bend: Bend, holds: tuple[Hold, ...], who: Player) -> float:
    force = bend_force(who.guitar, hold.string, hold.fret, float(bend.to))
    fixed, a_newton = _BEND[hold.finger]
    busy = {other.finger for other in holds if other.note != hold.note}
    if hold.finger - 1 in busy or hold.finger == 1:
        a_newton += _UNSUPPORTED
    return fixed + a_newton * force + (_BARRE_BEND if hold.finger in busy else 0.0)


def bend_force(guitar: Guitar, string: int, fret: int, semitones: float) -> float:
    """Newtons at the end of a bend; a large number for one that nothing reaches."""
    try:
        return min(_HARDEST, bend_effort(guitar, string, fret, semitones).force)
    except ValueError:
        return _HARDEST


class TrillChoice(NamedTuple):
    """The finger for the other note of a trill, and its points."""

    finger: int
    points: float


def trill_choice(
    hold: Hold, trill: Trill, holds: tuple[Hold, ...], position: int, who: Player
) -> TrillChoice:
    """The best finger for the other note of a trill on `hold`, whose finger may be OPEN."""
    if trill.fret == 0:
        return TrillChoice(OPEN, 0.0)
    given = NUMBERED.get(trill.finger) if trill.finger is not None else None
    options = (1, 2, 3, 4) if given is None else (given,)
    found = [
        TrillChoice(finger, _trill_cost(hold, finger, trill.fret, holds, position, who))
        for finger in options
    ]
    return min(found, key=lambda choice: choice.points)


def _trill_cost(
    hold: Hold, finger: int, fret: int, holds: tuple[Hold, ...], position: int, who: Player
) -> float:
    other = Hold(_TRILLING, hold.string, fret, finger)
    points = place_cost(position, finger, fret, who.neck)
    pair = (hold.finger, finger) if fret > hold.fret else (finger, hold.finger)
    if hold.finger == OPEN:
        points += _OPEN_TRILL[finger]
    elif hold.finger >= 1:
        points += _TRILL.get(pair, 0.0)
        low, high = (hold, other) if fret > hold.fret else (other, hold)
        points += stretch_cost(low, high, who.neck, who.size) if pair in _TRILL else 0.0
    together = (*(h for h in fretted(holds) if h.note != hold.note), other)
    if hold.finger >= THUMB:
        together = (*together, hold)
    return points + (0.0 if sound_shape(together, who.neck, who.size) else IMPOSSIBLE)
