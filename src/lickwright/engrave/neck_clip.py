"""Which parts of a straight line stay clear of discs and boxes?

Points and lengths are in sp.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import hypot, sqrt

from lickwright.engrave.skyline import Box

Point = tuple[float, float]
Share = tuple[float, float]  # from and to, as shares of a line from 0 to 1


def in_disc(start: Point, end: Point, centre: Point, radius: float) -> Share | None:
    """The part of a line inside a disc; None if it misses it.

    Source: |start + t (end - start) - centre| = radius, a quadratic equation in t.
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    fx, fy = start[0] - centre[0], start[1] - centre[1]
    a, b, c = dx * dx + dy * dy, 2 * (fx * dx + fy * dy), fx * fx + fy * fy - radius * radius
    inside = b * b - 4 * a * c
    if a == 0 or inside <= 0:
        return None
    root = sqrt(inside)
    return _within((-b - root) / (2 * a), (-b + root) / (2 * a))


def in_box(start: Point, end: Point, box: Box) -> Share | None:
    """The part of a line inside a box; None if it misses it."""
    low, high = 0.0, 1.0
    for at, way, least, most in (
        (start[0], end[0] - start[0], box.x0, box.x1),
        (start[1], end[1] - start[1], box.y0, box.y1),
    ):
        if abs(way) < 1e-9:
            if not least < at < most:
                return None
            continue
        one, other = sorted(((least - at) / way, (most - at) / way))
        low, high = max(low, one), min(high, other)
    return _within(low, high) if low < high else None


def _within(low: float, high: float) -> Share | None:
    low, high = max(0.0, low), min(1.0, high)
    return (low, high) if low < high else None


def clear_parts(
    line: tuple[Point, Point], discs: Iterable[tuple[Point, float]], boxes: Iterable[Box]
) -> list[tuple[Point, Point]]:
    """The parts of a line outside all discs and boxes, the shortest left out."""
    start, end = line
    hidden = [part for centre, radius in discs if (part := in_disc(start, end, centre, radius))]
    hidden += [part for box in boxes if (part := in_box(start, end, box))]
    length = hypot(end[0] - start[0], end[1] - start[1])
    found, at = [], 0.0
    for low, high in [*sorted(hidden), (1.0, 1.0)]:
        if (low - at) * length > 0.2:
            found.append((_on(start, end, at), _on(start, end, low)))
        at = max(at, high)
    return found


def _on(start: Point, end: Point, share: float) -> Point:
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])
