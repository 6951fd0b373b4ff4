"""How fast is a lead phrase played, and how much of the time goes into the file?

Run: python benchmarks/sound_speed.py. Prints seconds of audio for each second of CPU time, medians
of several runs, and the share of MP3 encoding.
"""

from __future__ import annotations

from collections.abc import Callable
from statistics import median
from time import process_time

from lickwright.lesson import read_lesson
from lickwright.phrase import Phrase, perform
from lickwright.sound import CLEAN, RATE, AudioFormat, encode, normalise, render_phrase
from lickwright.sound.players import string_sum

RUNS = 7
LESSON = """
```lick slow-lean
key: A minor
tempo: 84
feel: shuffle

e     |------------8-----------------------------------|
B     |------8-----------11b¼--8-----------------------|
G     |10b12-------------------------10----8-----------|
D     |------------------------------------------10~---|
count |1     &     2     &     3     &     4     &     |

B     |8---10b12---r10--8------5/8---|5-----8b10~---|
G     |--------------------7b8-------|--7p5---------|
count |1   2       3    &  4   +3/4  |1 & 2 3       |
```
"""


def main() -> None:
    phrase = lead_phrase()
    performance = perform(phrase)
    rendered = render_phrase(phrase)
    level = normalise(rendered.samples, RATE)
    seconds = len(level) / RATE
    count = len(level)
    steps: dict[str, Callable[[], object]] = {
        "strings": lambda: string_sum(performance, CLEAN.strings, 3.0, count),
        "strings, amplifier, room": lambda: render_phrase(phrase),
        "loudness": lambda: normalise(rendered.samples, RATE),
        "MP3": lambda: encode(level, RATE, AudioFormat.MP3),
        "FLAC": lambda: encode(level, RATE, AudioFormat.FLAC),
    }
    cost = {name: cpu_seconds(step) for name, step in steps.items()}
    print(f"{len(phrase.notes)} notes, {seconds:.1f} s of audio")
    for name, spent in cost.items():
        print(f"{name:26} {spent * 1000:7.0f} ms {seconds / spent:8.0f} s of audio a CPU second")
    total = cost["strings, amplifier, room"] + cost["loudness"] + cost["MP3"]
    print(f"{'all, as MP3':26} {total * 1000:7.0f} ms {seconds / total:8.0f}")
    print(f"share of MP3 encoding: {100 * cost['MP3'] / total:.0f} %")


def lead_phrase() -> Phrase:
    return read_lesson(LESSON).lesson.phrases[0]


def cpu_seconds(step: Callable[[], object]) -> float:
    step()
    spent = []
    for _ in range(RUNS):
        before = process_time()
        step()
        spent.append(process_time() - before)
    return median(spent)


if __name__ == "__main__":
    main()
