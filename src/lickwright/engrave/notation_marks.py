"""What do we draw into verovio's notation: pointed bend lines, slide lines?"""

from __future__ import annotations

from lickwright.engrave.glyphs import HEAD_WIDTH
from lickwright.engrave.ink import Ink, num
from lickwright.engrave.mei import Sent
from lickwright.engrave.notation import Head, NotationSystem
from lickwright.engrave.skyline import Box
from lickwright.phrase import Entry

POINT = 1.1  # height of the pointed line
AIR = 0.45


def draw_notation_marks(ink: Ink, system: NotationSystem, sent: Sent) -> None:
    """Add bend lines and slides to the heads of one system."""
    boxes = [mark.box for mark in system.marks if mark.kind not in ("staff", "slur", "tie")]
    for first, second in sent.bends:
        a, b = system.heads.get(first), system.heads.get(second)
        if a is not None and b is not None:
            _pointed(ink, a, b, boxes)
        elif a is not None:
            _pointed(ink, a, Head(system.right - 0.5, a.y, system.right - 0.5), boxes)
    for first, second, way in sent.inside:
        a, b = system.heads.get(first), system.heads.get(second)
        if a is not None and b is not None:
            _slide(ink, a, b, up=way == "/")
    for element, head in sent.heads.items():
        place = system.heads.get(element)
        if place is None or head.tie_in or head.stage:
            continue
        entry, off = head.note.entry, head.note.off
        if entry in (Entry.FROM_BELOW, Entry.FROM_ABOVE):
            rise = 0.45 if entry is Entry.FROM_BELOW else -0.45
            x = place.left - 0.2
            _line(ink, x - 1.1, place.y + rise, x, place.y - rise * 0.4)
        if off is not None and not head.tie_out:
            rise = 0.45 if off.up else -0.45
            x = place.x + HEAD_WIDTH / 2 + 0.25
            _line(ink, x, place.y + rise * 0.4, x + 1.2, place.y - rise)


def _line(ink: Ink, x0: float, y0: float, x1: float, y1: float) -> None:
    ink.line(x0, y0, x1, y1, 0.14, kind="slide")


def _slide(ink: Ink, a: Head, b: Head, *, up: bool) -> None:
    x0, x1 = a.x + 0.85, b.left - 0.25
    if x1 - x0 < 0.6:
        return
    y0, y1 = a.y, b.y
    if abs(y1 - y0) < 0.4:
        y0, y1 = (y0 + 0.3, y1 - 0.3) if up else (y0 - 0.3, y1 + 0.3)
    length = x1 - x0
    slope = max(-0.9, min(0.9, (y1 - y0) / length))
    middle = (y0 + y1) / 2
    _line(ink, x0, middle - slope * length / 2, x1, middle + slope * length / 2)


def _pointed(ink: Ink, a: Head, b: Head, boxes: list[Box]) -> None:
    """A line that points away from two heads: over them, or under them if stems go up there."""
    x0, x1 = a.x, b.x
    above = [box for box in boxes if box.x0 < x1 + 0.3 and x0 - 0.3 < box.x1]
    over = _free(above, min(a.y, b.y) - 0.6, -1)
    under = _free(above, max(a.y, b.y) + 0.6, 1)
    if min(a.y, b.y) - over <= under - max(a.y, b.y):
        _angle(ink, x0, x1, over - AIR, -POINT)
    else:
        _angle(ink, x0, x1, under + AIR, POINT)


def _free(boxes: list[Box], y: float, way: int) -> float:
    """The first y beyond all ink that touches a head's surroundings."""
    if way < 0:
        return min([y, *(box.y0 for box in boxes)])
    return max([y, *(box.y1 for box in boxes)])


def _angle(ink: Ink, x0: float, x1: float, y: float, rise: float) -> None:
    middle = (x0 + x1) / 2
    path = f"M{num(x0)} {num(y)}L{num(middle)} {num(y + rise)}L{num(x1)} {num(y)}"
    ink.stroke(path, Box(x0, min(y, y + rise), x1, max(y, y + rise)), 0.13, kind="bend")
