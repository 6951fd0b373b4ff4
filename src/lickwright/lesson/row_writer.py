"""How do the bars of one line of music become rows of text?"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from lickwright.lesson.atoms import Slot
from lickwright.lesson.grid import BarGrid, Numbered, note_columns, number_columns
from lickwright.phrase import Bar, Mark

if TYPE_CHECKING:
    from lickwright.lesson.tidy import PhraseWriter

Beat = Fraction
LABEL_WIDTH = 7
LETTERS = {Mark.PALM_MUTE: "PM", Mark.LET_RING: "ring", Mark.RAKE: "rake"}
_DOTS = {Mark.ACCENT: ">", Mark.STACCATO: "."}


class RowWriter:
    """Writes the rows of some bars that are laid out already."""

    def __init__(
        self, writer: PhraseWriter, grids: list[BarGrid], counts: list[list[tuple[Beat, str]]]
    ) -> None:
        self._writer = writer
        self._grids = grids
        self._counts = counts
        self._owners: dict[Mark, int] = {}  # the row that each kind of mark was put in last

    def lines(self, strings: Sequence[int]) -> list[str]:
        """All rows in their usual order."""
        rows: list[tuple[str, list[str]]] = []
        if self._writer.chord_row:
            rows.append(("chord", [self._chords(grid) for grid in self._grids]))
        rows += [("mark", cells) for cells in self._marks()]
        label = self._writer.phrase.tuning.label
        rows += [(label(string), self._string_cells(string)) for string in strings]
        rows.append(
            ("count", [self._count(*pair) for pair in zip(self._grids, self._counts, strict=True)])
        )
        for name in ("finger", "pick"):
            cells = [self._signs(grid, name) for grid in self._grids]
            if any(cell.strip() for cell in cells):
                rows.append((name, cells))
        return [f"{name:<{LABEL_WIDTH}}|{'|'.join(cells)}|" for name, cells in rows]

    def _chords(self, grid: BarGrid) -> str:
        cell = [" "] * grid.width
        for at in self._writer.own_chords(grid.plan.bar):
            column = grid.columns.get((at.beat, 0), 0)
            _write(cell, column, at.chord.symbol)
        return "".join(cell)

    def _count(self, grid: BarGrid, counts: list[tuple[Beat, str]]) -> str:
        cell = [" "] * grid.width
        for beat, text in counts:
            _write(cell, grid.columns[beat, 0] - text.startswith("("), text)
        return "".join(cell)

    def _string_cells(self, string: int) -> list[str]:
        """A string's cells; = joins a sign to what it follows over a bar line, too."""
        cells = [self._string(grid, string) for grid in self._grids]
        for index in range(len(cells) - 1, 0, -1):
            atoms = self._grids[index].plan.atoms.get(string, [])
            if cells[index].startswith("=") and atoms and atoms[0].joined:
                before = cells[index - 1].rstrip("-")
                cells[index - 1] = before.ljust(len(cells[index - 1]), "=")
        return cells

    def _string(self, grid: BarGrid, string: int) -> str:
        cell = ["-"] * grid.width
        self._holds(grid, string, cell)
        for column, text in grid.cells.get(string, {}).items():
            _write(cell, column, text)
        self._joins(grid, string, cell)
        return "".join(cell)

    def _holds(self, grid: BarGrid, string: int, cell: list[str]) -> None:
        bar = grid.plan.bar
        if bar.simile:
            return
        for start, last in self._writer.holds.get(string, []):
            if start >= bar.end or last < bar.start:
                continue
            first = grid.columns[start, 0] if start >= bar.start else 0
            final = (
                grid.columns[last, 0]
                if last < bar.end and self._inside(last, bar)
                else grid.width - 1
            )
            for column in range(first, final + 1):
                cell[column] = "="

    @staticmethod
    def _inside(beat: Beat, bar: Bar) -> bool:
        return any(count.beat == beat for count in bar.counts)

    def _joins(self, grid: BarGrid, string: int, cell: list[str]) -> None:
        """Only = may stand to the left of a sign that is joined to what comes before it."""
        for atom in grid.plan.atoms.get(string, []):
            if not atom.joined:
                continue
            column = grid.columns[atom.slot] - atom.anchor - 1
            while column >= 0 and cell[column] == "-":
                cell[column] = "="
                column -= 1

    def _signs(self, grid: BarGrid, name: str) -> str:
        cell = [" "] * grid.width
        for column, numbers in number_columns(grid).items():
            trilled = name == "finger" and any(t is not None and t.finger for _, t in numbers)
            shown = numbers if trilled else [each for each in numbers if each[1] is None]
            _write(cell, column, sign_word(shown, name))
        return "".join(cell)

    # --- marks ----------------------------------------------------------------------------

    def _marks(self) -> list[list[str]]:
        """Mark rows, as few as hold all marks without touching."""
        rows: list[list[list[str]]] = []
        for index, grid in enumerate(self._grids):
            for mark, word in LETTERS.items():
                for group in self._writer.marked_groups(grid.plan, mark):
                    before = self._writer.continues(mark, group[0], grid.plan.bar) and index > 0
                    first, last = self._reach(grid, group, mark)
                    text = word + "-" * (last - first + 1 - len(word))
                    if before:
                        first, text = 0, "-" * (last + 1)
                    owner = self._owners[mark] if before else None
                    self._put(rows, (index, first), text, mark, owner)
            for mark, dot in _DOTS.items():
                for column, notes in note_columns(grid).items():
                    if any(mark in note.marks for note in notes):
                        self._put(rows, (index, column), dot, mark, None)
        return [["".join(cell) for cell in row] for row in rows]

    def _reach(self, grid: BarGrid, group: list[Slot], mark: Mark) -> tuple[int, int]:
        columns = [grid.columns[slot] for slot in group]
        inside = [
            grid.columns[atom.slot]
            for atoms in grid.plan.atoms.values()
            for atom in atoms
            if atom.note is not None and mark in atom.note.marks and atom.slot in group
        ]
        return min(columns), max(columns + inside)

    def _put(
        self,
        rows: list[list[list[str]]],
        place: tuple[int, int],
        text: str,
        mark: Mark,
        owner: int | None,
    ) -> None:
        """Write a mark at a bar and column into the first row that has room.

        `owner`: the row that it has to stand in, as it goes on there.
        """
        bar, first = place
        for index in range(len(rows) + 1):
            if index == len(rows):
                rows.append([[" "] * grid.width for grid in self._grids])
            if owner is not None and index != owner:
                continue
            cell = rows[index][bar]
            around = cell[max(0, first - 1) : first + len(text) + 1]
            if owner is not None or not "".join(around).strip():
                _write(cell, first, text)
                self._owners[mark] = index
                return


def sign_word(numbers: Sequence[Numbered], row: str) -> str:
    """Fingers or strokes of numbers in one column, thickest string first; '' if none is known."""
    signs = [
        (note.finger if trill is None else trill.finger) if row == "finger" else note.stroke
        for note, trill in numbers
    ]
    if not any(signs):
        return ""
    return "".join(sign.value if sign is not None else "-" for sign in signs)


def _write(cell: list[str], column: int, text: str) -> None:
    for offset, char in enumerate(text):
        while column + offset >= len(cell):
            cell.append(" ")
        cell[column + offset] = char
