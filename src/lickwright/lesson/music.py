"""What are the rows of a line of music?"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass

from lickwright.lesson.document import Line
from lickwright.lesson.problems import Fix

WORD_ROWS = ("chord", "count", "finger", "pick", "mark")


@dataclass(frozen=True, slots=True)
class Row:
    """One row. Columns count from 0 in the text of its line."""

    line: Line
    label: str
    bar_lines: tuple[int, ...]  # columns of its bar lines, the first one included

    @property
    def text(self) -> str:
        """The whole line."""
        return self.line.text


@dataclass(frozen=True, slots=True)
class MusicLine:
    """Rows that stand together: strings by number (1 = thinnest), and the word rows."""

    strings: dict[int, Row]
    count: Row | None
    chord: tuple[Row, ...]
    finger: tuple[Row, ...]
    pick: tuple[Row, ...]
    mark: tuple[Row, ...]
    bar_lines: tuple[int, ...]
    first_line: int

    @property
    def rows(self) -> tuple[Row, ...]:
        """All rows, strings first."""
        words = (*self.chord, *self.finger, *self.pick, *self.mark)
        return (*self.strings.values(), *((self.count,) if self.count else ()), *words)

    def with_column(self, at: int) -> list[Fix]:
        """All rows with one column put in before column `at` (from 0)."""
        fixes = []
        for row in self.rows:
            filler = "-" if row in self.strings.values() else " "
            if at < len(row.text):
                fixes.append(Fix(row.line.number, row.text[:at] + filler + row.text[at:]))
        return fixes

    def bar_of(self, column: int) -> int:
        """Index (from 0) of the bar that a column belongs to."""
        return bisect_left(self.bar_lines, column, 1, len(self.bar_lines) - 1) - 1


def short(row: str) -> str:
    """A row for a message, its label without the room behind it."""
    label, _, cells = row.partition("|")
    return f"{label.strip()} |{cells}"


def tight(row: str) -> str:
    """A count row for a message: `short`, and without the room before its end."""
    return f"{short(row).rstrip('|').rstrip()} |"


def moved_word(row: str, start: int, length: int, by: int) -> str | None:
    """A row with the word at column `start` moved `by` columns; None if there is no room."""
    end, word = start + length, row[start : start + length]
    if by > 0:
        if row[end : end + by].strip(" ") or row[end + by : end + by + 1] not in ("", " ", "|"):
            return None
        return row[:start] + " " * by + word + row[end + by :]
    at = start + by
    if row[at:start].strip(" ") or row[at - 1] not in " |":
        return None
    return row[:at] + word + " " * -by + row[end:]
