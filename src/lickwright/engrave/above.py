"""What stands above a system: chord symbols, tempo, feel, capo; and the tuning at its left?"""

from __future__ import annotations

from dataclasses import replace

from lickwright.engrave.canvas import Canvas
from lickwright.engrave.faces import Cut, text_width
from lickwright.engrave.glyphs import NOTE_UP, glyph_box
from lickwright.engrave.ink import Ink, Lettering
from lickwright.engrave.skyline import Box
from lickwright.engrave.style import CHORD_SIZE, HEADING_SIZE
from lickwright.phrase import STANDARD, Phrase
from lickwright.theory import Chord

CHORD_AIR = 0.7
LEAST_BASELINE = 1.6  # above the staff
LABEL_SIZE = 1.35
CHORD = Lettering(CHORD_SIZE, Cut.SANS_SEMIBOLD, "chord", "start")
HEADING = Lettering(HEADING_SIZE, Cut.SANS, "heading", "start")
LABEL = Lettering(LABEL_SIZE, Cut.SANS, "tuning", "end")


def chord_name(chord: Chord) -> str:
    """A chord symbol with music signs."""
    return chord.pretty


def draw_chords(canvas: Canvas, ink: Ink, boxes: list[Box]) -> float:
    """Chord symbols on one baseline clear of `boxes` (the staff's top line is y 0); the lowest y.

    Returns the y above which nothing is drawn yet.
    """
    half = 0.63
    names = [
        (canvas.places.x(at.beat) - half, chord_name(at.chord))
        for at in canvas.phrase.chords
        if canvas.places.holds(at.beat)
    ]
    top = min([0.0, *(box.y0 for box in boxes)])
    if not names:
        return top
    baseline = -LEAST_BASELINE
    placed: list[tuple[float, str]] = []
    for x, name in names:
        left = max(x, placed[-1][0] + _width(placed[-1][1]) + CHORD_AIR) if placed else x
        placed.append((left, name))
        right = left + _width(name)
        near = [b.y0 for b in boxes if b.x0 < right + 0.3 and left - 0.3 < b.x1]
        baseline = min([baseline, *(y - CHORD_AIR for y in near)])
    for left, name in placed:
        ink.text(left, baseline, name, CHORD)
    return min(top, baseline - 0.8 * CHORD_SIZE)


def _width(name: str) -> float:
    return text_width(name, Cut.SANS_SEMIBOLD, CHORD_SIZE)


def draw_heading(phrase: Phrase, ink: Ink, x: float, y: float) -> float:
    """Tempo, feel and capo on one line with its baseline at y; returns its upper edge."""
    quarters = phrase.meter.beat_in_quarters
    dotted = quarters.numerator == 3
    base = int(4 / (quarters / 3 * 2)) if dotted else int(4 / quarters)
    code = NOTE_UP[base]
    scale = 0.62
    ink.glyph(x, y - 0.1, code, scale, kind="heading")
    right = x + glyph_box(code).advance * scale
    if dotted:
        ink.text(right + 0.05, y, "·", replace(HEADING, cut=Cut.SANS_SEMIBOLD))
        right += text_width("·", Cut.SANS_SEMIBOLD, HEADING_SIZE)
    tempo = phrase.tempo
    number = str(int(tempo)) if tempo.denominator == 1 else f"{float(tempo):.1f}"
    box = ink.text(right + 0.35, y, f"= {number}", HEADING)
    right = box.x1
    if not phrase.feel.straight:
        box = ink.text(right + 1.2, y, str(phrase.feel), replace(HEADING, cut=Cut.SANS_ITALIC))
        right = box.x1
    if phrase.capo:
        ink.text(right + 1.2, y, f"capo {phrase.capo}", HEADING)
    return y - 2.2


def tuning_labels(phrase: Phrase) -> list[str]:
    """Letters of the open strings, thinnest first; empty in standard tuning."""
    if phrase.tuning == STANDARD:
        return []
    return [phrase.tuning.strings[i].name.pretty for i in range(len(phrase.tuning))]


def margin(phrase: Phrase) -> float:
    """Room left of the staves for the tuning, sp."""
    labels = tuning_labels(phrase)
    if not labels:
        return 0.0
    return max(text_width(t, Cut.SANS, LABEL_SIZE) for t in labels) + 0.7


def draw_tuning(canvas: Canvas) -> None:
    """Letters of the open strings left of the tab lines."""
    for index, text in enumerate(tuning_labels(canvas.phrase)):
        y = canvas.line(index + 1) + LABEL_SIZE * 0.33
        canvas.ink.text(-0.5, y, text, LABEL)
