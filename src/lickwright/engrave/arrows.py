"""How are the curves and arrows of bends drawn, and where is there room for them?"""

from __future__ import annotations

from lickwright.engrave.canvas import Canvas
from lickwright.engrave.ink import PEN, num
from lickwright.engrave.skyline import Box

ARROW = (0.36, 0.86)  # half width and length of an arrow's head


def past_ink(canvas: Canvas, x: float, shapes: list[Box]) -> float:
    """The nearest x from `x` on at which shapes are clear of all arrows and numbers so far.

    `shapes`: ink around an x of 0.
    """
    drawn = sorted(m.box for m in canvas.ink.marks if m.kind in ("arrow", "fret"))
    clear = False
    while not clear:
        clear = True
        for box in drawn:
            for shape in shapes:
                here = shape.moved(x, 0.0)
                if here.overlaps(box) and here != box:
                    x, clear = box.x1 - shape.x0 + 0.1, False
    return x


def arrow_box(x: float, tip: float, *, up: bool) -> Box:
    """Ink of an arrow with its point at a height."""
    half, length = ARROW
    foot = tip + length if up else tip - length
    return Box(x - half, min(tip, foot), x + half, max(tip, foot))


def rise(canvas: Canvas, start: tuple[float, float], end: tuple[float, float]) -> None:
    """A curve that leaves level and arrives upright, with its arrow."""
    (x0, y0), (x1, top) = start, end
    foot = top + ARROW[1] - 0.1
    bow = x0 + (x1 - x0) * 0.75
    path = (
        f"M{num(x0)} {num(y0)}C{num(bow)} {num(y0)} {num(x1)} {num(y0 - (y0 - foot) * 0.3)} "
        f"{num(x1)} {num(foot)}"
    )
    box = Box(x0, foot, x1 + PEN / 2, y0)
    canvas.ink.stroke(path, box, kind="bend")
    arrow(canvas, x1, top, up=True)


def arrow(canvas: Canvas, x: float, tip: float, *, up: bool) -> None:
    """An arrow upright at x; equal ones are drawn once."""
    half, length = ARROW
    foot = tip + length if up else tip - length
    box = arrow_box(x, tip, up=up)
    path = (
        f"M{num(x)} {num(tip)}L{num(x - half)} {num(foot)}"
        f"Q{num(x)} {num(foot - 0.2 if up else foot + 0.2)} {num(x + half)} {num(foot)}z"
    )
    if not any(m.kind == "arrow" and m.box == box for m in canvas.ink.marks):
        canvas.ink.fill(path, box, kind="arrow")
    canvas.above.add(box)


def fall(canvas: Canvas, start: tuple[float, float], end: tuple[float, float]) -> None:
    """A curve that leaves level at the top and arrives downward, with its arrow."""
    (x0, y0), (x1, tip) = start, end
    foot = tip - ARROW[1] + 0.1
    bow = x0 + (x1 - x0) * 0.8
    path = (
        f"M{num(x0)} {num(y0)}C{num(bow)} {num(y0)} {num(x1)} {num(y0 + (foot - y0) * 0.3)} "
        f"{num(x1)} {num(foot)}"
    )
    box = Box(x0, y0, x1 + PEN / 2, foot)
    canvas.ink.stroke(path, box, kind="bend")
    canvas.above.add(Box(x0, y0 - 0.1, x1 + 0.3, min(foot, 0)))
    arrow(canvas, x1, tip, up=False)
