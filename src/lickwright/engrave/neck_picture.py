"""What does a map of the neck look like?"""

from __future__ import annotations

from dataclasses import dataclass

from lickwright.engrave.ink import Mark, clean
from lickwright.engrave.join import picture, safe_id
from lickwright.engrave.neck_board import NUMBER_DROP, draw_barre, draw_board
from lickwright.engrave.neck_layout import EDGE, lay_out
from lickwright.engrave.neck_legend import LEAST_WIDTH, draw_legend, entries, entry_width
from lickwright.engrave.neck_path import draw_bends, draw_orders, draw_way, orders_height
from lickwright.engrave.neck_shapes import Shapes
from lickwright.engrave.neck_sheet import Sheet
from lickwright.engrave.neck_spec import NeckMapError, NeckSpec, Spot, Tone
from lickwright.engrave.neck_words import describe_map
from lickwright.engrave.style import PAPER, Style
from lickwright.lesson import Show

MOST_NESTED = 60  # notes of a phrase at one place that the page can light by its dot


@dataclass(frozen=True, slots=True)
class SpotPlace:
    """Where a spot stands. `x`, `y`: its centre, `half`: half its width, sp from the top left.

    `tone` is None for the rings of a worksheet; `label` is what is written into the shape.
    """

    string: int
    fret: int
    x: float
    y: float
    half: float
    tone: Tone | None
    label: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class NeckPicture:
    """A map of the neck as a picture; the viewBox of `svg` counts staff spaces."""

    svg: str
    width_sp: float
    height_sp: float
    title: str
    description: str
    layout: tuple[SpotPlace, ...]


@dataclass(frozen=True, slots=True)
class DrawnMap:
    """A map with the ink of each mark, for the checks that nothing overlaps. Lengths in sp."""

    body: str
    width: float
    height: float
    marks: tuple[Mark, ...]
    layout: tuple[SpotPlace, ...]


def neck_map(spec: NeckSpec, style: Style = PAPER) -> NeckPicture:
    """Draw a map of the neck, no wider than the style's width if the frets have room there.

    A neck too long for one line is drawn in two or more. Every spot is a group with the class of
    its tone, `data-place` (string-fret) and `data-label`; the spots and order numbers of a phrase
    have its note ids as `data-note`.

    Raises NeckMapError if fingers are wanted and there are none to show, NotInstalledError if the
    package was not fully built.
    """
    drawn = draw_map(spec, style)
    prefix = f"{safe_id(style.id_prefix)}-{safe_id(spec.name)}-neck"
    words = describe_map(spec)
    svg = picture(drawn.body, (), (drawn.width, drawn.height), prefix, (spec.title, words))
    return NeckPicture(svg, drawn.width, drawn.height, spec.title, words, drawn.layout)


def draw_map(spec: NeckSpec, style: Style) -> DrawnMap:
    """Draw a map, not yet as a document of its own."""
    if spec.show is Show.FINGERS and spec.spots and not any(s.finger for s in spec.spots):
        raise NeckMapError(
            "fingers are shown for one pattern or for at most five frets; this map is wider: "
            "add a pattern or frets, or show degrees or names"
        )
    layout = lay_out(spec, style.width, orders_height(spec))
    sheet = Sheet(spec, layout, Shapes(layout.sizes, {}))
    places = () if spec.worksheet and spec.show is Show.BLANK else _draw_neck(sheet)
    if not places:
        draw_board(sheet)
    last = layout.stretches[-1]
    bottom = layout.string_y(last, len(spec.board.tuning)) + layout.below + NUMBER_DROP
    room = max([layout.width, min(style.width, _words_width(spec))])
    height = draw_legend(sheet, bottom + 0.6, room) + EDGE
    marks = tuple(sheet.ink.marks)
    # Words that are wider than the neck stand out on the right of it, on a mirrored neck too.
    width = max([layout.width, *(mark.box.x1 + EDGE for mark in marks)])
    body = sheet.shapes.defs + "".join(sheet.ink.parts)
    return DrawnMap(body, round(width, 2), round(height, 2), marks, places)


def _words_width(spec: NeckSpec) -> float:
    longest = max((entry_width(entry) for entry in entries(spec)), default=0.0)
    return min(LEAST_WIDTH, longest + 2 * EDGE)


def _draw_neck(sheet: Sheet) -> tuple[SpotPlace, ...]:
    """Neck, spots and the way between them; strings and way are broken where spots stand."""
    for spot in sheet.spec.spots:
        sheet.holes[sheet.centre(spot)] = sheet.layout.sizes.half(sheet.tone(spot))
    if not sheet.spec.worksheet:
        draw_orders(sheet)
        draw_bends(sheet)
    draw_board(sheet)
    draw_barre(sheet)
    if not sheet.spec.worksheet:
        draw_way(sheet)
    return tuple(_spot(sheet, spot) for spot in sheet.spec.spots)


def _spot(sheet: Sheet, spot: Spot) -> SpotPlace:
    label = "" if sheet.spec.worksheet else spot.label(sheet.spec.show)
    centre, tone = sheet.centre(spot), sheet.tone(spot)
    attributes = {
        "class": f"spot {tone.value if tone is not None else 'to-fill'}",
        "data-place": f"{spot.place.string}-{spot.place.fret}",
    }
    if label:
        attributes["data-label"] = label
    notes = [visit.note for visit in spot.visits]
    opening = [f'<g data-note="{clean(note)}">' for note in notes[:MOST_NESTED]]
    sheet.ink.parts.append("".join(opening))
    with sheet.ink.group(attributes):
        sheet.shape(tone, label, centre)
    sheet.ink.parts.append("</g>" * len(opening))
    half = sheet.layout.sizes.half(tone)
    x, y = round(sheet.x(centre[0]), 3), round(centre[1], 3)
    return SpotPlace(spot.place.string, spot.place.fret, x, y, half, tone, label, tuple(notes))
