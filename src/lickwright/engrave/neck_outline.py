"""What is the outline of a label, as one shape that can be filled or cut out of another?

A font's letters may be built of parts that overlap. A label cut out of a filled shape needs the
outline of the whole: of all edges, cut where they cross, those with ink on exactly one side.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cache
from io import BytesIO
from itertools import pairwise
from math import floor, hypot

from lickwright.engrave.faces import Cut, font_bytes

LABEL_CUT = Cut.SANS_SEMIBOLD
_STEPS = 4  # straight pieces that stand for one curve of a letter
_SIDE = 0.05  # font units off an edge where the ink is looked for
Point = tuple[float, float]
Edge = tuple[Point, Point]
Ring = tuple[Point, ...]  # closed: the last point is joined to the first

# ♭ and ♯ bolder than in the text font, where they would vanish as white on black at this size.
# Thousandths of an em, y upward; one path may cover another.
_SHARP_BAR = ((25, 0), (405, 75), (405, 185), (25, 110))
_SIGNS: dict[str, tuple[float, tuple[Ring, ...]]] = {
    "♯": (
        430,
        (
            ((105, -60), (182, -60), (182, 660), (105, 660)),
            ((248, 0), (325, 0), (325, 720), (248, 720)),
            tuple((x, y + 115) for x, y in _SHARP_BAR),
            tuple((x, y + 355) for x, y in _SHARP_BAR),
        ),
    ),
}
_FLAT_BOWL = ((135, 330), (205, 415), (360, 415), (360, 270), (360, 150), (215, 75), (55, -45))
_FLAT_HOLE = ((135, 80), (205, 135), (252, 190), (252, 260), (252, 335), (180, 325), (135, 240))


@cache
def label_outline(text: str) -> tuple[float, tuple[Ring, ...]]:
    """Width and rings of a text for a font size of 1, y downward, baseline at 0.

    To be filled by the even-odd rule. Characters that the font has not are left out.
    """
    x, rings = 0.0, []
    for char in text:
        advance, own = _char(char)
        rings += [tuple((x + px / 1000, -py / 1000) for px, py in ring) for ring in own]
        x += advance / 1000
    return x, tuple(rings)


@cache
def _char(char: str) -> tuple[float, tuple[Ring, ...]]:
    """Advance and clean rings of one character, thousandths of an em."""
    if char == "♭":
        return 385, _flat()
    advance, rings = _SIGNS[char] if char in _SIGNS else _font_char(char)
    return advance, united(rings)


def _flat() -> tuple[Ring, ...]:
    outer = ((55, 760), (135, 760), *_curves(_FLAT_BOWL))
    return outer, _curves(_FLAT_HOLE)


def _curves(points: Ring) -> Ring:
    """The straight pieces of cubic curves, end to end."""
    found = [points[0]]
    for i in range(1, len(points) - 2, 3):
        p0, (p1, p2, p3) = found[-1], points[i : i + 3]
        for step in range(1, 9):
            t = step / 8
            u = 1 - t
            a, b, c, d = u**3, 3 * u * u * t, 3 * u * t * t, t**3
            found.append((a * p0[0] + b * p1[0] + c * p2[0] + d * p3[0],
                          a * p0[1] + b * p1[1] + c * p2[1] + d * p3[1]))  # fmt: skip
    return tuple(found)


def _font_char(char: str) -> tuple[float, tuple[Ring, ...]]:
    """Advance and rings of a character in the label font, thousandths of an em."""
    from fontTools.pens.recordingPen import DecomposingRecordingPen  # noqa: PLC0415

    font, glyphs, names = _font()
    name = names.get(ord(char))
    if name is None:
        return 0, ()
    pen = DecomposingRecordingPen(glyphs)
    glyphs[name].draw(pen)
    scale = 1000 / font["head"].unitsPerEm
    rings: list[list[Point]] = []
    for order, arguments in pen.value:
        _follow(rings, order, arguments)
    return font["hmtx"][name][0] * scale, tuple(
        tuple((x * scale, y * scale) for x, y in ring) for ring in rings
    )


@cache
def _font():  # type: ignore[no-untyped-def]
    from fontTools.ttLib import TTFont  # noqa: PLC0415

    font = TTFont(BytesIO(font_bytes(LABEL_CUT)), lazy=True)
    return font, font.getGlyphSet(), font.getBestCmap()


def _follow(rings: list[list[Point]], order: str, points: tuple[Point, ...]) -> None:
    """Add one order of the pen to the rings, curves in straight pieces."""
    if order == "moveTo":
        rings.append([points[0]])
    elif order == "lineTo":
        rings[-1].append(points[0])
    elif order == "qCurveTo":
        *middle, end = points
        joints = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in pairwise(middle)]
        for control, goal in zip(middle, [*joints, end], strict=True):
            start = rings[-1][-1]
            for step in range(1, _STEPS + 1):
                rings[-1].append(_quadratic(start, control, goal, step / _STEPS))


def _quadratic(p0: Point, p1: Point, p2: Point, t: float) -> Point:
    a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t * t
    return a * p0[0] + b * p1[0] + c * p2[0], a * p0[1] + b * p1[1] + c * p2[1]


def winding(point: Point, rings: Iterable[Ring]) -> int:
    """How often the rings run around a point; 0 outside."""
    x, y = point
    total = 0
    for ring in rings:
        for (x0, y0), (x1, y1) in _edges(ring):
            if (y0 <= y) != (y1 <= y) and x0 + (y - y0) * (x1 - x0) / (y1 - y0) > x:
                total += 1 if y1 > y0 else -1
    return total


def _edges(ring: Ring) -> list[Edge]:
    return [(a, b) for a, b in pairwise((*ring, ring[0])) if a != b]


def united(rings: tuple[Ring, ...]) -> tuple[Ring, ...]:
    """The outline of everything the rings run around, without inner edges.

    Rings that do not cross are returned as they are.
    """
    edges = [edge for ring in rings for edge in _edges(ring)]
    cuts = {index: {0.0, 1.0} for index in range(len(edges))}
    for i, one in enumerate(edges):
        for j in range(i):
            crossing = _crossing(one, edges[j])
            if crossing is not None:
                cuts[i].add(crossing[0])
                cuts[j].add(crossing[1])
    if all(len(found) == 2 for found in cuts.values()):
        return rings
    kept = [
        piece
        for index, edge in enumerate(edges)
        for piece in _pieces(edge, sorted(cuts[index]))
        if _on_the_border(piece, lambda point: winding(point, rings) != 0)
    ]
    return _chained(kept)


def _crossing(one: Edge, other: Edge) -> tuple[float, float] | None:
    """Shares of both edges at which they cross inside each other; None if they do not."""
    (ax, ay), (bx, by) = one
    (cx, cy), (dx, dy) = other
    across = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx)
    if abs(across) < 1e-9:
        return None
    s = ((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx)) / across
    t = ((cx - ax) * (by - ay) - (cy - ay) * (bx - ax)) / across
    ends = 1e-9
    if not (-ends <= s <= 1 + ends and -ends <= t <= 1 + ends):
        return None
    if min(s, 1 - s) < 1e-6 and min(t, 1 - t) < 1e-6:
        return None  # they only meet end to end
    return s, t


def _pieces(edge: Edge, shares: list[float]) -> list[Edge]:
    (ax, ay), (bx, by) = edge
    points = [(round(ax + s * (bx - ax), 3), round(ay + s * (by - ay), 3)) for s in shares]
    return [(a, b) for a, b in pairwise(points) if a != b]


def _on_the_border(edge: Edge, inked: Callable[[Point], bool]) -> bool:
    (ax, ay), (bx, by) = edge
    length = hypot(bx - ax, by - ay)
    off_x, off_y = (ay - by) / length * _SIDE, (bx - ax) / length * _SIDE
    mid_x, mid_y = (ax + bx) / 2, (ay + by) / 2
    return inked((mid_x + off_x, mid_y + off_y)) != inked((mid_x - off_x, mid_y - off_y))


def _chained(edges: list[Edge]) -> tuple[Ring, ...]:
    """Edges joined into rings; each runs in its own direction, as in the paths it comes from."""
    after: dict[tuple[int, int], list[Point]] = {}
    for start, end in edges:
        after.setdefault(_key(start), []).append(end)
    rings = []
    while after:
        first = next(iter(after))
        ring, here = [], first
        while here in after:
            end = after[here].pop()
            if not after[here]:
                del after[here]
            ring.append(end)
            here = _key(end)
        rings.append(tuple(ring))
    return tuple(rings)


def _key(point: Point) -> tuple[int, int]:
    """The same for two points that differ only by rounding."""
    return floor(point[0] * 20 + 0.5), floor(point[1] * 20 + 0.5)
