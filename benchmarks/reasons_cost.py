"""What does explaining a phrase cost, beside engraving it, and how does it grow?

Run: python benchmarks/reasons_cost.py. Medians of interleaved runs, in milliseconds of CPU time;
facts, sentences, the fit over the usual chords, and the grade together.
"""

from __future__ import annotations

from statistics import median
from time import process_time

from lickwright.engrave import PAPER, engrave
from lickwright.lesson import read_lesson
from lickwright.phrase import Phrase
from lickwright.reasons import explain, fit, grade, usual_chords

RUNS = 7
CHORDS = ("A7", "D7", "A7", "E7")
BAR = {
    "e": "-----5-----------",
    "B": "---5---8-5-------",
    "G": "7b9--------7-5---",
    "D": "---------------7-",
    "count": "1  & 2 & 3 & 4 &",
}


def phrase_of(bars: int) -> Phrase:
    """A phrase with a bend in every bar and a chord in every bar."""
    rows = [f"chord |{'|'.join(CHORDS[bar % 4].ljust(17) for bar in range(bars))}|"]
    rows += [f"{label:5} |{'|'.join([cell.ljust(17)] * bars)}|" for label, cell in BAR.items()]
    text = "```lick growing\nkey: A\n\n" + "\n".join(rows) + "\n```\n"
    reading = read_lesson(text)
    assert reading.problems == (), reading.problems
    return reading.lesson.phrases[0]


def everything(phrase: Phrase) -> None:
    """All that the reasons say of one phrase."""
    why = explain(phrase)
    for chord in usual_chords(phrase.key):
        fit(phrase, why.tones, chord)
    grade(phrase)


def timed(work: object, phrase: Phrase) -> float:
    start = process_time()
    work(phrase)  # type: ignore[operator]
    return (process_time() - start) * 1000


def main() -> None:
    made = {bars: phrase_of(bars) for bars in (1, 4, 16, 64, 256)}
    times: dict[int, list[float]] = {bars: [] for bars in made}
    engraving: list[float] = []
    engrave(made[16], PAPER)
    for _ in range(RUNS):
        for bars, phrase in made.items():
            times[bars].append(timed(everything, phrase))
        engraving.append(timed(lambda phrase: engrave(phrase, PAPER), made[16]))
    for bars, each in times.items():
        middle = median(each)
        print(f"{bars:4} bars: {middle:8.1f} ms, {middle / bars:.2f} ms a bar")
    ratio = median(times[16]) / median(engraving)
    print(f"engraving 16 bars: {median(engraving):.1f} ms; explaining costs {ratio:.2f} times that")


if __name__ == "__main__":
    main()
