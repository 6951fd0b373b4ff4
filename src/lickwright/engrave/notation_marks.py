"""What do we draw into verovio's notation: pointed bend lines, slide lines?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from lickwright.engrave.glyphs import HEAD_WIDTH
from lickwright.engrave.ink import Ink, Pen, num
from lickwright.engrave.joins import bow
from lickwright.engrave.notation import Head, NotationSystem
from lickwright.engrave.sent import Sent
from lickwright.engrave.skyline import Box
from lickwright.phrase import Entry

POINT = 1.1  # height of the pointed line
AIR = 0.45


def draw_notation_marks(ink: Ink, system: NotationSystem, sent: Sent) -> None:
    """Add bend lines and slides to the heads of one system."""
    boxes = [mark.box for mark in system.marks if mark.kind not in ("staff", "slur", "tie")]
    _draw_bends(ink, _bends(system, sent), boxes)
    _cut_bows(ink, system, sent)
    for first, second, way in sent.inside:
        a, b = system.heads.get(first), system.heads.get(second)
        if a is not None and b is not None:
            _slide(ink, a, b, up=way == "/")
    _draw_entries(ink, system, sent)
    _draw_offs(ink, system, sent)


def _draw_entries(ink: Ink, system: NotationSystem, sent: Sent) -> None:
    """Slides into first heads from nowhere."""
    for element, head in sent.heads.items():
        place, entry = system.heads.get(element), head.note.entry
        slid = entry in (Entry.FROM_BELOW, Entry.FROM_ABOVE)
        if place is not None and slid and not (head.tie_in or head.stage):
            rise = 0.45 if entry is Entry.FROM_BELOW else -0.45
            x = place.left - 0.2
            _line(ink, x - 1.1, place.y + rise, x, place.y - rise * 0.4)


def _draw_offs(ink: Ink, system: NotationSystem, sent: Sent) -> None:
    """Slides from last heads away to nowhere."""
    last = {head.note.id: (element, head.note.off) for element, head in sent.heads.items()}
    for element, off in last.values():
        place = system.heads.get(element)
        if place is not None and off is not None:
            rise = 0.45 if off.up else -0.45
            x = place.x + HEAD_WIDTH / 2 + 0.25
            _line(ink, x, place.y + rise * 0.4, x + 1.2, place.y - rise)


def _line(ink: Ink, x0: float, y0: float, x1: float, y1: float) -> None:
    ink.line((x0, y0), (x1, y1), Pen(0.14, "slide"))


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


@dataclass(frozen=True, slots=True)
class _Bend:
    """Two heads joined by a bend: centres, highest and lowest y; `cut`: no head at this end."""

    x0: float
    x1: float
    top: float
    low: float
    cut: Literal["", "left", "right"] = ""


def _bends(system: NotationSystem, sent: Sent) -> list[_Bend]:
    """Bends from left to right, of those side by side the highest first."""
    found = []
    for first, second in sent.bends:
        a, b = system.heads.get(first), system.heads.get(second)
        if a is not None and b is not None:
            found.append(_Bend(a.x, b.x, min(a.y, b.y), max(a.y, b.y)))
        elif a is not None:
            found.append(_Bend(a.x, max(system.right - 0.2, a.x + 1), a.y, a.y, "right"))
        elif b is not None:
            found.append(_Bend(max(b.x - 2.4, 0.0), b.x, b.y, b.y, "left"))
    return sorted(found, key=lambda bend: (bend.x1, bend.top))


def _draw_bends(ink: Ink, bends: list[_Bend], boxes: list[Box]) -> None:
    """A pointed line over the heads, or under them; of two together one over and one under."""
    taken: list[Box] = []
    for bend in bends:
        over, under = _sides(bend, boxes)
        mine = (bend.x0 + 0.1, bend.x1 - 0.1)
        beside = [box for box in taken if box.x0 < mine[1] and mine[0] < box.x1]
        if len(beside) > 1:
            continue  # a third one has no side left; the two show what happens
        up = bool(bend.cut) or bend.top - over <= under - bend.low
        if beside:
            up = beside[0].y0 > bend.top
        y = over - AIR if up else under + AIR
        taken.append(_angle(ink, bend, y, -POINT if up else POINT))


def _cut_bows(ink: Ink, system: NotationSystem, sent: Sent) -> None:
    """First halves of ties and slurs over a break, where verovio has left them out."""
    for own, first, second in sent.bows:
        a = system.heads.get(first)
        if a is not None and second not in system.heads and own not in system.bows:
            low = a.y >= 2
            y = a.y + (0.9 if low else -0.9)
            path, box = bow((a.x, max(system.right - 0.1, a.x + 0.8)), y, up=not low)
            ink.fill(path, box, kind="bow")


def _sides(bend: _Bend, boxes: list[Box]) -> tuple[float, float]:
    """The nearest y over and under both heads that is clear of all other ink there."""
    near = [box for box in boxes if box.x0 < bend.x1 + 0.3 and bend.x0 - 0.3 < box.x1]
    over = min([bend.top - 0.6, *(box.y0 for box in near)])
    return over, max([bend.low + 0.6, *(box.y1 for box in near)])


def _angle(ink: Ink, bend: _Bend, y: float, rise: float) -> Box:
    """A line with its point in the middle; half of one if the bend is cut."""
    points = [(bend.x0, y), ((bend.x0 + bend.x1) / 2, y + rise), (bend.x1, y)]
    if bend.cut == "right":
        points = [(bend.x0, y), (bend.x1, y + rise)]
    elif bend.cut == "left":
        points = [(bend.x0, y + rise), (bend.x1, y)]
    path = "M" + "L".join(f"{num(px)} {num(py)}" for px, py in points)
    box = Box(bend.x0, min(y, y + rise), bend.x1, max(y, y + rise))
    return ink.stroke(path, box, 0.13, kind="bend")
