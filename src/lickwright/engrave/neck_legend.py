"""What do the shapes mean, and what is the pupil to do?"""

from __future__ import annotations

from lickwright.engrave.faces import Cut, text_width
from lickwright.engrave.ink import CAP_HEIGHT, Lettering
from lickwright.engrave.neck_layout import EDGE
from lickwright.engrave.neck_sheet import Sheet
from lickwright.engrave.neck_spec import NeckSpec, Tone
from lickwright.lesson import Show

SIZE = 1.6
SCALE = 0.56  # of a shape beside its word
AIR = 0.6  # between the two
BETWEEN = 2.0  # between two entries
LINE = 2.3
LEAST_WIDTH = 26.0  # sp: a narrower map is still given so much room for its words
Entry = tuple[Tone | None, str]  # None: words alone


def entries(spec: NeckSpec) -> list[Entry]:
    """The shapes that occur with their words, then what else there is to say."""
    found: list[Entry] = []
    if not spec.worksheet:
        used = {spot.tone for spot in spec.spots}
        found += [(tone, words) for tone, words in spec.legend if tone in used]
    return found + [(None, line) for line in _lines(spec)]


def _lines(spec: NeckSpec) -> list[str]:
    found = []
    if spec.worksheet:
        found.append(_task(spec))
    if spec.path and not spec.worksheet:
        found.append("small numbers: the order of the notes")
    if any(bent.target is not None for bent in spec.bends) and not spec.worksheet:
        found.append("dashed: the pitch a bend reaches")
    if spec.board.capo:
        found.append(f"frets count from the capo at fret {spec.board.capo}")
    return found


def _task(spec: NeckSpec) -> str:
    match spec.show:
        case Show.DEGREES:
            return "Write each note's degree into its ring."
        case Show.NAMES:
            return "Write each note's name into its ring."
        case Show.FINGERS:
            return "Write the finger for each note into its ring."
        case Show.BLANK:
            return f"Draw in: {spec.title}."


def wrapped(spec: NeckSpec, width: float) -> list[list[tuple[float, Entry]]]:
    """Lines of entries, each with its x from the left edge of the words."""
    lines: list[list[tuple[float, Entry]]] = []
    x = 0.0
    for entry in _split(entries(spec), spec, width):
        wide = entry_width(entry)
        if not lines or x + wide > width or entry[0] is None:
            lines.append([])
            x = 0.0
        lines[-1].append((x, entry))
        x += wide + BETWEEN
    return lines


def _split(found: list[Entry], spec: NeckSpec, width: float) -> list[Entry]:
    """Words too long for one line as several."""
    done: list[Entry] = []
    for tone, text in found:
        shape, line = tone, ""
        for word in text.split():
            longer = f"{line} {word}".strip()
            if line and entry_width((shape, longer)) > width:
                done.append((shape, line))
                shape, longer = None, word
            line = longer
        done.append((shape, line))
    return done


def mark_width() -> float:
    """Room for a shape beside its word, the same for all."""
    return 2 * 1.25 * SCALE


def entry_width(entry: Entry) -> float:
    """Width of an entry."""
    tone, text = entry
    words = text_width(text, Cut.SANS, SIZE)
    return words if tone is None else mark_width() + AIR + words


def draw_legend(sheet: Sheet, top: float, width: float) -> float:
    """Draw the words below the neck from `top` down; returns where they end."""
    y = top
    for line in wrapped(sheet.spec, width - 2 * EDGE):
        y += LINE
        for x, (tone, text) in line:
            at = EDGE + x
            if tone is not None:
                centre = sheet.x(at + mark_width() / 2)
                middle = y - CAP_HEIGHT * SIZE / 2
                sheet.shape(tone, "", (centre, middle), SCALE)
                at += mark_width() + AIR
            sheet.ink.text(at, y, text, Lettering(SIZE, kind="legend", anchor="start"))
    return y + 0.25 * SIZE
