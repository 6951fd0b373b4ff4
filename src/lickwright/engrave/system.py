"""How do notation, tab, rows and symbols of one line stand above each other?"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from lickwright.engrave.above import draw_chords, draw_heading, draw_tuning, margin
from lickwright.engrave.canvas import Canvas
from lickwright.engrave.glyphs import HEAD_WIDTH
from lickwright.engrave.ink import Ink, Mark, num
from lickwright.engrave.marks import draw_marks
from lickwright.engrave.notation import NotationSystem
from lickwright.engrave.notation_marks import draw_notation_marks
from lickwright.engrave.places import Places, system_places
from lickwright.engrave.rows import draw_rows
from lickwright.engrave.sent import Sent
from lickwright.engrave.skyline import clearance
from lickwright.engrave.stems import draw_stems
from lickwright.engrave.style import Row, Style
from lickwright.engrave.tab import draw_meter, draw_tab, place_tokens
from lickwright.engrave.tokens import Column, Token
from lickwright.engrave.typeset import SVG_UNITS
from lickwright.phrase import Phrase
from lickwright.phrase.score import ScoreBar

STAFF_HEIGHT = 4.0
LEAST_AIR = 4.0  # between the notation's lowest line and the tab's highest
AIR = 0.55  # between ink of the two
EDGE = 0.4  # air around the whole


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything that is the same for all systems of a phrase."""

    phrase: Phrase
    style: Style
    bars: tuple[ScoreBar, ...]
    columns: Mapping[Fraction, Column]  # in order of beats
    words: Mapping[Row, Mapping[str, str]]
    suggested: frozenset[str]
    sent: Sent


@dataclass(frozen=True, slots=True)
class Place:
    """Where a number (or head, without tab) stands; centre and width in sp."""

    note_id: str
    x: float
    y: float
    width: float
    onset: Fraction


@dataclass(frozen=True, slots=True)
class Drawn:
    """One finished line: SVG elements, ink and places, from its top left corner, sp."""

    body: str
    glyphs: frozenset[str]
    marks: tuple[Mark, ...]
    places: tuple[Place, ...]
    width: float
    height: float
    first_bar: int
    last_bar: int


def draw_system(plan: Plan, notation: NotationSystem, *, first: bool) -> Drawn:
    """Draw one line; the first one has the tempo above it."""
    places = system_places(plan.phrase, notation, plan.sent)
    canvas = Canvas(plan.phrase, plan.style, places, *_columns(plan, places))
    shown = {bar.number for bar in canvas.places.bars}
    bars = tuple(bar for bar in plan.bars if bar.bar.number in shown)
    extra = Ink()
    if plan.style.notation:
        draw_notation_marks(extra, notation, plan.sent)
    heads = [*notation.marks, *extra.marks] if plan.style.notation else []
    low = _draw_tab(canvas, notation, bars, heads)
    tab_y = _tab_offset(canvas, heads)
    bottom = draw_rows(canvas, plan.words, plan.suggested, low) + tab_y
    nearest = [m.box for m in heads]
    if not (plan.style.notation and plan.style.tab):
        nearest += [m.box for m in canvas.ink.marks]
    symbols = Ink()
    top = draw_chords(canvas, symbols, nearest)
    if first:
        top = draw_heading(plan.phrase, symbols, 0.0, top - 0.9)
    frame = _Frame(margin(plan.phrase), EDGE - top, tab_y, bottom)
    return _assemble(plan, canvas, notation, (extra, symbols), frame)


def _columns(plan: Plan, places: Places) -> tuple[dict[Fraction, Column], tuple[Token, ...]]:
    """Columns of a system, and the numbers of earlier notes that still sound when it begins."""
    beats = list(plan.columns)
    first, last = bisect_left(beats, places.start), bisect_left(beats, places.end)
    similes = {bar.bar.number for bar in plan.bars if bar.bar.simile}
    carried = tuple(
        token
        for beat in beats[:first]
        for token in plan.columns[beat].tokens
        if token.note.end > places.start and not token.dx and token.note.bar not in similes
    )
    return {beat: plan.columns[beat] for beat in beats[first:last]}, carried


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where the parts stand in the picture, sp.

    `x`, `y`: left end of the notation's top line; `tab`, `bottom`: how far the tab's top line and
    the lowest ink are below that.
    """

    x: float
    y: float
    tab: float
    bottom: float


def _draw_tab(
    canvas: Canvas, notation: NotationSystem, bars: tuple[ScoreBar, ...], heads: list[Mark]
) -> float:
    """Draw the tab and, without notation, its rhythm; returns the lowest y."""
    if not canvas.style.tab:
        place_tokens(canvas)
        canvas.above.boxes += [mark.box for mark in heads]
        draw_marks(canvas)
        return max([canvas.bottom, *(mark.box.y1 for mark in heads)])
    place_tokens(canvas)
    low = canvas.bottom
    if not canvas.style.notation:
        low = draw_stems(canvas, bars)
        if canvas.places.bars[0].number == 1:
            draw_meter(canvas)
    draw_tab(canvas, notation.right, notation.bar_lines)
    draw_tuning(canvas)
    return max([low, *(m.box.y1 for m in canvas.ink.marks)])


def _tab_offset(canvas: Canvas, heads: list[Mark]) -> float:
    """How far the tab's top line stands below the notation's."""
    if not (canvas.style.notation and canvas.style.tab):
        return 0.0
    need = clearance(
        (m.box for m in heads), (m.box for m in canvas.ink.marks if m.kind != "staff"), AIR
    )
    return max(STAFF_HEIGHT + LEAST_AIR, need)


def _assemble(
    plan: Plan, canvas: Canvas, notation: NotationSystem, inks: tuple[Ink, Ink], frame: _Frame
) -> Drawn:
    extra, symbols = inks
    x, y, tab_y = frame.x, frame.y, frame.tab
    parts, glyphs = [], set(symbols.glyphs) | canvas.ink.glyphs
    marks = [Mark(m.kind, m.box.moved(x, y)) for m in symbols.marks]
    marks += [Mark(m.kind, m.box.moved(x, y + tab_y)) for m in canvas.ink.marks]
    parts.append(_moved(symbols.parts, x, y, "above"))
    if plan.style.notation:
        parts.append(_scaled(notation, x, y))
        parts.append(_moved(extra.parts, x, y, "notation-marks"))
        glyphs |= notation.glyphs | extra.glyphs
        marks += [Mark(f"n-{m.kind}", m.box.moved(x, y)) for m in notation.marks]
        marks += [Mark(f"n-{m.kind}", m.box.moved(x, y)) for m in extra.marks]
    if plan.style.notation and plan.style.tab:
        end = y + tab_y + canvas.bottom
        parts.append(
            f'<path d="M{num(x)} {num(y)}V{num(end)}" stroke="currentColor" stroke-width=".12"/>'
        )
    parts.append(_moved(canvas.ink.parts, x, y + tab_y, "tab"))
    numbers = tuple(b.number for b in canvas.places.bars)
    return Drawn(
        "".join(parts),
        frozenset(glyphs),
        tuple(marks),
        _note_places(plan, canvas, notation, frame),
        x + notation.right + 0.1,
        y + frame.bottom + EDGE,
        numbers[0],
        numbers[-1],
    )


def _moved(parts: list[str], x: float, y: float, name: str) -> str:
    return f'<g class="{name}" transform="translate({num(x)} {num(y)})">{"".join(parts)}</g>'


def _scaled(notation: NotationSystem, x: float, y: float) -> str:
    up = y - notation.origin / SVG_UNITS
    lines = "".join(
        f'<path d="M{num(bar)} 0V4" stroke="currentColor" stroke-width=".15"/>'
        for bar in notation.bar_lines
    )
    return (
        f'<g class="notation" transform="translate({num(x)} {up:.4f}) scale({1 / SVG_UNITS:.7f})">'
        f'{"".join(notation.svg)}</g><g transform="translate({num(x)} {num(y)})">{lines}</g>'
    )


def _note_places(
    plan: Plan, canvas: Canvas, notation: NotationSystem, frame: _Frame
) -> tuple[Place, ...]:
    x, y, tab_y = frame.x, frame.y, frame.tab
    found = {
        note_id: Place(
            note_id, x + at, y + tab_y + canvas.line(token.note.string), 2 * token.half,
            token.note.onset,
        )
        for note_id, (token, at) in canvas.tokens.items()
    }  # fmt: skip
    if not plan.style.tab:
        found = _head_places(plan, notation, x, y)
    for bar, (left, right) in zip(canvas.places.bars, canvas.places.edges, strict=True):
        if bar.simile:
            middle = (left + right) / 2
            level = y + (tab_y + canvas.bottom / 2 if plan.style.tab else 2.0)
            for note in plan.phrase.notes:
                if note.bar == bar.number:
                    found[note.id] = Place(note.id, x + middle, level, 3.0, note.onset)
    order = [note.id for note in plan.phrase.notes]
    return tuple(found[note_id] for note_id in order if note_id in found)


def _head_places(plan: Plan, notation: NotationSystem, x: float, y: float) -> dict[str, Place]:
    """The first head of every note that begins on this system, be it a small one."""
    first = [(e, h.note) for e, h in plan.sent.heads.items() if not (h.tie_in or h.stage)]
    found: dict[str, Place] = {}
    for element, note in [*plan.sent.small.items(), *first]:
        head = notation.heads.get(element)
        if head is not None:
            place = Place(note.id, x + head.x, y + head.y, HEAD_WIDTH, note.onset)
            found.setdefault(note.id, place)
    return found
