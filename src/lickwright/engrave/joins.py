"""How are numbers of one string joined: hammer-ons, pull-offs, taps, slides?"""

from __future__ import annotations

from lickwright.engrave.canvas import Canvas
from lickwright.engrave.ink import Pen, num
from lickwright.engrave.skyline import Box
from lickwright.engrave.tokens import Token
from lickwright.phrase import Entry, LinkKind, Note

SLIDE = Pen(0.15, "slide")
SLANT = 0.38  # how far a slide's ends stand above and below the line
ARC_AIR = 0.85  # from the line to the ends of an arc
LEAST_ARC = 1.2  # length of one that keeps clear of the numbers above its ends
SLIDE_LENGTH = 1.25
BREAK_ROOM = 1.8  # length of an open half at a system's edge


def draw_entry(canvas: Canvas, token: Token, x: float) -> None:
    """A slide into a number from nowhere."""
    if token.note.entry not in (Entry.FROM_BELOW, Entry.FROM_ABOVE):
        return
    right = x - token.half - 0.2
    _slant(canvas, right - SLIDE_LENGTH, right, token.note, up=token.note.entry is Entry.FROM_BELOW)


def draw_off(canvas: Canvas, token: Token, x: float) -> None:
    """A slide away to nowhere."""
    off = token.note.off
    if off is None:
        return
    left = canvas.exits.get(token.note.id, x + token.half) + 0.2
    if off.start is not None:
        left = max(left, canvas.places.x(off.start) - 0.3)
    _slant(canvas, left, left + SLIDE_LENGTH, token.note, up=off.up)


def draw_link(canvas: Canvas, before: Note, token: Token, x: float) -> None:
    """What joins a number to the one before it on its string."""
    link = token.note.link
    assert link is not None
    y = canvas.line(token.note.string)
    known = canvas.tokens.get(before.id)
    if known is None:
        left = max(canvas.places.xs[0] - 2.4, x - token.half - BREAK_ROOM)
        start, centre = left, left
    else:
        start = canvas.exits.get(before.id, known[1] + known[0].half)
        centre = start - 0.4 if before.id in canvas.exits else known[1]
    if link.slide:
        if link.start is not None and canvas.places.holds(link.start):
            start = max(start, canvas.places.x(link.start))
        up = link.kind is LinkKind.SLIDE_UP
        _slant(canvas, start + 0.2, x - token.half - 0.2, token.note, up=up)
    else:
        aside = upper_half(canvas, before, centre), upper_half(canvas, token.note, x)
        draw_arc(canvas, *arc_ends((centre, x), aside), y - ARC_AIR)


def arc_ends(centres: tuple[float, float], aside: tuple[float, float]) -> tuple[float, float]:
    """Ends of an arc between two numbers, moved `aside` inward if it does not get too short."""
    left, right = centres[0] + aside[0], centres[1] - aside[1]
    return (left, right) if right - left > LEAST_ARC else centres


def upper_half(canvas: Canvas, note: Note, x: float) -> float:
    """Half the width of a number at `x` on the next thinner string; 0 if there is none."""
    above = [
        token.half
        for token, at in canvas.tokens.values()
        if token.note.string == note.string - 1 and abs(at - x) < token.half
    ]
    return max(above, default=0.0)


def draw_open_link(canvas: Canvas, token: Token, x: float, after: Note) -> None:
    """The first half of a join whose goal stands on the next system."""
    link = after.link
    assert link is not None
    left = canvas.exits.get(token.note.id, x + token.half) + 0.2
    right = canvas.places.edges[-1][1] - 0.3
    if link.slide:
        _slant(canvas, left, right, token.note, up=link.kind is LinkKind.SLIDE_UP)
    else:
        draw_arc(canvas, x, right, canvas.line(token.note.string) - ARC_AIR)


def _slant(canvas: Canvas, left: float, right: float, note: Note, *, up: bool) -> None:
    y = canvas.line(note.string)
    rise = SLANT if up else -SLANT
    right = max(right, left + 0.5)
    canvas.ink.line((left, y + rise), (right, y - rise), SLIDE)


def draw_arc(canvas: Canvas, x0: float, x1: float, y: float) -> None:
    """A bow above two numbers."""
    inset = 0.1
    path, box = bow((x0 + inset, max(x1 - inset, x0 + inset + 0.8)), y, up=True)
    canvas.ink.fill(path, box, kind="arc")
    canvas.above.add(box)


def bow(ends: tuple[float, float], y: float, *, up: bool) -> tuple[str, Box]:
    """Path and ink of a bow between two x at a height, thicker in the middle."""
    x0, x1 = ends
    length = x1 - x0
    way = -1 if up else 1
    height = min(0.55 + 0.04 * length, 1.0)
    thick = 0.22
    a, b = x0 + length * 0.25, x1 - length * 0.25
    # A cubic curve reaches three quarters of the way to its two middle points.
    outer, inner = y + way * height / 0.75, y + way * (height - thick) / 0.75
    path = (
        f"M{num(x0)} {num(y)}C{num(a)} {num(outer)} {num(b)} {num(outer)} {num(x1)} {num(y)}"
        f"C{num(b)} {num(inner)} {num(a)} {num(inner)} {num(x0)} {num(y)}z"
    )
    return path, Box(x0, min(y, y + way * height), x1, max(y, y + way * height))
