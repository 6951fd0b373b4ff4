"""No number, label, sign or word of a picture stands on another, whatever the phrase."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from phrase_strategies import phrases

from lickwright.engrave import PAPER, PHONE, Row, Style
from lickwright.engrave.engraving import draw_all
from lickwright.engrave.system import Drawn
from lickwright.phrase import Phrase

STYLES = {
    "paper": PAPER,
    "phone": PHONE,
    "tab": replace(PAPER, notation=False),
    "narrow tab": replace(PHONE, notation=False),
    "notation": replace(PAPER, tab=False, rows=(Row.COUNT, Row.FINGER)),
}
SOLID = {"fret", "amount", "row", "name", "chord", "heading", "tuning", "mark", "span", "arrow"}
TOUCH = 0.02  # sp; numbers are rounded to hundredths


def overlapping(drawn: Drawn) -> list[tuple[str, str]]:
    """Kinds of all pairs of solid marks that share an area."""
    solid = sorted((m for m in drawn.marks if m.kind in SOLID), key=lambda m: m.box.x0)
    found = []
    for index, one in enumerate(solid):
        for other in solid[index + 1 :]:
            if other.box.x0 > one.box.x1:
                break
            wide = min(one.box.x1, other.box.x1) - other.box.x0
            high = min(one.box.y1, other.box.y1) - max(one.box.y0, other.box.y0)
            own = one.kind == other.kind == "span"  # a dashed line and its hook
            if wide > TOUCH and high > TOUCH and not own:
                found.append((one.kind, other.kind))
    return found


@pytest.mark.parametrize("name", STYLES)
@settings(deadline=None, max_examples=12, suppress_health_check=[HealthCheck.too_slow])
@given(made=phrases())
def test_nothing_stands_on_anything(name: str, made: Phrase) -> None:
    degrees = {note.id: "b3" if note.string % 2 else "5" for note in made.notes}
    for drawn in draw_all(made, STYLES[name], degrees):
        assert overlapping(drawn) == []


def into_notation(drawn: Drawn) -> list[tuple[str, str]]:
    """Kinds of all pairs of a part of the notation and something else that share an area."""
    notation = [m for m in drawn.marks if m.kind.startswith("n-")]
    others = [m for m in drawn.marks if m.kind in SOLID or m.kind in ("bend", "arc", "slide")]
    return [(a.kind, b.kind) for a in notation for b in others if a.box.overlaps(b.box)]


@settings(deadline=None, max_examples=12, suppress_health_check=[HealthCheck.too_slow])
@given(made=phrases())
def test_everything_keeps_clear_of_the_notation(made: Phrase) -> None:
    for style in (PAPER, PHONE, STYLES["notation"]):
        for drawn in draw_all(made, style):
            assert into_notation(drawn) == []


@settings(deadline=None, max_examples=20, suppress_health_check=[HealthCheck.too_slow])
@given(made=phrases())
def test_everything_lies_inside_the_picture(made: Phrase) -> None:
    style: Style
    for style in (PAPER, PHONE):
        for drawn in draw_all(made, style):
            for mark in drawn.marks:
                assert mark.box.x0 >= -0.05, mark
                assert mark.box.y0 >= -0.05, mark
                assert mark.box.x1 <= drawn.width + 0.05, mark
                assert mark.box.y1 <= drawn.height + 0.05, mark
