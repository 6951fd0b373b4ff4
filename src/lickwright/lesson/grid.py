"""In which columns do the signs of one line of music stand, so that nothing collides?"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from fractions import Fraction

from lickwright.lesson.atoms import Atom, Slot
from lickwright.phrase import Bar, Meter, Note, Trill

Beat = Fraction
COUNT_GAP = 3  # columns from one count to the next, at least


@dataclass(slots=True)
class WordAt:
    """A word of a word row: the slot it stands in and the columns it takes."""

    slot: Slot
    text: str


@dataclass(slots=True)
class BarPlan:
    """What one bar has to show.

    `words`: row name -> words; `reach`: (slot, slot, columns) says
    how far apart two slots must be at least.
    """

    bar: Bar
    atoms: dict[int, list[Atom]]  # by string, left to right
    words: dict[str, list[WordAt]] = field(default_factory=dict)
    reach: list[tuple[Slot, Slot | None, int]] = field(default_factory=list)
    ahead: int = 0  # columns needed before the first count


@dataclass(slots=True)
class BarGrid:
    """A bar laid out. Columns count from 0 at the first one after the bar line."""

    plan: BarPlan
    columns: dict[Slot, int]
    count_columns: dict[Beat, int]
    cells: dict[int, dict[int, str]]  # string -> column -> text that starts there
    width: int


def count_words(bar: Bar, meter: Meter) -> list[tuple[Beat, str]]:
    """What is written for each count of a bar: a beat, or a part of the beat said last."""
    start = Fraction((bar.number - 1) * meter.beats)
    words: list[tuple[Beat, str]] = []
    said: int | None = None
    for count in bar.counts:
        beat, part = divmod(count.beat - start, 1)
        if part == 0:
            text = str(int(beat) + 1)
        elif beat == said:
            text = meter.sayings.get(part, f"+{part}")
        else:
            text = f"{int(beat) + 1}+{part}"
        said = int(beat)
        words.append((count.beat, f"({text})" if count.silent else text))
    return words


def lay_out(plan: BarPlan, counts: list[tuple[Beat, str]]) -> BarGrid:
    """Find a column for every slot of a bar, left to right."""
    return _Layout(plan, counts).grid()


class _Layout:
    def __init__(self, plan: BarPlan, counts: list[tuple[Beat, str]]) -> None:
        self._plan = plan
        self._counts = dict(counts)
        self._slots = self._all_slots()
        self._columns: dict[Slot, int] = {}
        self._end: dict[object, int] = defaultdict(int)  # row -> first free column
        self._cells: dict[int, dict[int, str]] = defaultdict(dict)
        self._by_slot: dict[Slot, list[tuple[int, Atom]]] = defaultdict(list)
        for string, atoms in plan.atoms.items():
            for atom in atoms:
                self._by_slot[atom.slot].append((string, atom))
        self._words: dict[Slot, list[tuple[str, str]]] = defaultdict(list)
        for row, words in plan.words.items():
            for word in words:
                self._words[word.slot].append((row, word.text))

    def _all_slots(self) -> list[Slot]:
        slots = {(beat, 0) for beat in self._counts}
        slots |= {atom.slot for atoms in self._plan.atoms.values() for atom in atoms}
        return sorted(slots)

    def grid(self) -> BarGrid:
        for slot in self._slots:
            column = self._column(slot)
            self._columns[slot] = column
            self._place(slot, column)
        width = max([*self._end.values(), 1]) + 1
        for start, end, columns in self._plan.reach:
            if end is None or end not in self._columns:
                width = max(width, self._columns[start] + columns)
        counts = {beat: self._columns[beat, 0] for beat in self._counts}
        return BarGrid(self._plan, self._columns, counts, dict(self._cells), width)

    def _column(self, slot: Slot) -> int:
        column = self._plan.ahead if not self._columns else 0
        beat, order = slot
        graced = any(b == beat and o < 0 for b, o in self._columns)
        if order == 0:
            before = [self._columns[b, 0] for b in self._counts if (b, 0) in self._columns]
            column = max([column, *(c + COUNT_GAP for c in before)])
            text = self._counts[beat]
            column = max(column, self._end["count"] + (1 if text.startswith("(") else 0))
        if self._columns and not (graced and order == 0):
            column = max(column, self._all_ends() + (1 if order <= 0 else 0))
        elif self._columns:
            column = max(column, self._all_ends())
        for string, atom in self._by_slot[slot]:
            if atom.joined or (atom.is_sign and len(self._by_slot[slot]) > 1):
                # = before it joins it over a bar line; a dash says that the sign has the count
                column = max(column, atom.anchor + 1)
            free = self._end[string] + (0 if atom.follows or not self._cells[string] else 1)
            column = max(column, free + atom.anchor)
            if order == 0 and not graced:
                column = max(column, self._all_ends() + 1 * bool(self._columns) + atom.anchor)
        for row, _ in self._words[slot]:
            column = max(column, self._end[row])
        for start, end, columns in self._plan.reach:
            if end == slot:
                column = max(column, self._columns[start] + columns)
        return column

    def _all_ends(self) -> int:
        return max([self._end[s] for s in self._plan.atoms] + [self._end["labels"], 0])

    def _place(self, slot: Slot, column: int) -> None:
        for string, atom in self._by_slot[slot]:
            start = column - atom.anchor
            self._cells[string][start] = atom.text
            self._end[string] = start + len(atom.text)
        for row, text in self._words[slot]:
            self._end[row] = column + len(text) + 1
        if slot[1] == 0:
            text = self._counts[slot[0]]
            start = column - (1 if text.startswith("(") else 0)
            self._end["count"] = start + len(text) + 1
            self._end["labels"] = start + len(text)


Numbered = tuple[Note, Trill | None]  # the number of a note, or that of its trill


def note_columns(grid: BarGrid) -> dict[int, list[Note]]:
    """Notes whose number stands in each column, thickest string first."""
    return {
        column: notes
        for column, numbers in number_columns(grid).items()
        if (notes := [note for note, trill in numbers if trill is None])
    }


def number_columns(grid: BarGrid) -> dict[int, list[Numbered]]:
    """Numbers of notes and trills by column, thickest string first."""
    columns: dict[int, list[Numbered]] = defaultdict(list)
    for string in sorted(grid.plan.atoms, reverse=True):
        for atom in grid.plan.atoms[string]:
            column = grid.columns[atom.slot]
            if atom.note is not None:
                columns[column].append((atom.note, None))
            for other in atom.trills:
                columns[column - atom.anchor + other.at].append((other.note, other.trill))
    return dict(columns)
