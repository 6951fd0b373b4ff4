"""Which fingers may take notes that are held together, and where may the hand rest meanwhile?

The rules of this model: no lower finger stands on a higher fret; one finger may take several notes
only if they are neighbours in one fret (a barre); the thumb is used only where it is written; a
finger leaves its own fret by one fret at most.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations_with_replacement
from typing import NamedTuple

from lickwright.neck.hold import THUMB, Hold

_REACH_OUT = 1  # frets that a finger may leave its own


class Stop(NamedTuple):
    """A place to be held down. `finger`: 1 to 4 or THUMB if it is given, else None."""

    string: int
    fret: int
    finger: int | None = None


def rising_fingers(stops: Sequence[Stop]) -> Iterator[tuple[int, ...]]:
    """Every choice of fingers for `stops`, which are sorted by fret."""
    yield from _rising(stops, (), 0)


def _rising(
    stops: Sequence[Stop], chosen: tuple[int, ...], below: int
) -> Iterator[tuple[int, ...]]:
    """`below`: the highest finger on lower frets than the one that is being filled."""
    at = len(chosen)
    if at == len(stops):
        yield chosen
        return
    new_fret = at > 0 and stops[at].fret != stops[at - 1].fret
    if new_fret:
        below = max(below, *chosen)
    for finger in _open_to(stops, chosen, below):
        yield from _rising(stops, (*chosen, finger), below)


def _open_to(stops: Sequence[Stop], chosen: tuple[int, ...], below: int) -> Iterator[int]:
    at = len(chosen)
    given = stops[at].finger
    if given is not None:
        if given == THUMB or given > below:
            yield given
        return
    used = {chosen[i] for i in range(at - 1) if stops[i].fret == stops[at].fret}
    last = chosen[-1] if at else None
    for finger in range(below + 1, 5):
        if finger == last or finger not in used:
            yield finger


def strained_fingers(stops: Sequence[Stop]) -> Iterator[tuple[int, ...]]:
    """Choices for `stops`, sorted by fret, that no hand can play: a finger may be in two frets."""
    given = [stop.finger for stop in stops]
    for rising in combinations_with_replacement(range(1, 5), len(stops)):
        yield tuple(f if g is None else g for f, g in zip(rising, given, strict=True))


def positions(holds: Sequence[Hold]) -> range:
    """Where the hand may rest: one fret around where each finger would stand on its own fret.

    Position 0, anywhere, if it holds nothing.
    """
    homes = [hold.fret - max(0, hold.finger - 1) for hold in holds if hold.finger >= THUMB]
    if not homes:
        return range(1)
    return range(max(1, min(homes) - _REACH_OUT), max(1, max(homes) + _REACH_OUT) + 1)
