"""Do the bar lines of all rows stand under each other?"""

from __future__ import annotations

from lickwright.lesson.music import Row
from lickwright.lesson.problems import Fix, Problems


def aligned(row: Row, model: Row, is_string: bool, problems: Problems) -> bool:
    """Do the bar lines of `row` stand where those of `model`, a string row, do?"""
    want, got = model.bar_lines, row.bar_lines
    for index in range(max(len(want), len(got))):
        if index >= len(want) or index >= len(got):
            _bar_count(row, model, problems)
            return False
        last = index == len(want) - 1 == len(got) - 1
        if want[index] == got[index] or (last and not is_string):
            continue
        what = f"bar {index} of row {row.label} ends" if index else f"row {row.label} begins"
        problems.add(
            row.line.number,
            got[index] + 1,
            "bar-line",
            f"{what} in column {got[index] + 1}, that of row {model.label} "
            f"in column {want[index] + 1}",
            *_realign(row, index, want[index] - got[index], is_string),
        )
        return False
    return True


def _realign(row: Row, index: int, by: int, is_string: bool) -> tuple[str, list[Fix]]:
    """The row with its bar line moved, if there is only filling to put in or take out."""
    at, filler = row.bar_lines[index], "-" if is_string and index else " "
    text = row.text
    if by > 0:
        mended = text[:at] + filler * by + text[at:]
    elif text[at + by : at].strip(filler) == "" and at + by > 0:
        mended = text[: at + by] + text[at:]
    else:
        return f"move its bar line {-by} columns left, or those of the other rows right", []
    return mended.rstrip(), [Fix(row.line.number, mended.rstrip())]


def _bar_count(row: Row, model: Row, problems: Problems) -> None:
    bars, wanted = len(row.bar_lines) - 1, len(model.bar_lines) - 1
    problems.add(
        row.line.number,
        row.bar_lines[-1] + 1,
        "bar-line",
        f"row {row.label} has {bars} bar{'s' * (bars != 1)}, row {model.label} has {wanted}",
        "the same bar lines in every row of a line of music",
    )
