"""Is the handout whole on paper: nothing cut off, nothing torn from its heading?"""

from __future__ import annotations

from pathlib import Path

import pymupdf
import pytest
from lessons_of_packs import TWO_TURNS, build

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
    assert len(squares) == 2 * 3  # two phrases at 60, 66 and 71
