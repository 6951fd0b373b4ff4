"""How often does anything in a picture stand on anything else?

Run: python benchmarks/collisions.py [phrases] [first seed]. Engraves phrases made at random, far
denser than any lesson, in five styles (the page, a phone, tab alone, tab alone on a phone,
notation alone), compares every box of ink with every other, and prints what was found of each.
"""

from __future__ import annotations

import sys
from collections import Counter
from itertools import count, islice
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).parent.parent))
sys.path.insert(0, str(Path(__file__).parent.parent / "tests" / "engrave"))

from test_overlap import STYLES, into_notation, overlapping
from tests.lesson.made_licks import make_lick

from lickwright.engrave.engraving import draw_all
from lickwright.lesson import read_lesson


def phrases(first: int):
    for seed in count(first):
        reading = read_lesson(f"```lick try\n{make_lick(Random(seed))}```\n")
        if reading.lesson.phrases and not reading.problems:
            yield seed, reading.lesson.phrases[0]


def main() -> None:
    many = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 0
    found: dict[str, Counter[tuple[str, ...]]] = {name: Counter() for name in STYLES}
    seeds: dict[str, list[int]] = {name: [] for name in STYLES}
    systems = 0
    for seed, phrase in islice(phrases(first), many):
        degrees = {note.id: "b3" if note.string % 2 else "5" for note in phrase.notes}
        for name, style in STYLES.items():
            for drawn in draw_all(phrase, style, degrees):
                systems += 1
                pairs = [*overlapping(drawn), *into_notation(drawn)]
                found[name].update(tuple(sorted(pair)) for pair in pairs)
                if pairs:
                    seeds[name].append(seed)
    print(f"{many} phrases, {systems} systems")
    for name, pairs in found.items():
        where = sorted(set(seeds[name]))[:12]
        print(f"{name:12} {sum(pairs.values()):4} {dict(pairs)} seeds {where}")


if __name__ == "__main__":
    main()
