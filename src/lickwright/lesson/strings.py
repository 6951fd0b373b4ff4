"""Which string is each row of a line of music?"""

from __future__ import annotations

from lickwright.lesson.music import Row
from lickwright.lesson.problems import Fix, Problems
from lickwright.phrase import Tuning
from lickwright.theory import TheoryError, parse_pitch_class


def label_chroma(label: str) -> int | None:
    """Semitones above C of a row label, None if it is no note."""
    """The pitch class (0 to 11) that a row label names; None if it names none."""
    try:
        return parse_pitch_class(label[:1].upper() + label[1:]).chroma if label else None
    except TheoryError:
        return None


def place_strings(rows: list[Row], tuning: Tuning, problems: Problems) -> dict[int, Row] | None:
    """Which string is each row? By its letter, in order, in one way only."""
    ways = ways_to_place([row.label for row in rows], tuning)
    if len(ways) == 1:
        return dict(zip(ways[0], rows, strict=True))
    labels = [tuning.label(n + 1) for n in range(len(tuning))]
    names = " ".join(str(pitch.name) for pitch in reversed(tuning.strings))
    if not ways:
        written = " ".join(row.label for row in rows)
        backwards = ways_to_place([row.label for row in rows[::-1]], tuning)
        fixes = []
        if backwards and len(rows) > 1:
            what = f"string rows {written} stand thickest first"
            mend = "thinnest first: " + ", then ".join(row.label for row in rows[::-1])
            turned = zip(rows, reversed(rows), strict=True)
            fixes = [Fix(row.line.number, other.text) for row, other in turned]
        else:
            what = f"string rows {written} do not fit the tuning {names} in order"
            mend = f"thinnest first: {' '.join(labels)}"
        problems.add(rows[0].line.number, 1, "strings", what, mend, fixes)
        return None
    for index, row in enumerate(rows):
        places = sorted({way[index] for way in ways})
        if len(places) > 1:
            maybe = " or ".join(f"string {place}" for place in places)
            problems.add(
                row.line.number,
                1,
                "strings",
                f"row {row.label} may be {maybe} of the tuning {names}",
                f"write all rows: {' '.join(labels)}",
            )
            break
    return None


def ways_to_place(labels: list[str], tuning: Tuning) -> list[tuple[int, ...]]:
    """All ways to give rows with these labels strings (from 1), thinnest first."""
    complete = len(labels) == len(tuning)
    ways: list[tuple[int, ...]] = [()]
    for label in labels:
        ways = [
            (*way, string)
            for way in ways
            for string in range(way[-1] + 1 if way else 1, len(tuning) + 1)
            if _may_be(label, string, tuning, complete)
        ][:200]
    return ways


def _may_be(label: str, string: int, tuning: Tuning, complete: bool) -> bool:
    chroma = tuning.strings[string - 1].name.chroma
    if label_chroma(label) != chroma:
        return False
    twins = [n + 1 for n, s in enumerate(tuning.strings) if s.name.chroma == chroma]
    if complete or len(twins) == 1:
        return True
    return string == twins[0] if label[0].islower() else string != 1
