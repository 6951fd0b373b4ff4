"""Every note has one place: in order of time, under its head, and on the right system."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from hypothesis import HealthCheck, given, settings
from lxml import etree
from phrase_builder import n, phrase
from phrase_strategies import phrases

from lickwright.engrave import PAPER, PHONE, Engraving, engrave
from lickwright.phrase import Phrase

SLOW = [HealthCheck.too_slow]
HEAD = 1.26  # sp; width of a head, by which a second shifts one of the two


def lit(svg: str) -> set[str | None]:
    """Note ids that a page can light up."""
    root = etree.fromstring(svg.encode())
    return {e.get("data-note") for e in root.iter() if e.get("data-note")}


def in_order(made: Phrase, drawn: Engraving) -> bool:
    """True if what is counted later stands further right on its system."""
    counted = {note.id for note in made.notes if not note.instant}
    places = [p for p in drawn.layout if p.id in counted]
    pairs = [(a, b) for a in places for b in places if a.system == b.system]
    return all(a.x < b.x for a, b in pairs if a.onset < b.onset)


@settings(deadline=None, max_examples=30, suppress_health_check=SLOW)
@given(made=phrases())
def test_every_note_stands_once_in_order(made: Phrase) -> None:
    for style in (PAPER, PHONE, replace(PAPER, tab=False), replace(PHONE, notation=False)):
        drawn = engrave(made, style)
        ids = Counter(place.id for place in drawn.layout)
        assert ids == Counter(note.id for note in made.notes)
        assert lit(drawn.svg) == set(ids)
        assert in_order(made, drawn)
        for place in drawn.layout:
            system = drawn.systems[place.system]
            bar = next(b for b in made.bars if b.start <= place.onset < b.end)
            assert system.first_bar <= bar.number <= system.last_bar
            assert 0 < place.x < system.width_sp
            assert 0 < place.y < system.height_sp


@settings(deadline=None, max_examples=25, suppress_health_check=SLOW)
@given(made=phrases())
def test_numbers_stand_under_their_heads(made: Phrase) -> None:
    numbers = {p.id: p for p in engrave(made, PAPER).layout}
    heads = {p.id: p for p in engrave(made, replace(PAPER, tab=False)).layout}
    sounding = [(note.onset, note.end) for note in made.notes if not note.instant]
    bent = {note.id for note in made.notes if note.gestures}
    for note in made.notes:
        if note.instant or note.id in bent:
            continue  # small heads stand before the main one
        apart = abs(numbers[note.id].x - heads[note.id].x)
        # a head beside it, also a tied one, may push it to the other side of the stem
        alone = sum(start <= note.onset < end for start, end in sounding) == 1
        assert apart <= (0.05 if alone else HEAD + 0.3), note.id


def test_lines_count_from_the_thinnest_string() -> None:
    drawn = engrave(phrase([n(s, 5, s - 1, s) for s in range(1, 7)], bars=2), PAPER)
    ys = [place.y for place in drawn.layout]
    steps = {round(b - a, 2) for a, b in pairwise(ys)}
    assert steps == {1.5}


def test_a_bar_too_wide_for_the_page_makes_the_page_wider() -> None:
    notes = [n(3, 5 + k % 12, Fraction(k, 8), Fraction(k + 1, 8)) for k in range(32)]
    drawn = engrave(phrase(notes), PHONE)
    assert len(drawn.systems) == 1
    assert drawn.width_sp > PHONE.width
    xs = [place.x for place in drawn.layout]
    assert min(b - a for a, b in pairwise(xs)) >= 2.9


def test_simile_bar_holds_a_place_for_each_note() -> None:
    notes = [n(3, 5, 0, 2), n(3, 7, 2, 4), n(3, 5, 4, 6), n(3, 7, 6, 8)]
    drawn = engrave(phrase(notes, simile=[2]), PAPER)
    third, fourth = drawn.layout[2:]
    assert (third.x, third.y) == (fourth.x, fourth.y)
    assert len(drawn.layout) == 4
