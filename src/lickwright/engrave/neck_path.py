"""How is the way of a phrase shown on the neck: order of the notes, lines between them, bends?"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise, product
from math import hypot

from lickwright.engrave.bends import amount_text
from lickwright.engrave.faces import Cut, text_width
from lickwright.engrave.ink import CAP_HEIGHT, Lettering, Mark, Pen, clean, num
from lickwright.engrave.neck_clip import clear_parts
from lickwright.engrave.neck_shapes import label_path
from lickwright.engrave.neck_sheet import Sheet
from lickwright.engrave.neck_spec import Bent, NeckSpec, Spot, Tone, Visit
from lickwright.engrave.skyline import Box

ORDER_SIZE = 1.35
ORDER_LINE = 1.25
ORDER_AIR = 0.3  # between a dot and the numbers under it
ORDER_BETWEEN = 0.55  # between two numbers
ORDER_ROOM = 4.4  # width of a line of numbers, sp
MOST_LINES = 3
WAY = Pen(0.2, "way", opacity=0.5)
WAY_AIR = 0.2  # between the way and what it is broken for
TARGET = 0.84  # radius of the dashed ring at a bend's pitch, in dots


@dataclass(frozen=True, slots=True)
class _Word:
    """One number, or a row of following ones, and the notes that it stands for."""

    text: str
    notes: tuple[str, ...]

    @property
    def width(self) -> float:
        return text_width(self.text, Cut.SANS, ORDER_SIZE)


def order_lines(visits: tuple[Visit, ...]) -> list[list[_Word]]:
    """The numbers under a dot in lines; what does not fit is told by a last sign …"""
    lines: list[list[_Word]] = []
    room = 0.0
    for word in _words(visits):
        if not lines or word.width > room:
            lines.append([])
            room = ORDER_ROOM
        lines[-1].append(word)
        room -= word.width + ORDER_BETWEEN
    if len(lines) > MOST_LINES:
        lines = lines[:MOST_LINES]
        lines[-1][-1] = _Word("…", ())
    return lines


def _words(visits: tuple[Visit, ...]) -> list[_Word]:
    """Three or more following numbers are drawn together: 4–6."""
    notes: defaultdict[int, list[str]] = defaultdict(list)
    for visit in visits:
        notes[visit.order].append(visit.note)
    runs: list[list[int]] = []
    for order in sorted(notes):
        if runs and order == runs[-1][-1] + 1:
            runs[-1].append(order)
        else:
            runs.append([order])
    found = []
    for run in runs:
        if len(run) > 2:
            own = tuple(note for order in run for note in notes[order])
            found.append(_Word(f"{run[0]}–{run[-1]}", own))
        else:
            found += [_Word(str(order), tuple(notes[order])) for order in run]
    return found


def orders_height(spec: NeckSpec) -> float:
    """Room that the numbers need under a dot, sp."""
    if spec.worksheet:
        return 0.0
    most = max((len(order_lines(s.visits)) for s in spec.spots if s.visits), default=0)
    return ORDER_AIR + most * ORDER_LINE if most else 0.0


def draw_orders(sheet: Sheet) -> None:
    """The small numbers under the dots."""
    radius = sheet.layout.sizes.radius
    for spot in sheet.spec.spots:
        x, y = sheet.centre(spot)
        base = y + radius + ORDER_AIR + CAP_HEIGHT * ORDER_SIZE
        for index, line in enumerate(order_lines(spot.visits)):
            _order_line(sheet, line, x, base + index * ORDER_LINE)


def _order_line(sheet: Sheet, line: list[_Word], x: float, y: float) -> None:
    width = sum(word.width for word in line) + ORDER_BETWEEN * (len(line) - 1)
    at = sheet.x(x) - width / 2  # read from left to right on a mirrored neck too
    for word in line:
        opening = [f'<g data-note="{clean(note)}">' for note in word.notes]
        sheet.ink.parts.append("".join(opening))
        look = Lettering(ORDER_SIZE, kind="order", anchor="start")
        box = sheet.ink.text(at, y, word.text, look)
        sheet.ink.parts.append("</g>" * len(opening))
        ends = sorted((sheet.x(box.x0), sheet.x(box.x1)))
        sheet.boxes.append(Box(ends[0] - 0.15, box.y0 - 0.15, ends[1] + 0.15, box.y1 + 0.15))
        at += word.width + ORDER_BETWEEN


def draw_way(sheet: Sheet) -> None:
    """Thin lines from each note's place to the next one's, each drawn once."""
    by_order: defaultdict[int, list[Spot]] = defaultdict(list)
    for spot in sheet.spec.spots:
        for visit in spot.visits:
            by_order[visit.order].append(spot)
    discs = [(centre, half + WAY_AIR) for centre, half in sheet.holes.items()]
    done = set()
    for order, after in pairwise(sorted(by_order)):
        ends = _nearest(sheet, by_order[order], by_order[after])
        if frozenset(ends) in done or ends[0] == ends[1]:
            continue
        done.add(frozenset(ends))
        for start, end in clear_parts(ends, discs, sheet.boxes):
            sheet.line(start, end, WAY)


def _nearest(
    sheet: Sheet, before: list[Spot], after: list[Spot]
) -> tuple[tuple[float, float], tuple[float, float]]:
    """The two places, one of each group of notes struck together, that are nearest."""
    pairs = [(sheet.centre(one), sheet.centre(other)) for one, other in product(before, after)]
    return min(pairs, key=lambda p: hypot(p[0][0] - p[1][0], p[0][1] - p[1][1]))


def draw_bends(sheet: Sheet) -> None:
    """An arrow over the string from each bent note to the place that sounds like its goal."""
    for bent in sheet.spec.bends:
        opening = [f'<g data-note="{clean(note)}">' for note in bent.notes]
        sheet.ink.parts.append("".join(opening))
        with sheet.ink.group({"class": "bend"}):
            _bend(sheet, bent)
        sheet.ink.parts.append("</g>" * len(opening))


def _bend(sheet: Sheet, bent: Bent) -> None:
    radius, place = sheet.layout.sizes.radius, bent.place
    stretch = sheet.layout.stretch_of(place.fret)
    y = sheet.layout.string_y(stretch, place.string)
    start = stretch.x(place.fret)
    goal = stretch.x(float(place.fret + min(bent.semitones, Fraction(stretch.last - place.fret))))
    if bent.target is None:
        _short_arrow(sheet, start, goal, y - radius, amount_text(bent.semitones))
        return
    fretted = {spot.place for spot in sheet.spec.spots}
    half = radius
    if bent.target not in fretted:
        half = TARGET * radius
        if (goal, y) not in sheet.holes:
            _target(sheet, bent, goal, y)
            sheet.holes[goal, y] = half + 0.12
    _arrow(sheet, (start + 0.25, y - radius - 0.12), (goal - 0.1, y - half - 0.12), rise=1.55)


def _target(sheet: Sheet, bent: Bent, x: float, y: float) -> None:
    """A dashed ring: a pitch that is heard there, but not fretted."""
    sizes = sheet.layout.sizes
    cx, half = sheet.x(x), TARGET * sizes.radius
    r, inner = num(half - 0.07), num(2 * (half - 0.07))
    path = f"M{num(cx - half + 0.07)} {num(y)}a{r} {r} 0 1 1 {inner} 0a{r} {r} 0 1 1 -{inner} 0z"
    sheet.ink.parts.append(
        f'<path d="{path}" fill="none" stroke="currentColor" stroke-width="0.13" '
        'stroke-dasharray="0.42 0.3"/>'
    )
    sheet.ink.marks.append(Mark("target", Box(cx - half, y - half, cx + half, y + half)))
    spot = Spot(bent.place, Tone.SCALE, bent.degree, bent.name)
    letters = label_path(Tone.SCALE, spot.label(sheet.spec.show), sizes)
    if letters:
        sheet.ink.parts.append(
            f'<path fill-rule="evenodd" transform="translate({num(cx)} {num(y)}) '
            f'scale({num(TARGET)})" d="{letters}"/>'
        )


def _arrow(sheet: Sheet, start: tuple[float, float], end: tuple[float, float], rise: float) -> None:
    """A bow from a dot up and down again onto its goal."""
    (x0, y0), (x1, y1) = start, end
    top = min(y0, y1) - rise
    c0, c1 = x0 + 0.25 * (x1 - x0), x1 - 0.12 * (x1 - x0)
    path = (
        f"M{num(sheet.x(x0))} {num(y0)}C{num(sheet.x(c0))} {num(top)} "
        f"{num(sheet.x(c1))} {num(top)} {num(sheet.x(x1))} {num(y1 - 0.5)}"
    )
    ends = sorted((sheet.x(x0), sheet.x(x1)))
    box = Box(ends[0], min(y0, y1) - 0.75 * rise, ends[1], max(y0, y1))
    sheet.ink.stroke(path, box, 0.16, kind="bend")
    _head(sheet, x1, y1, down=True)


def _short_arrow(sheet: Sheet, x: float, goal: float, y: float, amount: str) -> None:
    """For a goal between two frets: a short arrow upward with how far it goes, in whole steps."""
    x0, x1 = x + 0.2, min(x + 0.9, goal)
    top = y - 1.2
    path = (
        f"M{num(sheet.x(x0))} {num(y - 0.12)}Q{num(sheet.x(x1))} {num(y - 0.12)} "
        f"{num(sheet.x(x1))} {num(top + 0.5)}"
    )
    ends = sorted((sheet.x(x0), sheet.x(x1)))
    sheet.ink.stroke(path, Box(ends[0], top, ends[1], y - 0.12), 0.16, kind="bend")
    _head(sheet, x1, top, down=False)
    look = Lettering(1.35, kind="amount", anchor="start")
    sheet.text(x1 + 0.45, top + CAP_HEIGHT * 1.35, amount, look)


def _head(sheet: Sheet, x: float, tip: float, *, down: bool) -> None:
    """The point of an arrow."""
    cx, back = sheet.x(x), tip - 0.75 if down else tip + 0.75
    path = f"M{num(cx)} {num(tip)}L{num(cx - 0.33)} {num(back)}L{num(cx + 0.33)} {num(back)}z"
    box = Box(cx - 0.33, min(tip, back), cx + 0.33, max(tip, back))
    sheet.ink.fill(path, box, kind="arrow")
