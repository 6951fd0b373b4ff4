"""How does the tab of one system look: lines, numbers, and all that moves them?"""

from __future__ import annotations

from itertools import pairwise

from lickwright.engrave.bends import draw_bends, draw_carried_bends
from lickwright.engrave.canvas import Canvas
from lickwright.engrave.glyphs import REPEAT_BAR, TAB_CLEF, TIME_DIGITS, digit, glyph_box
from lickwright.engrave.ink import CAP_HEIGHT, Lettering, Pen
from lickwright.engrave.joins import draw_entry, draw_link, draw_off, draw_open_link
from lickwright.engrave.marks import draw_marks
from lickwright.engrave.style import BRACKETED, FRET_SIZE, LINE_GAP
from lickwright.engrave.tokens import Token
from lickwright.phrase import Note, Trill

GAP = 0.16  # a tab line is broken so far beside a number
LINE_PEN = 0.09
STAFF = Pen(LINE_PEN, "staff", opacity=0.7)
BAR = Pen(0.15, "bar")
CLEF_X = 0.7
METER_X = 3.5  # left end


def draw_tab(canvas: Canvas, right: float, bar_lines: list[float]) -> None:
    """Draw the tab of one system; `right`: where the lines end, sp."""
    joined = [pair for run in canvas.phrase.runs for pair in pairwise(run)]
    after = {a.id: b for a, b in joined}
    before = {b.id: a for a, b in joined}
    for token, x in list(canvas.tokens.values()):  # all numbers, so that arrows keep clear of them
        with canvas.ink.group({"data-note": token.note.id}):
            _number(canvas, token, x)
            if token.note.bend is None:  # with a bend, its fret stands beside the sign
                _trill_fret(canvas, token, x)
    for token, x in list(canvas.tokens.values()):
        with canvas.ink.group({"data-note": token.note.id}):
            draw_entry(canvas, token, x)
            draw_bends(canvas, token, x)
            draw_off(canvas, token, x)
            if token.note.id in before:
                draw_link(canvas, before[token.note.id], token, x)
            goal = after.get(token.note.id)
            if goal is not None and goal.onset >= canvas.places.end:
                draw_open_link(canvas, token, x, goal)
    for token in canvas.carried:
        with canvas.ink.group({"data-note": token.note.id}):
            draw_carried_bends(canvas, token)
    draw_marks(canvas)
    _similes(canvas)
    _staff(canvas, right, bar_lines)


def place_tokens(canvas: Canvas) -> None:
    """Find out where each number of this system stands."""
    similes = {bar.number for bar in canvas.places.bars if bar.simile}
    for beat, column in canvas.columns.items():
        x = canvas.places.x(beat)
        for token in column.tokens:
            if token.note.bar not in similes:
                canvas.tokens[token.note.id] = (token, x + token.dx)


def _number(canvas: Canvas, token: Token, x: float) -> None:
    y = canvas.line(token.note.string) + token.size * CAP_HEIGHT / 2
    text = token.text
    box = canvas.ink.text(x, y, text, Lettering(token.size, kind="fret"))
    _break_line(canvas, token.note, box.x0, box.x1)
    canvas.above.add(box)


def _trill_fret(canvas: Canvas, token: Token, x: float) -> None:
    trill = next((g for g in token.note.gestures if isinstance(g, Trill)), None)
    if trill is None:
        return
    size = FRET_SIZE * BRACKETED
    left = canvas.exits.get(token.note.id, x + token.half) + 0.25
    y = canvas.line(token.note.string) + size * CAP_HEIGHT / 2
    box = canvas.ink.text(left, y, f"({trill.fret})", Lettering(size, kind="fret", anchor="start"))
    _break_line(canvas, token.note, box.x0, box.x1)
    canvas.above.add(box)
    canvas.exits[token.note.id] = box.x1


def _break_line(canvas: Canvas, note: Note, x0: float, x1: float) -> None:
    canvas.gaps.setdefault(note.string, []).append((x0, x1))


def _similes(canvas: Canvas) -> None:
    scale = 1.5
    box = glyph_box(REPEAT_BAR)
    for bar, (left, right) in zip(canvas.places.bars, canvas.places.edges, strict=True):
        if bar.simile:
            x = (left + right) / 2 - (box.x0 + box.x1) / 2 * scale
            ids = [note.id for note in canvas.phrase.notes if note.bar == bar.number]
            _nested(canvas, ids, x, canvas.bottom / 2, scale)


def _nested(canvas: Canvas, ids: list[str], x: float, y: float, scale: float) -> None:
    """The repeat sign inside one group a note, so that each can be found and lit up."""
    if ids:
        with canvas.ink.group({"data-note": ids[0]}):
            _nested(canvas, ids[1:], x, y, scale)
    else:
        canvas.ink.glyph(x, y, REPEAT_BAR, scale, kind="simile")


def _staff(canvas: Canvas, right: float, bar_lines: list[float]) -> None:
    strings = len(canvas.phrase.tuning)
    for string in range(1, strings + 1):
        y = canvas.line(string)
        for left, end in _pieces(canvas.gaps.get(string, []), right):
            canvas.ink.line((left, y), (end, y), STAFF)
    half = LINE_PEN / 2
    for x in bar_lines:
        canvas.ink.line((x, -half), (x, canvas.bottom + half), BAR)
    scale = 1.15 * (strings - 1) * LINE_GAP / 7.5 if strings > 1 else 0.4
    canvas.ink.glyph(CLEF_X, canvas.bottom / 2, TAB_CLEF, min(scale, 1.3), kind="clef")


def _pieces(gaps: list[tuple[float, float]], right: float) -> list[tuple[float, float]]:
    """What is left of a line from 0 to `right` when the gaps are cut out."""
    pieces = []
    now = 0.0
    for x0, x1 in sorted(gaps):
        if x0 - GAP > now + 0.1:
            pieces.append((now, x0 - GAP))
        now = max(now, x1 + GAP)
    if right > now + 0.05:
        pieces.append((now, right))
    return pieces


def draw_meter(canvas: Canvas) -> None:
    """The time signature on the tab, for pictures without notation."""
    meter = canvas.phrase.meter
    scale = 1.2
    middle = canvas.bottom / 2
    rows = [[digit(TIME_DIGITS, int(d)) for d in str(n)] for n in (meter.upper, meter.lower)]
    widths = [sum(glyph_box(code).advance for code in codes) * scale for codes in rows]
    for codes, width, y in zip(rows, widths, (middle - 1.3, middle + 1.3), strict=True):
        left = METER_X + (max(widths) - width) / 2
        for code in codes:
            canvas.ink.glyph(left, y, code, scale, kind="meter")
            left += glyph_box(code).advance * scale
