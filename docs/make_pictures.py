"""Make the pictures of the docs with the tool itself: `make pictures`.

Builds the demo lesson, opens its page and the desk in Chromium and its handout with PyMuPDF, and
listens to a take that was made with mistakes.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pymupdf
from playwright.sync_api import Browser, Error, Page, sync_playwright

from lickwright.hear import hear
from lickwright.hear.picture import picture
from lickwright.lesson import read_lesson
from lickwright.pack import build_pack
from lickwright.sound import render_phrase

HERE = Path(__file__).parent
LESSON = HERE.parent / "examples" / "thursday-class.md"
PICTURES = HERE / "pictures"
MARGIN = 16  # pixels
SWITCHES = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]


def main() -> None:
    """Make all pictures."""
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as scratch:
        pack = Path(scratch) / "pack"
        lesson = read_lesson(LESSON.read_text(encoding="utf-8")).lesson
        build_pack(lesson, pack, "demo", lambda *_: None)
        with sync_playwright() as play:
            chromium = shutil.which("chromium")
            browser = play.chromium.launch(executable_path=chromium, args=SWITCHES)
            _page(browser, pack / "lesson.html")
            _desk(browser, Path(scratch))
            _take(browser, Path(scratch))
            browser.close()
        handout = pymupdf.open(pack / "handout.pdf")
        handout[0].get_pixmap(dpi=90).save(PICTURES / "handout.png")


def _page(browser: Browser, file: Path) -> None:
    """A phrase on a wide screen with a sentence touched, its tab alone, and the page on a phone."""
    page = browser.new_page(viewport={"width": 1080, "height": 900})
    page.goto(file.as_uri())
    page.locator("#corner-lamp .why button").nth(1).click()
    page.mouse.move(0, 0)
    _shot(page, "#corner-lamp", "page.png")
    _shot(page, "#night-bus .score", "phrase.png")
    phone = browser.new_page(
        viewport={"width": 390, "height": 760}, color_scheme="dark", reduced_motion="reduce"
    )
    phone.goto(file.as_uri() + "#corner-lamp")
    phone.screenshot(path=PICTURES / "phone.png")


def _desk(browser: Browser, scratch: Path) -> None:
    """The lesson at the desk with a slip in it, and a phrase up close."""
    folder = scratch / "lessons"
    folder.mkdir()
    text = LESSON.read_text(encoding="utf-8").replace("G      |7b9---", "G      |7b6---", 1)
    (folder / "thursday-class.md").write_text(text, encoding="utf-8")
    port = 8600
    desk = subprocess.Popen(
        [sys.executable, "-m", "lickwright", "desk", str(folder), "--port", str(port),
         "--no-browser"], stdout=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        page = browser.new_page(viewport={"width": 1280, "height": 800})
        _goto(page, f"http://127.0.0.1:{port}/#/lesson/thursday-class")
        page.locator(".problems").wait_for()
        page.locator(".problems .link").first.click()
        page.locator("#back-stairs").scroll_into_view_if_needed()
        page.wait_for_timeout(500)
        page.screenshot(path=PICTURES / "desk.png")
        page.goto(f"http://127.0.0.1:{port}/#/lesson/thursday-class/phrase/back-stairs")
        page.locator(".close-more").wait_for()
        page.screenshot(path=PICTURES / "close.png")
        page.close()
    finally:
        desk.terminate()
        desk.wait()


def _goto(page: Page, address: str) -> None:
    """Open an address whose server is just starting."""
    for _ in range(100):
        try:
            page.goto(address)
        except Error:
            time.sleep(0.1)
        else:
            return


TAKE = """---
title: A take
---
```lick open-window
key: A minor
tempo: 76
B     |-----5--8--5-----------|
G     |5b7-----------7--5-----|
D     |--------------------7~-|
count |1    &  2  &  3  &  4  |
```
"""
SHORT, EARLY = Fraction(157, 100), Fraction(1, 13)  # semitones of the bend, of a beat


def _take(browser: Browser, scratch: Path) -> None:
    """A take of our own strings: the bend 43 cents short, one note early."""
    phrase = read_lesson(TAKE).lesson.phrases[0]
    notes = list(phrase.notes)
    bent = replace(notes[0].gestures[0], to=SHORT)
    notes[0] = replace(notes[0], gestures=(bent, *notes[0].gestures[1:]))
    notes[2] = replace(notes[2], end=notes[2].end - EARLY)
    notes[3] = replace(notes[3], onset=notes[3].onset - EARLY)
    played = replace(phrase, notes=tuple(notes))
    made = render_phrase(played, count_in=False)
    heard = hear(phrase, made.samples, made.rate)
    page = browser.new_page(viewport={"width": 940, "height": 500})
    drawn = picture(phrase, heard)
    page.set_content(f'<body style="margin:16px;background:#fbfaf7;color:#1d2126">{drawn}</body>')
    page.locator("svg").screenshot(path=PICTURES / "take.png")


def _shot(page: Page, where: str, name: str) -> None:
    """A picture of one part of the page with some room around it."""
    page.locator(where).scroll_into_view_if_needed()
    box = page.locator(where).bounding_box()
    assert box is not None
    clip = {"x": max(0, box["x"] - MARGIN), "y": max(0, box["y"] - MARGIN),
            "width": box["width"] + 2 * MARGIN, "height": box["height"] + 2 * MARGIN}  # fmt: skip
    page.screenshot(path=PICTURES / name, clip=clip)  # type: ignore[arg-type]


if __name__ == "__main__":
    main()
