"""What is played in a bar that is written as % : the bar before once more?"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from lickwright.lesson.counts import CountCell
from lickwright.lesson.drafts import Rest, Run
from lickwright.lesson.match import Matcher
from lickwright.lesson.music import MusicLine
from lickwright.lesson.problems import Problems
from lickwright.lesson.raw import RawNote
from lickwright.phrase import Bar, ChordAt, Span


@dataclass(frozen=True, slots=True)
class ReadLine:
    """A line of music with its counts and numbers read."""

    music: MusicLine
    cells: tuple[CountCell, ...]
    first_bar: int
    matcher: Matcher
    notes: dict[int, list[RawNote]]  # string -> its numbers, left to right


@dataclass(slots=True)
class Content:
    """Runs, chords, spans and rests of a line of music or of one of its bars."""

    runs: list[Run]
    chords: list[ChordAt]
    spans: list[Span]
    rests: list[Rest]
    beats_a_bar: int

    def by_bar(self) -> dict[int, Content]:
        """What begins in each bar, by its number."""
        bars: dict[int, Content] = {}

        def of(number: int) -> Content:
            return bars.setdefault(number, Content([], [], [], [], self.beats_a_bar))

        for run in self.runs:
            of(run[0].bar).runs.append(run)
        for chord in self.chords:
            of(self._bar(chord.beat)).chords.append(chord)
        for span in self.spans:
            of(self._bar(span.start)).spans.append(span)
        for rest in self.rests:
            of(self._bar(rest.beat)).rests.append(rest)
        return bars

    def _bar(self, beat: Fraction) -> int:
        return int(beat // self.beats_a_bar) + 1

    def again(self, own: Content) -> Content:
        """The same a bar later; `own`: what the cells of that bar name themselves."""
        by = Fraction(self.beats_a_bar)
        return Content(
            [[draft.later(by, draft.bar + 1) for draft in run] for run in self.runs],
            own.chords or [ChordAt(c.beat + by, c.chord) for c in self.chords],
            [Span(s.mark, s.start + by, s.end + by) for s in self.spans],
            [Rest(rest.beat + by, rest.own, rest.own) for rest in self.rests],
            self.beats_a_bar,
        )


def check_simile(
    line: ReadLine, index: int, before: Bar | None, continued: set[int], problems: Problems
) -> None:
    """Note why the cell `index` of a line cannot repeat the bar `before` it.

    `before` is None if that bar could not be read; `continued`: bars that begin inside a note.
    """
    number, count = line.first_bar + index, line.music.count
    row = count.line.number if count is not None else line.music.first_line
    column = line.cells[index].simile_column + 1
    if number == 1:
        what = "bar 1 has no bar before it to repeat"
        problems.add(row, column, "simile", what, "count the bar")
    elif before is not None and before.start != line.matcher.bar_start(number - 1):
        what = "a pickup cannot be repeated with %"
        problems.add(row, column, "simile", what, "count the bar")
    if _has_number(line, number, problems):
        return
    if number - 1 in continued:
        what = f"bar {number - 1} begins inside a note, so % cannot repeat it"
        problems.add(row, column, "simile", what, "write the bar out")


def _has_number(line: ReadLine, number: int, problems: Problems) -> bool:
    for string, row_notes in line.notes.items():
        for note in row_notes:
            if line.matcher.bar_number(note.column) != number:
                continue
            row = line.music.strings[string]
            problems.add(
                row.line.number,
                note.column + 1,
                "simile",
                f"bar {number} repeats bar {number - 1} (%) but has a "
                f"{'x' if note.dead else note.fret} on the {row.label} string",
                "count the bar, or leave its strings empty",
            )
            return True
    return False


def continued_bars(line: ReadLine) -> set[int]:
    """Bars in which a note begun before still moves or is joined on."""
    number = line.matcher.bar_number
    bars: set[int] = set()
    for row_notes in line.notes.values():
        for note in row_notes:
            columns = [g.column for g in note.gestures]
            columns += [g.number_column for g in note.gestures if g.number_column is not None]
            columns += [note.off_column] if note.off else []
            bars |= {number(column) for column in columns} - {number(note.column)}
        for before, note in pairwise(row_notes):
            if note.link is not None:
                inside = {number(note.column), number(note.link_column)}
                bars |= inside - {number(before.column)}
    return bars
