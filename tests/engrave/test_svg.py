"""The picture is a document of its own: valid, unstyled, without doors to the outside."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import permutations
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from lxml import etree
from phrase_builder import grace, n, phrase
from phrase_strategies import phrases

from lickwright.engrave import PAPER, PHONE, Cut, Row, Style, engrave, font_bytes, text_width
from lickwright.engrave.engraving import draw_all
from lickwright.phrase import Bend, Mark, Phrase, Release, Span, Stroke, Vibrato

F = Fraction
SVG = "{http://www.w3.org/2000/svg}"
KNOWN = {"svg", "title", "desc", "defs", "path", "g", "use", "text", "ellipse", "polygon",
         "polyline", "rect"}  # fmt: skip


def check(svg: str, prefix: str) -> None:
    root = etree.fromstring(svg.encode())
    names = Counter(e.get("id") for e in root.iter() if e.get("id"))
    assert max(names.values()) == 1
    assert all(name is not None and name.startswith(f"{prefix}-") for name in names)
    for element in root.iter():
        assert str(element.tag).removeprefix(SVG) in KNOWN
        for key, value in element.attrib.items():
            assert "url(" not in value
            assert not str(key).startswith("on")
            assert key != "style"
            if str(key).endswith("href"):
                assert value[:1] == "#"
                assert value[1:] in names
    assert set(str(root.get("aria-labelledby")).split()) <= set(names)
    assert root.get("role") == "img"


@settings(deadline=None, max_examples=15, suppress_health_check=[HealthCheck.too_slow])
@given(made=phrases())
def test_pictures_are_closed_documents(made: Phrase) -> None:
    for style in (PAPER, replace(PHONE, id_prefix="ph"), replace(PAPER, notation=False)):
        drawn = engrave(made, style)
        check(drawn.svg, style.id_prefix)
        for system in drawn.systems:
            check(system.svg, style.id_prefix)


def ids(svg: str) -> set[str]:
    return {e.get("id", "") for e in etree.fromstring(svg.encode()).iter()} - {""}


def test_two_pictures_share_a_page() -> None:
    one, other = phrase([n(1, 5, 0, 4)], name="one"), phrase([n(1, 5, 0, 4)], name="other")
    sets = [ids(engrave(one, PAPER).svg), ids(engrave(other, PAPER).svg)]
    sets.append(ids(engrave(one, replace(PHONE, id_prefix="ph")).svg))
    assert not any(a & b for a, b in permutations(sets, 2))


def test_what_the_teacher_wrote_is_escaped() -> None:
    title = "<script>\"&\x07' </title>"
    drawn = engrave(phrase([n(1, 5, 0, 4)], title=title, name="a&b"), PAPER)
    root = etree.fromstring(drawn.svg.encode())
    assert root.findtext(f"{SVG}title") == title.replace("\x07", "")
    assert root.findtext(f"{SVG}desc") == drawn.description
    assert "<script" not in drawn.svg
    assert {p.id for p in drawn.layout} == {"a&b/1/1/1"}
    degrees = engrave(phrase([n(1, 5, 0, 4)]), PAPER, {"p/1/1/1": "<b>"})
    assert ">&lt;b&gt;</text>" in degrees.svg


PROGRAM = """
import sys, hashlib
sys.path.insert(0, sys.argv[1])
from test_svg import sample
from lickwright.engrave import PAPER, PHONE, engrave
text = engrave(sample(), PAPER).svg + engrave(sample(), PHONE).svg
print(hashlib.sha256(text.encode()).hexdigest())
"""


def sample() -> Phrase:
    """A little of everything over several lines on a phone."""
    notes = [
        grace(3, 5, 0), n(3, 7, 0, 1, link="h"), n(2, 8, 1, 2, gestures=[Bend(F(2)), Vibrato()]),
        n(1, 8, 2, 3), n(2, 8, 2, 3), n(3, 9, 3, 5), n(2, 5, 5, "16/3"), n(2, 8, "16/3", "17/3"),
        n(3, 7, "17/3", 6), n(3, 5, 6, 7), n(4, 7, 7, 8), n(4, 5, 8, 12),
    ]  # fmt: skip
    return phrase(notes, chords=[(0, "Am7"), (4, "D9"), (8, "E7#9")])


def test_same_phrase_same_bytes_in_any_process() -> None:
    found = set()
    for seed in ("1", "2"):
        run = subprocess.run(
            [sys.executable, "-c", PROGRAM, str(Path(__file__).parent)],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True, text=True, check=True,
        )  # fmt: skip
        found.add(run.stdout.strip())
    assert len(found) == 1
    assert engrave(sample(), PAPER) == engrave(sample(), PAPER)


def rows_of(style: Style, **more: object) -> list[str]:
    note = n(1, 5, 0, 4, stroke=Stroke.DOWN)
    root = etree.fromstring(engrave(phrase([note]), style, {"p/1/1/1": "b3"}, **more).svg.encode())  # type: ignore[arg-type]
    return [e.text or "" for e in root.iter(f"{SVG}text") if e.get("class") in ("row", "name")]


def test_rows_can_be_switched_off() -> None:
    assert rows_of(replace(PAPER, rows=())) == []
    assert rows_of(replace(PAPER, rows=(Row.DEGREE,))) == ["b3", "degree"]
    everything = rows_of(PAPER)
    assert {"count", "degree", "pick", "1", "b3"} <= set(everything)
    assert "finger" not in everything  # nobody wrote one
    heights = [engrave(sample(), replace(PAPER, rows=r)).height_sp for r in ((), PAPER.rows)]
    assert heights[0] < heights[1]


def test_what_was_filled_in_is_lighter() -> None:
    note = n(1, 5, 0, 4, stroke=Stroke.DOWN)
    plain = engrave(phrase([note]), PAPER).svg
    suggested = engrave(phrase([note]), PAPER, suggested=frozenset({"p/1/1/1"})).svg
    assert 'class="stroke"' in plain
    assert 'class="stroke"' not in suggested
    assert '<g opacity="0.65"><use' in suggested


def broken(*notes: object, **more: object) -> list[list[str]]:
    """Kinds of ink on each of two lines, when a line holds no more than one bar."""
    made = phrase(notes, **more)  # type: ignore[arg-type]
    lines = draw_all(made, replace(PHONE, width=24, rows=()))
    assert len(lines) == 2
    return [[mark.kind for mark in line.marks] for line in lines]


FIRST = [n(4, 5, 0, 1), n(4, 7, 1, 2), n(4, 5, 2, 3)]
LAST = [n(4, 7, 5, 6), n(4, 5, 6, 7), n(4, 7, 7, 8)]


@pytest.mark.parametrize(("link", "kind"), [("h", "arc"), ("/", "slide")])
def test_joins_over_a_line_end_are_drawn_on_both_lines(link: str, kind: str) -> None:
    one, other = broken(*FIRST, n(2, 5, 3, 4), n(2, 7, 4, 5, link=link), *LAST)
    assert one.count(kind) == other.count(kind) == 1
    assert one.count("n-bow") == other.count("n-slur") == 1


def test_what_sounds_on_over_a_line_end_is_drawn_on_both_lines() -> None:
    bend = n(2, 8, 3, 6, gestures=[Bend(F(2)), Release(start=F(5)), Vibrato()])
    one, other = broken(*FIRST, bend, *LAST[1:])
    assert one.count("n-bow") == other.count("n-tie") == 1
    assert one.count("hold") == other.count("hold") == 1
    assert one.count("arrow") == other.count("arrow") == 1  # up, then down
    assert "mark" in other  # the vibrato after the release
    assert "mark" not in one


def test_spans_go_on_over_a_line_end() -> None:
    lines = broken(*FIRST, n(2, 5, 3, 4), n(2, 5, 4, 5), *LAST,
                   spans=(Span(Mark.PALM_MUTE, F(1), F(7)),))  # fmt: skip
    assert [line.count("mark") for line in lines] == [1, 1]
    assert [line.count("span") for line in lines] == [1, 2]  # the hook only at the end


@settings(deadline=None)
@given(st.text(st.sampled_from("0123456789()abefgBmaj♭♯♮¼½&+/ ‹›"), max_size=12))
def test_text_widths(text: str) -> None:
    import pymupdf  # noqa: PLC0415

    # Source: MuPDF's own reading of the font file.
    for cut in (Cut.SANS, Cut.SANS_SEMIBOLD, Cut.SANS_ITALIC):
        font = pymupdf.Font(fontbuffer=font_bytes(cut))
        assert text_width(text, cut, 10) == pytest.approx(font.text_length(text, 10), abs=0.02)


def test_a_picture_shows_something() -> None:
    with pytest.raises(ValueError, match="the notation, the tab or both"):
        Style(notation=False, tab=False)
    with pytest.raises(ValueError, match="20 to 2000"):
        Style(width=10)
