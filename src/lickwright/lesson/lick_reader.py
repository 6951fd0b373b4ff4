"""What do the lines of music of a lick say, one after the other?"""

from __future__ import annotations

from fractions import Fraction

from lickwright.lesson.assemble import Score
from lickwright.lesson.cells import RowScanner
from lickwright.lesson.counts import read_counts
from lickwright.lesson.document import Line
from lickwright.lesson.drafts import Rest
from lickwright.lesson.labels import apply_fingers, apply_marks, apply_picks, read_chord_row
from lickwright.lesson.match import Matcher
from lickwright.lesson.music import MusicLine
from lickwright.lesson.problems import Problems
from lickwright.lesson.raw import RawNote
from lickwright.lesson.rows import read_music_line
from lickwright.lesson.runs import draft_runs
from lickwright.lesson.settings import Settings
from lickwright.lesson.similes import Content, ReadLine, check_simile, continued_bars
from lickwright.lesson.words import read_marks
from lickwright.phrase import Bar, ChordAt, Count, Mark


class LickReader:
    """Reads the lines of music of one lick, one after the other, into a score."""

    def __init__(self, settings: Settings, problems: Problems, chords_line: int) -> None:
        self.score = Score()
        self.chord_row = False
        self._settings = settings
        self._settings_line = chords_line
        self._problems = problems
        self._skipped = 0  # bars of lines that could not be read
        self._continued: set[int] = set()  # bars that begin inside a note
        self._last: Content | None = None  # the bar before

    def line_of_music(self, lines: tuple[Line, ...]) -> None:
        """Read the rows that stand together."""
        music = read_music_line(lines, self._settings.tuning, self._problems)
        if music is None or music.count is None:
            self._skipped += max(1, max(line.text.count("|") for line in lines) - 1)
            self._last = None
            return
        meter, first = self._settings.meter, len(self.score.bars) + self._skipped + 1
        cells = read_counts(music.count, first, meter, self._settings.feel, self._problems)
        notes, whole = self._scan(music)
        matcher = Matcher(music, cells, first, meter, self._problems)
        self._bars(ReadLine(music, cells, first, matcher, notes), whole)

    def _scan(self, music: MusicLine) -> tuple[dict[int, list[RawNote]], bool]:
        """Numbers by string; False if a row could not be read to its end."""
        notes: dict[int, list[RawNote]] = {}
        whole = True
        for string, row in music.strings.items():
            scanner = RowScanner(row, string, music, self._problems)
            notes[string], readable = scanner.read()
            whole = whole and readable
        return notes, whole

    def _content(self, line: ReadLine, whole: bool) -> Content:
        """All that a line says; `whole`: all its string rows could be read."""
        music, matcher, notes = line.music, line.matcher, line.notes
        marks = [mark for row in music.mark for mark in read_marks(row, self._problems)]
        raked = {c for m in marks if m.mark is Mark.RAKE for c in range(m.first, m.last + 1)}
        if whole:
            matcher.check(notes, raked)
        runs, drafted = draft_runs(notes, matcher, raked)
        if whole:
            apply_fingers(music, notes, drafted, self._problems)
            apply_picks(music, notes, drafted, self._problems)
        spans = apply_marks(marks, notes, drafted, matcher, whole=whole)
        chords = read_chord_row(music, matcher, line.cells, self._problems)
        self.chord_row = self.chord_row or bool(music.chord)
        return Content(runs, chords, spans, _rests(line), self._settings.meter.beats)

    def _bars(self, line: ReadLine, whole: bool) -> None:
        content = self._content(line, whole).by_bar()
        empty = Content([], [], [], [], self._settings.meter.beats)
        self._continued |= continued_bars(line)
        for index, cell in enumerate(line.cells):
            mine = content.get(line.first_bar + index, empty)
            if cell.simile:
                before = self.score.bars[-1] if self._last is not None else None
                check_simile(line, index, before, self._continued, self._problems)
                mine = self._last.again(mine) if self._last is not None else mine
            self._add_bar(line, index)
            self._last = mine
            self.score.runs += mine.runs
            self.score.chords += mine.chords
            self.score.spans += mine.spans
            self.score.rests += mine.rests

    def _add_bar(self, line: ReadLine, index: int) -> None:
        cell, number = line.cells[index], line.first_bar + index
        beats = Fraction(self._settings.meter.beats)
        start, length = line.matcher.bar_start(number), beats
        counts = tuple(Count(start + c.position, c.silent) for c in cell.counts)
        if cell.simile and self.score.bars:
            before = self.score.bars[-1]
            counts = tuple(Count(c.beat + beats, c.silent) for c in before.counts)
        elif number == 1 and counts:
            length = beats - cell.counts[0].position
            start = counts[0].beat
        last = index == len(line.cells) - 1
        self.score.bars.append(Bar(number, start, length, counts, cell.simile, last))

    def finish(self) -> None:
        """Lay the chords of the settings under the bars if no row names any."""
        chords = self._settings.chords
        if self.chord_row or not chords:
            return
        bars = self.score.bars
        full = bars[1:] if bars[0].start % self._settings.meter.beats else bars
        if len(chords) > max(len(full), 1):
            self._problems.add(
                self._settings_line,
                1,
                "setting",
                f"chords names {len(chords)} bars, the lick has {len(full)}",
                "one chord for each bar, or one for all",
            )
            return
        targets = full or bars
        starts = [bars[0].start, *(bar.start for bar in targets[1:])]
        for start, chord in zip(starts, chords, strict=False):
            self.score.chords.append(ChordAt(start, chord))


def _rests(line: ReadLine) -> list[Rest]:
    """The silent counts of a line, with the strings that = keeps ringing."""
    return [
        Rest(
            line.matcher.bar_start(line.first_bar + index) + count.position,
            spared := frozenset(
                string
                for string, row in line.music.strings.items()
                if row.text[count.column : count.column + 1] == "="
            ),
            frozenset(s for s in spared if _begun_inside(line, index, s, count.column)),
        )
        for index, cell in enumerate(line.cells)
        for count in cell.counts
        if count.silent
    ]


def _begun_inside(line: ReadLine, index: int, string: int, column: int) -> bool:
    """True if a number of the string stands left of the column in the same bar."""
    start = line.music.bar_lines[index]
    return any(start < note.column < column for note in line.notes[string])
