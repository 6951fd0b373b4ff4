"""How do the rows of words stand under the tab: counts, degrees, fingers, strokes?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from lickwright.engrave.canvas import Canvas
from lickwright.engrave.faces import Cut, text_width
from lickwright.engrave.glyphs import DOWN_STROKE, UP_STROKE, glyph_box
from lickwright.engrave.ink import Lettering
from lickwright.engrave.style import ROW_GAP, ROW_SIZE, STACK_GAP, Row
from lickwright.engrave.tokens import SMALL_ROW, Token, count_text
from lickwright.phrase import Count, Note, Phrase, Stroke, Timing

FIRST_AIR = 0.85  # from the lowest ink of the tab to the top of the first row
FIRST_BASELINE = 2.3  # below the last line, at least
NAME = Lettering(ROW_SIZE * 0.85, Cut.SANS_ITALIC, "name", "start", opacity=0.65)
SUGGESTED_OPACITY = 0.65
COUNT_AIR = 0.2  # between two counts, at least
NUDGE_AIR, NUDGES = 0.1, 3  # between two counts that are nudged apart; rounds of nudging
SMALLEST_COUNT = 0.6  # share of its usual size
STROKE_SCALE = 0.72


def row_words(
    phrase: Phrase, rows: tuple[Row, ...], degrees: Mapping[str, str]
) -> dict[Row, dict[str, str]]:
    """Text of each note in each row, by its id."""
    words: dict[Row, dict[str, str]] = {}
    if Row.DEGREE in rows:
        words[Row.DEGREE] = {n.id: degrees[n.id] for n in phrase.notes if n.id in degrees}
    if Row.FINGER in rows:
        words[Row.FINGER] = {n.id: n.finger.value for n in phrase.notes if n.finger is not None}
    if Row.PICK in rows:
        words[Row.PICK] = {n.id: n.stroke.value for n in phrase.notes if n.stroke is not None}
    return words


@dataclass(frozen=True, slots=True)
class _Entry:
    x: float
    notes: tuple[Note, ...]  # thinnest string first
    small: bool


@dataclass(frozen=True, slots=True)
class _RowWords:
    """What one row says of each note, and which notes the teacher left open."""

    row: Row
    words: Mapping[str, str]
    suggested: frozenset[str]


def draw_rows(
    canvas: Canvas,
    words: Mapping[Row, Mapping[str, str]],
    suggested: frozenset[str],
    top: float,
) -> float:
    """Draw the rows from `top` (the lowest ink of what is above) down; return the new lowest.

    A row's name stands at the left edge, unless its first word comes too near.
    """
    entries = _entries(canvas)
    base = max(canvas.bottom + FIRST_BASELINE, top + FIRST_AIR + 0.66 * ROW_SIZE)
    lowest = top
    for row in canvas.style.rows:
        stack = 1 if row is Row.COUNT else _stack(entries, row, words.get(row, {}))
        if not stack:
            continue
        start = len(canvas.ink.marks)
        with canvas.ink.group({"class": f"row-{row.value}"}):
            if row is Row.COUNT:
                _counts(canvas, base)
            else:
                said = _RowWords(row, words[row], suggested)
                for entry in entries:
                    _entry(canvas, said, entry, base)
            _name(canvas, row, base, start)
        lowest = base + (stack - 1) * STACK_GAP + 0.35
        base = lowest - 0.35 + ROW_GAP
    return lowest


def _name(canvas: Canvas, row: Row, y: float, start: int) -> None:
    width = text_width(row.value, NAME.cut, NAME.size)
    if all(mark.box.x0 > width + 0.8 for mark in canvas.ink.marks[start:]):
        canvas.ink.text(0.0, y, row.value, NAME)


def _entries(canvas: Canvas) -> list[_Entry]:
    """Numbers that stand one above the other share an entry."""
    found: dict[tuple[Fraction, float], list[Token]] = {}
    for token, _ in canvas.tokens.values():
        found.setdefault((token.note.onset, round(token.dx, 3)), []).append(token)
    return [
        _Entry(
            canvas.places.x(onset) + dx,
            tuple(t.note for t in sorted(tokens, key=lambda t: t.note.string)),
            dx != 0,
        )
        for (onset, dx), tokens in sorted(found.items())
    ]


def _stack(entries: list[_Entry], row: Row, words: Mapping[str, str]) -> int:
    return max((len(_said(entry, row, words)) for entry in entries), default=0)


def _said(entry: _Entry, row: Row, words: Mapping[str, str]) -> list[Note]:
    """Notes that say something; one is enough if the pick strikes all of them."""
    said = [note for note in entry.notes if note.id in words]
    if row is Row.PICK and len({words[note.id] for note in said}) == 1:
        return said[:1]
    return said


def _counts(canvas: Canvas, y: float) -> None:
    counts = [
        count
        for bar in canvas.places.bars
        if not bar.simile
        for count in bar.counts
        if canvas.places.holds(count.beat)
    ]
    said = [_CountWord(canvas, count) for count in counts]
    _set_apart(said, canvas.places.edges[-1][1])
    for word in said:
        canvas.ink.text(word.x, y, word.text, word.look)


class _CountWord:
    """A count as it is written. `free`: nothing is struck on it, so it may give way."""

    def __init__(self, canvas: Canvas, count: Count) -> None:
        self.text = count_text(count, canvas.phrase.meter)
        number = self.text.strip("()").isdigit()
        cut = Cut.SANS_SEMIBOLD if number and not count.silent else Cut.SANS
        opacity = SUGGESTED_OPACITY if count.silent else 1.0
        self.look = Lettering(ROW_SIZE, cut, "row", opacity=opacity)
        self.half = text_width(self.text, cut, ROW_SIZE) / 2
        self.x = _count_x(canvas, count.beat)
        self.free = count.beat not in canvas.places.known


def _set_apart(said: list[_CountWord], width: float) -> None:
    """Let free counts between two others make room for each other, and nudge what still touches."""
    first = 0
    while first < len(said):
        last = first
        while last < len(said) and said[last].free:
            last += 1
        if last > first:
            left = said[first - 1].x + said[first - 1].half if first else 0.0
            right = said[last].x - said[last].half if last < len(said) else width
            _set_between(said[first:last], left, right)
        first = last + 1
    for one, other in [*pairwise(said)] * NUDGES:
        over = one.x + one.half + NUDGE_AIR - (other.x - other.half)
        if over > 0:
            one.x -= over / 2
            other.x += over / 2


def _set_between(free: list[_CountWord], left: float, right: float) -> None:
    """As they are if they stand apart inside, else with even gaps, smaller if they must."""
    ends = [edge for word in free for edge in (word.x - word.half, word.x + word.half)]
    inner = [left + COUNT_AIR, *ends, right - COUNT_AIR]
    if all(a <= b for a, b in pairwise(inner)):
        return
    room = right - left - COUNT_AIR * (len(free) + 1)
    wide = sum(2 * word.half for word in free)
    share = max(SMALLEST_COUNT, min(1.0, room / wide))
    gap = (right - left - share * wide) / (len(free) + 1)
    at = left
    for word in free:
        word.half *= share
        word.look = replace(word.look, size=word.look.size * share)
        word.x = at + gap + word.half
        at = word.x + word.half


def _count_x(canvas: Canvas, beat: Fraction) -> float:
    """Under the number that is heard on the count: in the tab of a quick group the first."""
    counted = [
        (token.dx, x)
        for token, x in canvas.tokens.values()
        if token.note.onset == beat and token.note.timing is Timing.COUNTED
    ]
    if not counted or not canvas.style.tab or any(dx == 0 for dx, _ in counted):
        return canvas.places.x(beat)
    return min(x for _, x in counted)


def _entry(canvas: Canvas, said: _RowWords, entry: _Entry, y: float) -> None:
    for index, note in enumerate(_said(entry, said.row, said.words)):
        size = ROW_SIZE * (SMALL_ROW if entry.small else 1.0)
        at = y + index * STACK_GAP
        filled_in = note.id in said.suggested and said.row in (Row.FINGER, Row.PICK)
        opacity = SUGGESTED_OPACITY if filled_in else 1.0
        with canvas.ink.group({"data-note": note.id}):
            if said.row is Row.PICK and note.stroke in (Stroke.DOWN, Stroke.UP):
                _stroke(canvas, (entry.x, at), note.stroke, opacity, size / ROW_SIZE)
            else:
                cut = Cut.SANS_ITALIC if said.row is Row.PICK or filled_in else Cut.SANS
                look = Lettering(size, cut, "row", opacity=opacity)
                canvas.ink.text(entry.x, at, said.words[note.id], look)


def _stroke(
    canvas: Canvas, foot: tuple[float, float], stroke: Stroke, opacity: float, size: float
) -> None:
    """A pick stroke; `foot`: the middle of its lower edge."""
    x, y = foot
    code = DOWN_STROKE if stroke is Stroke.DOWN else UP_STROKE
    scale = STROKE_SCALE * size
    box = glyph_box(code)
    attributes = {"opacity": f"{opacity}"} if opacity < 1 else {"class": "stroke"}
    with canvas.ink.group(attributes):
        left = x - (box.x0 + box.x1) / 2 * scale
        canvas.ink.glyph(left, y - box.y1 * scale, code, scale, kind="row")
