"""Is the handout whole on paper: nothing cut off, nothing torn from its heading?"""

from __future__ import annotations

from pathlib import Path

import pymupdf
import pytest
from lessons_of_packs import SILENT, TWO_TURNS, build, contents

from lickwright.lesson import read_lesson
from lickwright.pack import Look, Shown, build_pack
from lickwright.reasons import explain

HOSTILE = "#panic() $x$ *b* @ref <l> // /* \\ `c` ‘q’"


def handout(text: str, folder: Path) -> pymupdf.Document:
    build(text, folder / "pack")
    return pymupdf.open(folder / "pack" / "handout.pdf")


def long_lesson(bars: int) -> str:
    music = "".join("5-7-5-7-5-7-5-7|" for _ in range(bars))
    count = "".join("1 & 2 & 3 & 4 &|" for _ in range(bars))
    settings = "---\ntitle: Long\npaper: Letter\n---\n# Part\n\nRead me first.\n"
    return f"{settings}\n```lick long\nkey: A\ntempo: 240\nG     |{music}\ncount |{count}\n```\n"


def inside(page: pymupdf.Page) -> bool:
    """Whether all words and lines lie on the page."""
    words = [pymupdf.Rect(word[:4]) for word in page.get_text("words")]
    lines = [drawing["rect"] for drawing in page.get_drawings()]
    return all(box in page.rect or box.is_empty for box in words + lines)


def test_a_long_phrase_goes_over_pages_line_by_line(tmp_path: Path) -> None:
    paper = handout(long_lesson(28), tmp_path)
    assert len(paper) > 1
    assert all(inside(page) for page in paper)
    counts = sum(1 for page in paper for word in page.get_text("words") if word[4] == "count")
    assert counts == len(list((tmp_path / "pack" / "pictures").glob("long-line-*.svg")))
    frets = [word for page in paper for word in page.get_text("words") if word[4] in "57"]
    assert len(frets) >= 28 * 8
    first = paper[0].get_text()
    assert all(words in first for words in ("Read me first.", "Long", "count"))
    assert paper[0].rect.width == pytest.approx(612)  # Letter: 8.5 by 11 inches, ANSI/ASME Y14.1


def test_the_teachers_text_is_never_taken_as_markup(tmp_path: Path) -> None:
    text = TWO_TURNS.replace("title: Two turns", f"title: {HOSTILE}")
    paper = handout(f"{text}\n{HOSTILE}\n", tmp_path)
    words = " ".join(" ".join(page.get_text().split()) for page in paper)
    assert words.count("#panic() $x$") >= 2
    assert "@ref <l> // /* \\" in words


def test_it_is_tagged_titled_and_says_the_same_every_time(tmp_path: Path) -> None:
    paper = handout(TWO_TURNS, tmp_path)
    assert paper.metadata["title"] == "Two turns"
    catalogue = paper.xref_object(paper.pdf_catalog())
    assert "/StructTreeRoot" in catalogue  # ISO 14289-1 (PDF/UA): a tagged document
    assert "/Lang" in catalogue
    fonts = {font[3].split("+")[-1] for page in paper for font in page.get_fonts()}
    assert fonts
    assert all("Lickwright" in font for font in fonts)


def test_a_stage_gives_one_box_a_phrase_and_tempo(tmp_path: Path) -> None:
    paper = handout(TWO_TURNS, tmp_path)
    squares = [
        drawing
        for page in paper
        for drawing in page.get_drawings()
        if abs(drawing["rect"].width - 9.07) < 0.2 and abs(drawing["rect"].height - 9.07) < 0.2
    ]
    # two phrases at 60, 66 and 71 in the stage; under each phrase these and its own tempo, 90
    assert len(squares) == 2 * 3 + 2 * 4


def text_of(data: bytes) -> str:
    return " ".join(page.get_text() for page in pymupdf.open(stream=data, filetype="pdf"))


def test_large_print_and_the_stand_sheet_hold_every_phrase(tmp_path: Path) -> None:
    build(TWO_TURNS, tmp_path / "pack")
    files = contents(tmp_path / "pack")
    for name in ("handout-large-print.pdf", "music-stand.pdf"):
        text = text_of(files[name])
        assert "Two turns" in text
        assert "Up" in text
        assert "Down" in text
    stand = pymupdf.open(stream=files["music-stand.pdf"], filetype="pdf")
    assert len(stand) == 1
    sizes = [
        span["size"]
        for page in pymupdf.open(stream=files["handout-large-print.pdf"], filetype="pdf")
        for block in page.get_text("dict")["blocks"]
        for line in block.get("lines", ())
        for span in line["spans"]
        if "Play" in span["text"] or "ends on" in span["text"]
    ]
    # Large print: at least 14 points (common practice of libraries for the blind, from memory).
    assert sizes
    assert min(sizes) >= 14


def test_tab_or_notation_alone_and_the_left_hand(tmp_path: Path) -> None:
    pictures = {}
    for shown in Shown:
        look = Look(shown, left_handed=shown is Shown.TAB)
        lesson = read_lesson(TWO_TURNS).lesson
        build_pack(lesson, tmp_path / shown.value, "x", lambda *_: None, SILENT, look)
        pictures[shown] = (tmp_path / shown.value / "pictures" / "up.svg").read_text()
        page = (tmp_path / shown.value / "lesson.html").read_text()
        assert ('data-view="left" checked' in page) == (shown is Shown.TAB)
    assert 'class="fret"' in pictures[Shown.TAB]
    assert 'class="fret"' not in pictures[Shown.NOTATION]
    assert len(pictures[Shown.BOTH]) > max(len(pictures[s]) for s in (Shown.TAB, Shown.NOTATION))


def test_a_long_lesson_has_a_table_of_contents(tmp_path: Path) -> None:
    blocks = "".join(
        f"\n```lick turn-{n}\nkey: A\nG     |7-5|\ncount |1 2|\n```\n" for n in range(1, 15)
    )
    build("---\ntitle: Many\n---\n" + blocks, tmp_path / "pack")
    handout = pymupdf.open(tmp_path / "pack" / "handout.pdf")
    first = handout[0].get_text()
    assert all(f"Turn {n}" in first for n in range(1, 15))
    assert len(handout[0].get_links()) >= 14


WIDE = """---
title: Over the whole neck
---
```lick far-walk
title: Far walk
key: A minor
e     |------------17--15--|12----------|
B     |--------17----------|----13--10--|
G     |0---9---------------|------------|
D     |--------------------|------------|
count |1   &   2   &   3   |1   2   3   |
```
"""


def test_reasons_beside_a_map_keep_a_line_that_can_be_read(tmp_path: Path) -> None:
    reading = read_lesson(WIDE)
    assert reading.problems == ()
    handout(WIDE, tmp_path)
    said = explain(reading.lesson.phrases[0]).reasons[0].text.split()
    for name in ("handout.pdf", "handout-large-print.pdf"):
        found = [
            [word[1] for word in words[at : at + len(said)]]
            for page in pymupdf.open(tmp_path / "pack" / name)
            for words in [page.get_text("words")]
            for at in range(len(words))
            if [word[4] for word in words[at : at + len(said)]] == said
        ]
        assert found
        assert all(len(set(tops)) <= 3 for tops in found), "lines of a reason"
