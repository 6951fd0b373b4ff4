"""How is the rhythm shown under the tab when there is no notation?"""

from __future__ import annotations

from itertools import groupby

from lickwright.engrave.canvas import Canvas
from lickwright.engrave.faces import Cut
from lickwright.engrave.glyphs import FLAGS_DOWN, RESTS, glyph_box
from lickwright.engrave.ink import num
from lickwright.engrave.joins import draw_arc
from lickwright.engrave.skyline import Box
from lickwright.engrave.style import BRACKETED, FRET_SIZE
from lickwright.phrase.score import ScoreBar, ScoreEvent

STEM_TOP = 1.0  # below the last line
STEM_LENGTH = 3.0
HALF_LENGTH = 1.7  # a half note's stem is shorter
STEM_PEN = 0.12
BEAM = 0.45
BEAM_STEP = 0.72
TUPLET_ROOM = 1.75


def draw_stems(canvas: Canvas, bars: tuple[ScoreBar, ...]) -> float:
    """Draw stems, beams, rests and tuplets of one system; return the lowest y."""
    lowest = canvas.bottom
    for bar in bars:
        if bar.bar.simile:
            continue
        for voice in bar.voices:
            _ties(canvas, voice)
        moving = max(bar.voices, key=lambda v: sum(not e.rest for e in v))
        for event in moving:
            lowest = max(lowest, _event(canvas, event))
        for beam, members in groupby(moving, lambda e: e.beam):
            if beam is not None:
                _beams(canvas, list(members))
        for tuplet, members in groupby(moving, lambda e: e.tuplet):
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
    canvas.ink.line(x, foot - HALF_LENGTH if base == 2 else top, x, foot, STEM_PEN, kind="stem")
    if base >= 8 and event.beam is None:
        canvas.ink.glyph(x - STEM_PEN / 2, foot, FLAGS_DOWN[min(base, 64)], 0.9, kind="stem")
    if event.value.dots:
        dot = f"M{num(x + 0.42)} {num(foot - 0.1)}a.2 .2 0 1 0 .4 0a.2 .2 0 1 0 -.4 0z"
        canvas.ink.fill(dot, Box(x + 0.42, foot - 0.3, x + 0.82, foot + 0.1), kind="stem")
    return foot


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
        canvas.ink.fill(
            f"M{num(x + 0.8)} {num(y - 0.5)}a.2 .2 0 1 0 .4 0a.2 .2 0 1 0 -.4 0z",
            Box(x + 0.8, y - 0.7, x + 1.2, y - 0.3),
            kind="rest",
        )


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
            canvas.ink.line(left, y + 0.55, right, y + 0.55, 0.1, kind="tuplet")
        for x in (x0, x1):
            canvas.ink.line(x, y + 0.05, x, y + 0.55, 0.1, kind="tuplet")
    canvas.ink.text(middle, y + 1.0, str(tuplet.actual), 1.5, Cut.SERIF_ITALIC, kind="tuplet")
    return y + 1.05


def _ties(canvas: Canvas, voice: tuple[ScoreEvent, ...]) -> None:
    """A tied number is repeated in brackets, joined by a bow."""
    for event in voice:
        for head in event.notes:
            if not head.tie_in:
                continue
            note = head.note
            x, y = canvas.places.x(event.start), canvas.line(note.string)
            size = FRET_SIZE * BRACKETED
            with canvas.ink.group({"data-note": note.id}):
                box = canvas.ink.text(x, y + size * 0.33, f"({note.fret})", size, kind="fret")
                canvas.gaps.setdefault(note.string, []).append((box.x0, box.x1))
                left = canvas.places.xs[0] - 1.5
                known = canvas.tokens.get(note.id)
                earlier = [
                    canvas.places.x(e.start)
                    for e in voice
                    if e.start < event.start and any(h.note.id == note.id for h in e.notes)
                ]
                if earlier:
                    left = earlier[-1]
                elif known is not None:
                    left = known[1]
                draw_arc(canvas, left, x, y - 0.85)
