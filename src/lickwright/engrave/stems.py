"""How is the rhythm shown under the tab when there is no notation?"""

from __future__ import annotations

from itertools import groupby

from lickwright.engrave.canvas import Canvas
from lickwright.engrave.faces import Cut
from lickwright.engrave.glyphs import FLAGS_DOWN, RESTS, glyph_box
from lickwright.engrave.ink import Lettering, Pen, num
from lickwright.engrave.joins import ARC_AIR, arc_ends, draw_arc, upper_half
from lickwright.engrave.skyline import Box
from lickwright.engrave.style import BRACKETED, FRET_SIZE
from lickwright.engrave.tokens import held_text
from lickwright.phrase import Bend, Release
from lickwright.phrase.score import ScoreBar, ScoreEvent

STEM_TOP = 1.0  # below the last line
STEM_LENGTH = 3.0
HALF_LENGTH = 1.7  # a half note's stem is shorter
STEM_PEN = 0.12
BEAM = 0.45
BEAM_STEP = 0.72
STEM = Pen(STEM_PEN, "stem")
BRACKET = Pen(0.1, "tuplet")
NUMBER = Lettering(1.5, Cut.SERIF_ITALIC, "tuplet")


def draw_stems(canvas: Canvas, bars: tuple[ScoreBar, ...]) -> float:
    """Draw stems, beams, rests and tuplets of one system; return the lowest y.

    The bars hold one voice: each note is written up to the next strike.
    """
    lowest = canvas.bottom
    seen: dict[str, float] = {}  # note id -> x of its number or its last tied one
    for bar in bars:
        if bar.bar.simile:
            continue
        for voice in bar.voices:
            for event in voice:
                _ties(canvas, event, seen)
                lowest = max(lowest, _event(canvas, event))
            for beam, members in groupby(voice, lambda e: e.beam):
                if beam is not None:
                    _beams(canvas, list(members))
            for tuplet, members in groupby(voice, lambda e: e.tuplet):
                if tuplet is not None:
                    lowest = max(lowest, _tuplet(canvas, list(members)))
    return lowest


def _foot(canvas: Canvas) -> float:
    return canvas.bottom + STEM_TOP + STEM_LENGTH


def _event(canvas: Canvas, event: ScoreEvent) -> float:
    x = canvas.places.x(event.start)
    if event.rest:
        if not event.hidden:
            _rest(canvas, event)
        return canvas.bottom
    base = event.value.base
    if base == 1:
        return canvas.bottom
    top, foot = canvas.bottom + STEM_TOP, _foot(canvas)
    canvas.ink.line((x, foot - HALF_LENGTH if base == 2 else top), (x, foot), STEM)
    if base >= 8 and event.beam is None:
        canvas.ink.glyph(x - STEM_PEN / 2, foot, FLAGS_DOWN[min(base, 64)], 0.9, kind="stem")
    if event.value.dots:
        _dot(canvas, _dot_x(event, x), (foot - HALF_LENGTH if base == 2 else top) + 0.3, "stem")
    return foot


def _dot_x(event: ScoreEvent, x: float) -> float:
    """Beside the stem, and beyond its flag."""
    flag = event.value.base >= 8 and event.beam is None
    return x + (glyph_box(FLAGS_DOWN[min(event.value.base, 64)]).x1 + 0.2 if flag else 0.42)


def _dot(canvas: Canvas, x: float, y: float, kind: str) -> None:
    dot = f"M{num(x)} {num(y)}a.2 .2 0 1 0 .4 0a.2 .2 0 1 0 -.4 0z"
    canvas.ink.fill(dot, Box(x, y - 0.2, x + 0.4, y + 0.2), kind=kind)


def _rest(canvas: Canvas, event: ScoreEvent) -> None:
    x, y = canvas.places.x(event.start), canvas.bottom / 2
    code = RESTS[1 if event.whole_bar else min(event.value.base, 64)]
    box = glyph_box(code)
    if event.whole_bar:
        edges = dict(zip((b.number for b in canvas.places.bars), canvas.places.edges, strict=True))
        left, right = edges[int(event.start // canvas.phrase.meter.beats) + 1]
        x = (left + right) / 2
    canvas.ink.glyph(x - (box.x0 + box.x1) / 2, y, code, kind="rest")
    if event.value.dots:
        _dot(canvas, x + 0.8, y - 0.5, "rest")


def _beams(canvas: Canvas, events: list[ScoreEvent]) -> None:
    foot = _foot(canvas)
    levels = max(e.value.base for e in events).bit_length() - 3
    xs = [canvas.places.x(e.start) for e in events]
    for level in range(levels):
        y = foot - BEAM - level * BEAM_STEP
        for index, count in _runs([e.value.base >= 8 << level for e in events]):
            left, right = xs[index], xs[index + count - 1]
            if count == 1:
                left, right = (left, left + 1.0) if index == 0 else (left - 1.0, left)
            half = STEM_PEN / 2
            box = Box(left - half, y, right + half, y + BEAM)
            path = f"M{num(box.x0)} {num(y)}H{num(box.x1)}V{num(y + BEAM)}H{num(box.x0)}z"
            canvas.ink.fill(path, box, kind="stem")


def _runs(flags: list[bool]) -> list[tuple[int, int]]:
    """Start and length of each stretch of True."""
    runs = []
    for flag, members in groupby(enumerate(flags), lambda item: item[1]):
        stretch = list(members)
        if flag:
            runs.append((stretch[0][0], len(stretch)))
    return runs


def _tuplet(canvas: Canvas, events: list[ScoreEvent]) -> float:
    tuplet = events[0].tuplet
    assert tuplet is not None
    y = _foot(canvas) + 0.55
    x0, x1 = canvas.places.x(events[0].start), canvas.places.x(events[-1].start)
    middle = (x0 + x1) / 2
    if len({e.beam for e in events}) > 1 or events[0].beam is None:
        x0, x1 = x0 - 0.6, max(x1, x0) + 0.6
        for left, right in ((x0, middle - 0.7), (middle + 0.7, x1)):
            canvas.ink.line((left, y + 0.55), (right, y + 0.55), BRACKET)
        for x in (x0, x1):
            canvas.ink.line((x, y + 0.05), (x, y + 0.55), BRACKET)
    canvas.ink.text(middle, y + 1.0, str(tuplet.actual), NUMBER)
    return y + 1.05


def _ties(canvas: Canvas, event: ScoreEvent, seen: dict[str, float]) -> None:
    """A tied number is repeated in brackets, joined by a bow to the one before.

    That a bent note sounds on is left to the line after its bend.
    """
    x = canvas.places.x(event.start)
    for head in event.notes:
        note = head.note
        bent = any(isinstance(g, Bend | Release) for g in note.gestures)
        if head.tie_in and bent:
            canvas.held[note.id] = x
        elif head.tie_in:
            y, size = canvas.line(note.string), FRET_SIZE * BRACKETED
            with canvas.ink.group({"data-note": note.id}):
                look = Lettering(size, kind="fret")
                box = canvas.ink.text(x, y + size * 0.33, held_text(note), look)
                canvas.gaps.setdefault(note.string, []).append((box.x0, box.x1))
                canvas.above.add(box)
                start = seen.get(note.id, max(x - 2.4, 0.0))
                aside = upper_half(canvas, note, start)
                draw_arc(canvas, *arc_ends((start, x), (aside, aside)), y - ARC_AIR)
        seen[note.id] = x
