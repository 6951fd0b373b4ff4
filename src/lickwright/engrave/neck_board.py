"""How is the bare neck drawn: strings, frets, nut, capo, side dots, numbers and names?

The position dots stand under the neck, where a player sees them: on its edge.
"""

from __future__ import annotations

from lickwright.engrave.ink import CAP_HEIGHT, Lettering, Mark, Pen, num
from lickwright.engrave.neck_layout import STUB, Stretch, string_names
from lickwright.engrave.neck_sheet import Sheet
from lickwright.engrave.skyline import Box
from lickwright.engrave.style import ROW_SIZE

# Common practice, no source: the frets that carry position dots, counted from the nut.
ONE_DOT = frozenset({3, 5, 7, 9, 15, 17, 19, 21, 27, 29, 31, 33})
TWO_DOTS = frozenset({12, 24, 36})
DOT = 0.27
DOT_AIR = 0.95  # from what stands under the thickest string to the middle of the side dots
NUMBER_DROP = 2.55  # from there to the baseline of the numbers
NUMBER_SIZE = 1.75
THIN, THICK = 0.08, 0.2  # of the thinnest and the thickest string
SILENT = 0.5  # half of a cross
NUT = Pen(0.45, "nut")
WIRE = Pen(0.11, "wire", opacity=0.45)


def draw_board(sheet: Sheet) -> None:
    """Draw the bare neck, its strings broken at the holes that the sheet names."""
    for stretch in sheet.layout.stretches:
        with sheet.ink.group({"class": "neck"}):
            _wires(sheet, stretch)
            _strings(sheet, stretch)
            _end(sheet, stretch)
        _numbers(sheet, stretch)
        _names(sheet, stretch)


def _ends(sheet: Sheet, stretch: Stretch) -> tuple[float, float]:
    """Y of the thinnest and of the thickest string."""
    return stretch.y, sheet.layout.string_y(stretch, len(sheet.spec.board.tuning))


def _wires(sheet: Sheet, stretch: Stretch) -> None:
    top, bottom = _ends(sheet, stretch)
    if top == bottom:  # one string only
        top, bottom = top - 0.8, bottom + 0.8
    for index, x in enumerate(stretch.wires):
        if index or stretch.first > 1:
            sheet.line((x, top), (x, bottom), WIRE)


def _strings(sheet: Sheet, stretch: Stretch) -> None:
    count = len(sheet.spec.board.tuning)
    left = stretch.wires[0] - (_left_stub(sheet) if stretch.first > 1 else 0)
    right = stretch.wires[-1] + STUB
    for string in range(1, count + 1):
        y = sheet.layout.string_y(stretch, string)
        share = (string - 1) / max(1, count - 1)
        pen = Pen(THIN + share * (THICK - THIN), "string", opacity=0.65)
        start = left
        holes = sorted(
            (x - half, x + half) for (x, at), half in sheet.holes.items() if abs(at - y) < 0.01
        )
        for hole_left, hole_right in [*holes, (right, right)]:
            if hole_left > start:
                sheet.line((start, y), (min(hole_left, right), y), pen)
            start = max(start, hole_right)


def _left_stub(sheet: Sheet) -> float:
    return 0.7 if sheet.spec.silent else STUB


def _end(sheet: Sheet, stretch: Stretch) -> None:
    """The nut, or the capo in its place; crosses on strings that are not played."""
    top, bottom = _ends(sheet, stretch)
    if stretch.first == 1:
        x = stretch.wires[0]
        if sheet.spec.board.capo:
            _capo(sheet, x, top, bottom)
        else:
            sheet.line((x, top - 0.12), (x, bottom + 0.12), NUT)
    if stretch.open_x is not None:
        for string in sheet.spec.silent:
            _cross(sheet, stretch.open_x, sheet.layout.string_y(stretch, string))


def _capo(sheet: Sheet, x: float, top: float, bottom: float) -> None:
    """A bar laid across all strings, on the fret wire that it stands at."""
    half, over = 0.42, 0.6
    cx, y0, y1 = sheet.x(x), top - over, bottom + over
    r = num(half)
    path = (
        f"M{num(cx - half)} {num(y0 + half)}A{r} {r} 0 0 1 {num(cx + half)} {num(y0 + half)}"
        f"V{num(y1 - half)}A{r} {r} 0 0 1 {num(cx - half)} {num(y1 - half)}z"
    )
    sheet.ink.fill(path, Box(cx - half, y0, cx + half, y1), kind="nut")


def _cross(sheet: Sheet, x: float, y: float) -> None:
    cx, s = sheet.x(x), SILENT
    path = (
        f"M{num(cx - s)} {num(y - s)}L{num(cx + s)} {num(y + s)}"
        f"M{num(cx - s)} {num(y + s)}L{num(cx + s)} {num(y - s)}"
    )
    sheet.ink.stroke(path, Box(cx - s, y - s, cx + s, y + s), 0.18, kind="silent")


def _numbers(sheet: Sheet, stretch: Stretch) -> None:
    """Fret numbers, counted from the capo, and the dots of the neck's edge."""
    ground = _ends(sheet, stretch)[1] + sheet.layout.below
    capo = sheet.spec.board.capo
    first = 0 if stretch.first == 1 and sheet.spec.low == 0 else stretch.first
    for fret in range(first, stretch.last + 1):
        x = stretch.x(fret)
        dots = 2 if fret + capo in TWO_DOTS else 1 if fret + capo in ONE_DOT else 0
        if fret:
            for index in range(dots):
                at = x + (index - (dots - 1) / 2) * 3.2 * DOT
                sheet.disc(at, ground + DOT_AIR, DOT, 0.7, "side-dot")
        look = Lettering(NUMBER_SIZE, kind="fret-number", opacity=1.0 if dots else 0.7)
        sheet.text(x, ground + NUMBER_DROP, str(fret), look)


def _names(sheet: Sheet, stretch: Stretch) -> None:
    for string, name in enumerate(string_names(sheet.spec), 1):
        y = sheet.layout.string_y(stretch, string) + CAP_HEIGHT * ROW_SIZE / 2
        look = Lettering(ROW_SIZE, kind="string-name", anchor="end", opacity=0.75)
        sheet.text(stretch.name_x, y, name, look)


def draw_barre(sheet: Sheet) -> None:
    """One finger over several strings: a bar behind their dots."""
    barre = sheet.spec.barre
    if barre is None or sheet.spec.worksheet:
        return
    stretch = sheet.layout.stretch_of(barre.fret)
    x = sheet.x(stretch.x(barre.fret))
    y0, y1 = (sheet.layout.string_y(stretch, s) for s in (barre.thin, barre.thick))
    half = 0.32
    path = f"M{num(x - half)} {num(y0)}H{num(x + half)}V{num(y1)}H{num(x - half)}z"
    with sheet.ink.group({"opacity": "0.35"}):
        sheet.ink.parts.append(f'<path d="{path}"/>')
    sheet.ink.marks.append(Mark("barre", Box(x - half, y0, x + half, y1)))
