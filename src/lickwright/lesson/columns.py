"""Which beat is counted in which column of a line of music?"""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction

from lickwright.lesson.counts import CountCell, RawCount
from lickwright.lesson.drafts import Beat
from lickwright.lesson.music import MusicLine, Row, moved_word
from lickwright.lesson.problems import Fix, Problems
from lickwright.lesson.raw import RawNote
from lickwright.phrase import Meter

SIGNS_WITH_COUNT = ("b", "r", "~", "~~", "tr")


class Columns:
    """Finds counts by column and columns by count in one line of music."""

    def __init__(
        self,
        music: MusicLine,
        cells: tuple[CountCell, ...],
        first_bar: int,
        meter: Meter,
        problems: Problems,
    ) -> None:
        self.music = music
        self.cells = cells
        self.first_bar = first_bar
        self.meter = meter
        self.problems = problems
        self._counts = {c.column: c for cell in cells for c in cell.counts}
        self._columns = sorted(self._counts)
        self._silent_columns = [c for c in self._columns if self._counts[c].silent]
        self._used: set[int] = set()
        self._unclear: set[int] = set()  # columns whose sign could be read two ways

    def bar_number(self, column: int) -> int:
        """Number (from 1) of the bar that a column belongs to."""
        return self.first_bar + self.music.bar_of(column)

    def bar_start(self, bar: int) -> Beat:
        """Beat at which bar `bar` (from 1) would begin if it were full."""
        return Fraction((bar - 1) * self.meter.beats)

    def readable(self, column: int) -> bool:
        """False if the bar of this column has no counts that could be read."""
        cell = self.cells[self.music.bar_of(column)]
        return cell.readable and not cell.simile

    def count_at(self, column: int) -> RawCount | None:
        """The count that stands in a column, silent ones too."""
        return self._counts.get(column)

    def beat_at(self, column: int) -> Beat | None:
        """The beat counted in a column; None if it has no sounding count."""
        count = self._counts.get(column)
        if count is None or count.silent:
            return None
        return self.bar_start(self.bar_number(column)) + count.position

    def sign_beat(self, column: int) -> Beat | None:
        """The beat counted over a sign, unless it could be read two ways."""
        return None if column in self._unclear else self.beat_at(column)

    def last_beat_by(self, column: int) -> Beat:
        """The last count at or left of a column; just before the bar if there is none in it."""
        bar = self.music.bar_of(column)
        counts = self.cells[bar].counts
        index = bisect_right(counts, column, key=lambda count: count.column)
        start = self.bar_start(self.first_bar + bar)
        return start + counts[index - 1].position if index else start - Fraction(1, 10**6)

    def _count_row(self) -> Row:
        assert self.music.count is not None
        return self.music.count

    def _moved(self, count: RawCount, by: int) -> str | None:
        """The count row with one count moved `by` columns, if there is room."""
        return moved_word(self._count_row().text, count.column, len(count.text), by)

    def _bare_beside(self, column: int, reach: int) -> RawCount | None:
        """A count over nothing, at most `reach` columns away in the same bar."""
        for distance in range(1, reach + 1):
            for at in (column - distance, column + distance):
                count = self._counts.get(at)
                if count is None or count.silent or at in self._used or at in self._unclear:
                    continue
                if self.music.bar_of(at) == self.music.bar_of(column):
                    return count
        return None

    def _signs(self, note: RawNote) -> list[tuple[int, str]]:
        signs = [(g.column, g.sign) for g in note.gestures if g.sign in SIGNS_WITH_COUNT]
        if note.link in ("/", "\\"):
            signs.append((note.link_column, note.link))
        if note.off:
            signs.append((note.off_column, note.off))
        return signs

    def _note(
        self,
        row: Row,
        column: int,
        code: str,
        what: str,
        mend: str,
        fixes: list[Fix] | None = None,
    ) -> None:
        self.problems.add(row.line.number, column + 1, code, what, mend, fixes or [])
