"""How much dearer is a picture with tab and reasons than verovio's picture of the same notation?

Run: python benchmarks/engrave_cost.py. Reads, explains and engraves a phrase of 16 bars, and has
verovio load and draw the notation that was sent to it once, with and without the invisible words
that make room for the tab. Prints medians of runs that take turns, how long each step takes, and
how the time grows from 1 to 64 bars. One process, one thread; the first run of each is not counted.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from statistics import median
from time import process_time

from lickwright.engrave import PAPER, Engraving, engrave
from lickwright.engrave.lines import set_lines
from lickwright.engrave.rows import row_words
from lickwright.engrave.tokens import tab_columns
from lickwright.engrave.typeset import typeset
from lickwright.lesson import read_lesson
from lickwright.phrase import Phrase
from lickwright.phrase.score import score_bars
from lickwright.reasons import Explanation, explain

RUNS = 15
SIZES = (1, 4, 16, 64)  # bars
AIM = 2.5  # times verovio's own time
HEAD = "```lick long-stairs\nkey: A minor\ntempo: 84\n"
CHORDS = ("Am7", "D9", "Am7", "E7#9")
BARS = (
    ("-------5--------------|", "----5-----8--5--------|", "7b9-------------7-----|",
     "-------------------7~-|", "1   &  2  &  3  &  4  |"),
    ("5h8-5-----------------|", "------8---------------|", "----------7--5--------|",
     "----------------7--5--|", "1   & 2   &  3  4  &  |"),
    ("----------------------|", "8b10--r8--5--------5--|", "-------------7--5-----|",
     "----------------------|", "1     &   2  &  3  4  |"),
    ("----------------------|", "----------------------|", "5--7---5/7------------|",
     "------------7--5--7~--|", "1  t   l    2  3  4   |"),
)  # fmt: skip
ROWS = ("e    ", "B    ", "G    ", "D    ", "count")


def main() -> None:
    text = lesson(16)
    phrase = first_phrase(text)
    explained = explain(phrase)
    mei = sent_mei(phrase, explained)
    bare = re.sub(r"<harm.*?</harm>", "", mei)
    cost = medians(
        {
            "read, explain, engrave": lambda: whole(text),
            "  read": lambda: read_lesson(text),
            "  explain": lambda: explain(phrase),
            "  engrave": lambda: drawn(phrase, explained),
            "verovio, same MEI": lambda: typeset(mei, PAPER, width=PAPER.width),
            "verovio, without spacers": lambda: typeset(bare, PAPER, width=PAPER.width),
        }
    )
    print(f"{len(phrase.bars)} bars, {len(phrase.notes)} notes; CPU time, medians of {RUNS}")
    for name, spent in cost.items():
        print(f"{name:26} {spent * 1000:7.1f} ms")
    ours = cost["read, explain, engrave"]
    for name in ("same MEI", "without spacers"):
        ratio = ours / cost[f"verovio, {name}"]
        print(f"{f'times verovio, {name}':32} {ratio:5.2f} (aim: at most {AIM})")
    growth()


def growth() -> None:
    texts = {size: lesson(size) for size in SIZES}
    found = medians({str(size): lambda text=text: whole(text) for size, text in texts.items()})  # type: ignore[misc]
    print("bars      ms   ms a bar")
    for size in SIZES:
        spent = found[str(size)] * 1000
        print(f"{size:4} {spent:7.1f} {spent / size:10.2f}")


def lesson(bars: int) -> str:
    """A lesson with one phrase of so many bars, four to a system."""
    systems = []
    for start in range(0, bars, len(BARS)):
        shown = [BARS[i % len(BARS)] for i in range(start, min(start + len(BARS), bars))]
        rows = ("".join(bar[row] for bar in shown) for row in range(len(ROWS)))
        systems.append("\n".join(f"{name} |{row}" for name, row in zip(ROWS, rows, strict=True)))
    chords = "chords: " + " | ".join(CHORDS[:bars])
    return f"{HEAD}{chords}\n\n" + "\n\n".join(systems) + "\n```\n"


def first_phrase(text: str) -> Phrase:
    reading = read_lesson(text)
    if reading.problems:
        raise ValueError(reading.problems[0])
    return reading.lesson.phrases[0]


def whole(text: str) -> Engraving:
    phrase = first_phrase(text)
    return drawn(phrase, explain(phrase))


def drawn(phrase: Phrase, explained: Explanation) -> Engraving:
    return engrave(phrase, PAPER, explained.degrees, explained.spelled)


def sent_mei(phrase: Phrase, explained: Explanation) -> str:
    """The notation as it was last sent to verovio."""
    bars = score_bars(phrase, written_bends=True)
    words = row_words(phrase, PAPER.rows, explained.degrees)
    beats = [e.start for bar in bars for voice in bar.voices for e in voice if not e.hidden]
    columns = tab_columns(phrase, PAPER, beats, words)
    return set_lines(phrase, PAPER, bars, columns, explained.spelled)[1].mei


def medians(steps: Mapping[str, Callable[[], object]]) -> dict[str, float]:
    """Seconds of CPU time of each step; the steps take turns."""
    spent: dict[str, list[float]] = {name: [] for name in steps}
    for step in steps.values():
        step()
    for _ in range(RUNS):
        for name, step in steps.items():
            before = process_time()
            step()
            spent[name].append(process_time() - before)
    return {name: median(found) for name, found in spent.items()}


if __name__ == "__main__":
    main()
