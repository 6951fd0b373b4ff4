"""How long from a keystroke at the desk to the updated picture, and does memory stay flat?

Run: python benchmarks/desk_latency.py [keystrokes]. A real server and a real Chromium; a fret is
typed again and again in a lesson of 12 phrases and in one of 60. Prints the median and the 95th
percentile of the time from the key to the frame that shows the picture, the server's own time for
the same text, and beside it verovio's time alone for the phrase that changed. Then the memory of
the server's processes before and after all keystrokes.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median, quantiles

sys.path.insert(0, str(Path(__file__).parent.parent / "tests" / "desk"))

from playwright.sync_api import Page, sync_playwright
from served import Desk, served

from lickwright.desk import live
from lickwright.engrave import PAPER, PHONE, engrave, lines
from lickwright.lesson import read_lesson

KEYS = int(sys.argv[1]) if len(sys.argv) > 1 else 60
LICK = """
```lick turn-{n}
key: A minor
tempo: {tempo}
chords: Am7
e     |-------5--------------------|------------|
B     |----5-----8--5--------------|5--8--5-----|
G     |7b9-------------7--5h7p5----|---------7~-|
D     |-------------------------7--|------------|
count |1   &  2  &  3  &  4     &  |1  2  3  4  |
```
"""
PRESSED = "addEventListener('keydown', () => { window.pressed = performance.now(); }, true)"
WAIT = """() => new Promise(done => {
  const lesson = document.querySelector('desk-lesson');
  lesson.addEventListener('shown', () => requestAnimationFrame(
    () => done(performance.now() - window.pressed)), {once: true});
})"""


def lesson(phrases: int) -> str:
    head = "---\ntitle: Turns\n---\nWords for the pupil.\n"
    return head + "".join(LICK.format(n=n, tempo=60 + n) for n in range(1, phrases + 1))


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        for phrases in (12, 60):
            (Path(folder) / f"turns-{phrases}.md").write_text(lesson(phrases))
        with served(Path(folder)) as desk, sync_playwright() as play:
            browser = play.chromium.launch(
                executable_path=shutil.which("chromium"),
                args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
            )
            for phrases in (12, 60):
                page = browser.new_page(viewport={"width": 1280, "height": 800})
                _typed(page, desk, phrases)
                page.close()
            browser.close()


def _typed(page: Page, desk: Desk, phrases: int) -> None:
    page.goto(f"{desk.address}/#/lesson/turns-{phrases}")
    page.locator(f"#turn-{phrases} svg").first.wait_for(state="attached", timeout=60_000)
    page.wait_for_timeout(1500)
    page.evaluate(PRESSED)
    page.locator(".cm-line", has_text="e     |-------5").first.click()
    before = _memory(desk)
    times = []
    for key in range(KEYS):
        page.keyboard.press("Home")
        for _ in range(14):
            page.keyboard.press("ArrowRight")
        page.evaluate(f"void (window.shown = ({WAIT})())")
        page.keyboard.type(str(3 + key % 6))
        times.append(page.evaluate("window.shown"))
    own, engine = _server(phrases)
    late = quantiles(times, n=20)[-1]
    print(f"{phrases} phrases: key to picture {median(times):.0f} ms, 95th {late:.0f} ms")
    print(f"   the server's part {own:.0f} ms; verovio alone for that phrase {engine:.0f} ms,"
          f" ratio {own / engine:.1f}")  # fmt: skip
    print(f"   memory of the server's processes {before:.0f} MB, after {_memory(desk):.0f} MB")


def _server(phrases: int) -> tuple[float, float]:
    """Median ms of the server's work for one changed fret, and of verovio's for that phrase."""
    text = lesson(phrases)
    keys = [part["key"] for part in live.read(text, [])["parts"]]
    spent, engine = [], []
    for number in range(12):
        changed = text.replace("e     |-------5", f"e     |-------{number % 9}", 1)
        changed = changed.replace("tempo: 61", f"tempo: {100 + number + phrases}", 1)
        began = time.perf_counter()
        live.read(changed, keys)
        spent.append(time.perf_counter() - began)
        engine.append(_verovio(changed))
    return 1000 * median(spent), 1000 * median(engine)


def _verovio(text: str) -> float:
    """Seconds that verovio needs for the first phrase, for paper and for a phone."""
    phrase = read_lesson(text).lesson.phrases[0]
    spent = 0.0
    real = lines.typeset

    def timed(*values: object, **more: object) -> object:
        nonlocal spent
        began = time.perf_counter()
        try:
            return real(*values, **more)
        finally:
            spent += time.perf_counter() - began

    lines.typeset = timed
    try:
        for style in (PAPER, PHONE):
            engrave(phrase, style)
    finally:
        lines.typeset = real
    return spent


def _memory(desk: Desk) -> float:
    """MB held by the server and its processes (resident)."""
    command = ["ps", "-o", "rss=", "-g", str(desk.process.pid)]
    listed = subprocess.run(command, capture_output=True, text=True, check=True)
    return sum(int(line) for line in listed.stdout.split()) / 1024


if __name__ == "__main__":
    main()
