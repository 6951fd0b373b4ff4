"""How large is the ink of an SVG path?"""

from __future__ import annotations

import re
from collections.abc import Sequence
from math import sqrt

_NUMBERS = re.compile(r"-?\d+(?:\.\d+)?")


def numbers(text: str) -> list[float]:
    """All numbers in a path or list of points that uses only absolute coordinates."""
    return [float(found) for found in _NUMBERS.findall(text)]


def path_extent(data: str) -> tuple[float, float, float, float]:
    """x0, y0, x1, y1 of a path made of M, L and C with absolute coordinates."""
    values = numbers(data)
    points = list(zip(values[::2], values[1::2], strict=True))
    if "C" not in data:
        return _extent([p[0] for p in points], [p[1] for p in points])
    xs, ys = [points[0][0]], [points[0][1]]
    start = points[0]
    for i in range(1, len(points) - 2, 3):
        curve = (start, *points[i : i + 3])
        xs += curve_extremes(*(p[0] for p in curve))
        ys += curve_extremes(*(p[1] for p in curve))
        start = points[i + 2]
    return _extent(xs, ys)


def _extent(xs: Sequence[float], ys: Sequence[float]) -> tuple[float, float, float, float]:
    return min(xs), min(ys), max(xs), max(ys)


def curve_extremes(p0: float, p1: float, p2: float, p3: float) -> list[float]:
    """Least and greatest values of a cubic Bézier curve along one axis.

    Source: the derivative 3(1-t)²(p1-p0) + 6(1-t)t(p2-p1) + 3t²(p3-p2) is zero there.
    """
    a = p3 - 3 * p2 + 3 * p1 - p0
    b = 2 * (p2 - 2 * p1 + p0)
    c = p1 - p0
    values = [p0, p3]
    for t in _roots(a, b, c):
        if 0 < t < 1:
            u = 1 - t
            values.append(u**3 * p0 + 3 * u * u * t * p1 + 3 * u * t * t * p2 + t**3 * p3)
    return [min(values), max(values)]


def _roots(a: float, b: float, c: float) -> list[float]:
    if abs(a) < 1e-9:
        return [-c / b] if abs(b) > 1e-9 else []
    inside = b * b - 4 * a * c
    if inside < 0:
        return []
    return [(-b + sqrt(inside)) / (2 * a), (-b - sqrt(inside)) / (2 * a)]
