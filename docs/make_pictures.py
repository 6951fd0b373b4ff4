"""Make the pictures of the docs with the tool itself: `make pictures`.

Builds the demo lesson, opens its page in Chromium and its handout with PyMuPDF.
"""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

import pymupdf
from playwright.sync_api import Browser, Page, sync_playwright

from lickwright.lesson import read_lesson
from lickwright.pack import build_pack

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
