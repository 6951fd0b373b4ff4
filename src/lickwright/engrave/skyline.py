"""Where is room above what is already drawn?"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple


class Box(NamedTuple):
    """A rectangle of ink in sp, y downward."""

    x0: float
    y0: float
    x1: float
    y1: float

    def moved(self, dx: float, dy: float) -> Box:
        """The same box elsewhere."""
        return Box(self.x0 + dx, self.y0 + dy, self.x1 + dx, self.y1 + dy)

    def overlaps(self, other: Box) -> bool:
        """True if the two share an area."""
        return (
            self.x0 < other.x1 and other.x0 < self.x1 and self.y0 < other.y1 and other.y0 < self.y1
        )


class Skyline:
    """Boxes that later marks have to keep clear of."""

    def __init__(self, boxes: Iterable[Box] = ()) -> None:
        self.boxes = list(boxes)

    def add(self, box: Box) -> None:
        """Take up room."""
        self.boxes.append(box)

    def up(self, x0: float, x1: float, height: float, start: float, air: float = 0.25) -> float:
        """Lowest y at which a mark's lower edge is free, from `start` upward."""
        y = start
        near = sorted(
            (b for b in self.boxes if b.x0 < x1 + air and x0 - air < b.x1), key=lambda b: -b.y1
        )
        moved = True
        while moved:
            moved = False
            for box in near:
                if box.y0 - air < y and y - height - air < box.y1:
                    y = box.y0 - air
                    moved = True
        return y

    def top(self, x0: float, x1: float, default: float) -> float:
        """Least y of all boxes between two x, or the default if that is less."""
        return min([default, *(b.y0 for b in self.boxes if b.x0 < x1 and x0 < b.x1)])


def clearance(upper: Iterable[Box], lower: Iterable[Box], air: float) -> float:
    """How far `lower` has to be moved down to keep clear of `upper` wherever they share an x.

    The answer may be below zero: lower boxes may be moved up so far.
    """
    below = sorted(lower)
    need = float("-inf")
    for box in upper:
        for other in below:
            if other.x0 >= box.x1:
                break
            if other.x1 > box.x0:
                need = max(need, box.y1 + air - other.y0)
    return need
