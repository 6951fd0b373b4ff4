"""How large is the pupil's page, how soon is it seen, and what does a long handout cost?

Run: python benchmarks/page_cost.py. Builds the demo lesson with its player's sounds and a lesson of
60 phrases without sound. Prints the size of each `lesson.html` with the share of the sounds, the
first paint in Chromium (medians of fresh profiles), and the seconds that its two handouts take
(usual and large print) beside those of typst alone, the music stand's sheet included.
"""

from __future__ import annotations

import re
import shutil
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any

import typst
from playwright.sync_api import sync_playwright

sys.path.insert(0, str(Path(__file__).parent))

from desk_latency import lesson as turns

from lickwright.lesson import read_lesson
from lickwright.pack import AudioWish, build

DEMO = Path(__file__).parent.parent / "examples" / "thursday-class.md"
RUNS = 7
PAINT = """() => {
  const paint = performance.getEntriesByName('first-contentful-paint')[0];
  return paint ? paint.startTime : 0;
}"""
PHRASES = 60
spent = {"typst": 0.0, "handout": 0.0}


def main() -> None:
    _watch()
    with tempfile.TemporaryDirectory() as scratch:
        for name, text, wish in (
            ("demo", DEMO.read_text(encoding="utf-8"), AudioWish()),
            (f"{PHRASES} phrases", turns(PHRASES), AudioWish(())),
        ):
            folder = Path(scratch) / name.replace(" ", "-")
            spent.update(typst=0.0, handout=0.0)
            began = perf_counter()
            build.build_pack(read_lesson(text).lesson, folder, "lesson", lambda *_: None, wish)
            print(f"{name}: built in {perf_counter() - began:.1f} s")
            print(f"   handouts {spent['handout']:.2f} s, typst in all {spent['typst']:.2f} s")
            _page(name, folder / "lesson.html")


def _page(name: str, page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    bare = re.sub(r"data:font[^)]*", "", text)
    sounds = sum(map(len, re.findall(r"[A-Za-z0-9+/=]{20000,}", bare)))
    print(f"{name}: lesson.html {len(text) / 1e6:.2f} MB, of it sounds {sounds / 1e6:.2f} MB")
    print(f"   first paint {_first_paint(page):.0f} ms in Chromium, median of {RUNS}")


def _first_paint(page: Path) -> float:
    found = []
    with sync_playwright() as play:
        for _ in range(RUNS):
            browser = play.chromium.launch(
                executable_path=shutil.which("chromium"),
                args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
            )
            opened = browser.new_page(viewport={"width": 390, "height": 800})
            opened.goto(page.as_uri())
            found.append(float(opened.evaluate(PAINT)))
            browser.close()
    return median(found)


def _watch() -> None:
    """Note what the making of handouts takes, and typst in it."""
    compile_files: Any = typst.compile
    make: Any = build.make_handout
    typst.compile = lambda *values, **more: _timed("typst", compile_files, *values, **more)
    build.make_handout = lambda *values: _timed("handout", make, *values)


def _timed(name: str, call: Callable[..., Any], *values: Any, **more: Any) -> Any:
    before = dict(spent)
    began = perf_counter()
    try:
        return call(*values, **more)
    finally:
        spent[name] = before[name] + perf_counter() - began


if __name__ == "__main__":
    main()
