"""What stands above the strings: vibrato, trills, taps, palm mute, let ring, rakes, accents?"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import floor

from lickwright.engrave.bends import amount_text, moment
from lickwright.engrave.canvas import Canvas
from lickwright.engrave.faces import Cut, text_width
from lickwright.engrave.glyphs import ACCENT, STACCATO, TRILL, glyph_box
from lickwright.engrave.ink import BRACKETS, Lettering, Pen, depth, num
from lickwright.engrave.skyline import Box
from lickwright.engrave.tokens import Token
from lickwright.phrase import Entry, LinkKind, Mark, Note, Span, Timing, Trill, Vibrato

FIRST = -0.55  # lower edge of what stands nearest to the top line
WORD_SIZE = 1.5
WORD = Lettering(WORD_SIZE, Cut.SANS_ITALIC, "mark", "start")
WAVE = (0.85, 0.34, 0.2)  # length and height of one wave, pen
ZIGZAG = (0.8, 0.84, 0.17)
TRILL_AIR = 0.25  # between tr and its wave
TRILL_SIZE = 0.85
LEAST_WAVE = 2.55
_WORDS = {Mark.PALM_MUTE: "P.M.", Mark.LET_RING: "let ring", Mark.RAKE: "rake"}


def draw_marks(canvas: Canvas) -> None:
    """Everything above the bends, from the strings (without tab: the notation) upward."""
    tokens = sorted(canvas.tokens.values(), key=lambda found: (found[1], found[0].note.string))
    for token, x in tokens:
        with canvas.ink.group({"data-note": token.note.id}):
            if token.note.entry is Entry.TAPPED or _tapped(token.note):
                _word(canvas, x, "t", anchor="middle")
    if not canvas.style.tab:
        _small_bends(canvas, tokens)
    if not canvas.style.notation:
        _articulations(canvas, tokens)
    drawn: set[tuple[str, int, int]] = set()
    for token, x in tokens:
        with canvas.ink.group({"data-note": token.note.id}):
            for gesture in token.note.gestures:
                if isinstance(gesture, Vibrato | Trill):
                    _shake(canvas, token, x, gesture, drawn)
    for token in canvas.carried:
        x = max(canvas.places.xs[0] - 0.6, 0.0)
        with canvas.ink.group({"data-note": token.note.id}):
            for gesture in token.note.gestures:
                if isinstance(gesture, Vibrato | Trill):
                    _shake(canvas, token, x, gesture, drawn)
    for span in _spans(canvas):
        _span(canvas, span)


def _tapped(note: Note) -> bool:
    return note.link is not None and note.link.kind is LinkKind.TAP


def _word(canvas: Canvas, x: float, text: str, *, anchor: str) -> Box:
    width = text_width(text, Cut.SANS_ITALIC, WORD_SIZE)
    left = x - width / 2 if anchor == "middle" else x
    below = depth(text) * WORD_SIZE
    y = canvas.above.up(left, left + width, 0.75 * WORD_SIZE + below, FIRST) - below
    box = canvas.ink.text(x, y, text, replace(WORD, anchor=anchor))
    canvas.above.add(box)
    return box


def _small_bends(canvas: Canvas, tokens: list[tuple[Token, float]]) -> None:
    """Bends too small for a head of their own, as words; for pictures without tab."""
    for token, x in tokens:
        bend = token.note.bend
        if bend is not None and bend.to < 1:
            with canvas.ink.group({"data-note": token.note.id}):
                _word(canvas, x, f"{amount_text(bend.to)} bend", anchor="middle")


def _articulations(canvas: Canvas, tokens: list[tuple[Token, float]]) -> None:
    seen: set[tuple[Fraction, Mark]] = set()
    for token, x in tokens:
        for mark, code in ((Mark.STACCATO, STACCATO), (Mark.ACCENT, ACCENT)):
            if mark in token.note.marks and not token.dx and (token.note.onset, mark) not in seen:
                seen.add((token.note.onset, mark))
                box = glyph_box(code)
                left = x - (box.x0 + box.x1) / 2
                y = canvas.above.up(left + box.x0, left + box.x1, box.y1 - box.y0, FIRST)
                canvas.above.add(canvas.ink.glyph(left, y - box.y1, code, kind="mark"))


def _shake(
    canvas: Canvas,
    token: Token,
    x: float,
    gesture: Vibrato | Trill,
    drawn: set[tuple[str, int, int]],
) -> None:
    note = token.note
    places = canvas.places
    start = moment(note, gesture)
    if start >= places.end:
        return
    left = x - 0.3
    if gesture.start is not None and places.holds(gesture.start):
        left = places.x(gesture.start) - 0.3
    elif isinstance(gesture, Vibrato) and canvas.exits.get(note.id, 0.0) > left:
        left = canvas.exits[note.id]
    left = min(left, places.edges[-1][1] - 0.2 - LEAST_WAVE)
    right = places.until(note.end) - canvas.half(note.end) - 0.5
    right = max(right, left + LEAST_WAVE)
    key = (type(gesture).__name__, round(left * 4), round(right * 4))
    if key in drawn:
        return
    drawn.add(key)
    if isinstance(gesture, Trill):
        _trill(canvas, left, right, f"({gesture.fret})" if note.bend is not None else "")
    else:
        height = ZIGZAG[1] if gesture.wide else WAVE[1] + WAVE[2]
        right = max(right, left + 2 * (ZIGZAG if gesture.wide else WAVE)[0])
        y = canvas.above.up(left, right, height, FIRST)
        _wave(canvas, left, right, y - height / 2, wide=gesture.wide)


def _trill(canvas: Canvas, left: float, right: float, fret: str) -> None:
    """The sign with its wave. `fret`: of the other note, if it is not behind the number."""
    box = glyph_box(TRILL)
    after = left + (box.x1 - box.x0) * TRILL_SIZE + TRILL_AIR
    wave = after + (text_width(fret, Cut.SANS, WORD_SIZE) + TRILL_AIR if fret else 0.0)
    right = max(right, wave + 2 * WAVE[0])
    foot, top = box.y1 * TRILL_SIZE, -box.y0 * TRILL_SIZE
    if fret:
        foot, top = max(foot, BRACKETS[1] * WORD_SIZE), max(top, BRACKETS[0] * WORD_SIZE)
    y = canvas.above.up(left, right, foot + top, FIRST) - foot
    canvas.above.add(canvas.ink.glyph(left, y, TRILL, TRILL_SIZE, kind="mark"))
    if fret:
        look = Lettering(WORD_SIZE, kind="mark", anchor="start")
        canvas.above.add(canvas.ink.text(after, y, fret, look))
    _wave(canvas, wave, right, y - 0.35, wide=False)


def _wave(canvas: Canvas, left: float, right: float, y: float, *, wide: bool) -> None:
    length, height, pen = ZIGZAG if wide else WAVE
    count = max(2, floor((right - left) / length + 0.05))
    half = height / 2
    end = left + count * length
    if wide:
        path = f"M{num(left)} {num(y + half)}" + "".join(
            f"L{num(left + (i + 0.5) * length)} {num(y - half)}"
            f"L{num(left + (i + 1) * length)} {num(y + half)}"
            for i in range(count)
        )
    else:
        q = length / 4
        path = f"M{num(left)} {num(y)}" + "".join(
            f"q{num(q)} {num(-height)} {num(2 * q)} 0q{num(q)} {num(height)} {num(2 * q)} 0"
            for _ in range(count)
        )
    box = Box(left, y - half - pen / 2, end, y + half + pen / 2)
    canvas.above.add(canvas.ink.stroke(path, box, pen, kind="mark"))


def _spans(canvas: Canvas) -> list[Span]:
    """Palm-mute and let-ring spans, and the rakes, which lead into their count."""
    spans = [s for s in canvas.phrase.spans if s.mark in _WORDS and s.mark is not Mark.RAKE]
    rakes = sorted(
        {n.onset for n in canvas.phrase.notes if Mark.RAKE in n.marks and n.timing is Timing.GRACE}
    )
    spans += [Span(Mark.RAKE, beat, beat) for beat in rakes]
    return [s for s in spans if s.start < canvas.places.end and canvas.places.start <= s.end]


def _span(canvas: Canvas, span: Span) -> None:
    places = canvas.places
    found = [
        (x - token.half, x + token.half)
        for token, x in canvas.tokens.values()
        if span.start <= token.note.onset < span.end or (span.start == span.end == token.note.onset)
    ]
    if not found:
        return
    left, last = min(found)[0], max(right for _, right in found)
    if span.start < places.start:
        left = min(left, max(places.xs[0] - 0.6, 0.0))
    text = _WORDS[span.mark]
    width = text_width(text, Cut.SANS_ITALIC, WORD_SIZE)
    goes_on = span.end > places.end
    right = places.edges[-1][1] - 0.3 if goes_on else max(last, left + width)
    below = depth(text) * WORD_SIZE
    y = canvas.above.up(left, right + 0.2, 0.72 * WORD_SIZE + below, FIRST) - below
    box = canvas.ink.text(left, y, text, WORD)
    canvas.above.add(box)
    start = box.x1 + 0.35
    if right - start > 0.8:
        middle = y - 0.35
        canvas.above.add(
            canvas.ink.line((start, middle), (right, middle), Pen(0.1, "span", "0.45 0.4"))
        )
        if not goes_on:
            hook = canvas.ink.line((right, middle), (right, middle + 0.55), Pen(0.1, "span"))
            canvas.above.add(hook)
