"""Which fingers take a chord shape?"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from lickwright.neck.choices import Stop, positions, rising_fingers
from lickwright.neck.geometry import Neck
from lickwright.neck.hand import HandSize, Press
from lickwright.neck.hold import OPEN, HandState, Hold, hold_costs, presses, sound_shape
from lickwright.neck.pattern import Place


@dataclass(frozen=True, slots=True)
class ShapeFingering:
    """Fingers for one shape. `position`: fret of the first finger at rest; `cost` in points."""

    presses: tuple[Press, ...]
    position: int
    cost: float


def finger_shape(
    places: Iterable[Place], neck: Neck, size: HandSize = HandSize.AVERAGE
) -> ShapeFingering | None:
    """The cheapest fingering of notes held together; None if no hand holds them.

    Places at fret 0 are open strings and take no finger.
    """
    wanted = sorted(set(places), key=lambda place: (place.fret, -place.string))
    idle = tuple(Hold(i, p.string, 0, OPEN) for i, p in enumerate(wanted) if p.fret == 0)
    held = [place for place in wanted if place.fret > 0]
    best: ShapeFingering | None = None
    for fingers in rising_fingers([Stop(place.string, place.fret) for place in held]):
        holds = tuple(
            Hold(len(idle) + i, place.string, place.fret, finger)
            for i, (place, finger) in enumerate(zip(held, fingers, strict=True))
        )
        if sound_shape(idle + holds, neck, size):
            found = _cheapest(idle + holds, neck, size)
            best = found if best is None or found.cost < best.cost else best
    return best


def _cheapest(holds: tuple[Hold, ...], neck: Neck, size: HandSize) -> ShapeFingering:
    struck = frozenset(hold.note for hold in holds)
    priced = [
        (sum(points for _, points in hold_costs(HandState(p, holds), struck, neck, size)), p)
        for p in positions(holds)
    ]
    cost, position = min(priced)
    return ShapeFingering(presses(holds), position, cost)
