"""What phrase does a lick block hold?"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from lickwright.lesson.assemble import Score, assemble
from lickwright.lesson.cells import RowScanner
from lickwright.lesson.counts import CountCell, read_counts
from lickwright.lesson.document import Fence, Line
from lickwright.lesson.drafts import Rest, Run
from lickwright.lesson.labels import apply_fingers, apply_marks, apply_picks, read_chord_row
from lickwright.lesson.match import Matcher
from lickwright.lesson.problems import Problems
from lickwright.lesson.raw import RawNote
from lickwright.lesson.rows import MOST_BARS, MusicLine, read_music_line, too_many_bars
from lickwright.lesson.runs import draft_runs
from lickwright.lesson.settings import (
    READERS,
    Setting,
    Settings,
    is_setting,
    read_setting_lines,
    resolve,
)
from lickwright.lesson.words import read_marks
from lickwright.phrase import Bar, ChordAt, Count, Mark, Phrase, Span


@dataclass(frozen=True, slots=True)
class Lick:
    """A lick block. `phrase` is None if it could not be read; `chord_row`: chords are written
    in the block's own row, not only in a setting."""

    name: str
    settings: tuple[Setting, ...]
    phrase: Phrase | None
    chord_row: bool = False


def read_lick(fence: Fence, base: Settings, problems: Problems) -> Lick:
    """Read a lick block; `base` holds the file's settings."""
    before = len(problems)
    head, lines = _split(fence, problems)
    written = read_setting_lines(head, tuple(READERS), problems)
    settings = resolve(written, base, problems)
    score = Score()
    chord_lines = [s.line for s in written if s.name == "chords"]
    line = chord_lines[0] if chord_lines else fence.opening.number
    reader = _LickReader(settings, score, problems, line)
    for group in lines:
        reader.line_of_music(group)
        if len(score.bars) > MOST_BARS:
            too_many_bars(group[0].number, 1, problems)
            break
    if not lines:
        problems.add(
            fence.opening.number,
            1,
            "strings",
            f"the lick {fence.name} has no rows",
            "string rows with a count row under them",
        )
    if len(problems) > before or not score.bars:
        return Lick(fence.name, written, None)
    reader.finish()
    if len(problems) > before:
        return Lick(fence.name, written, None)
    phrase = assemble(fence.name, settings, score)
    return Lick(fence.name, written, phrase, reader.chord_row)


def _split(
    fence: Fence, problems: Problems
) -> tuple[tuple[Line, ...], list[tuple[Line, ...]]]:
    """The setting lines at the top, and the groups of rows between blank lines."""
    head: list[Line] = []
    groups: list[list[Line]] = [[]]
    for line in fence.inner:
        if not line.text.strip():
            groups.append([])
        elif is_setting(line.text):
            if any(groups):
                problems.add(
                    line.number,
                    1,
                    "setting",
                    "in a lick the settings come first",
                    f"move {line.text.partition(':')[0].strip()} above the rows",
                )
            head.append(line)
        elif "|" not in line.text and not any(groups) and line.text.split()[0] in READERS:
            word = line.text.split()[0]
            problems.add(
                line.number,
                1,
                "setting",
                f"'{line.text.strip()}' is no setting: a colon is missing after {word}",
                f"{word}: {line.text.strip()[len(word):].strip()}",
            )
        else:
            groups[-1].append(line)
    return tuple(head), [tuple(group) for group in groups if group]


class _LickReader:
    """Reads the lines of music of one lick, one after the other."""

    def __init__(
        self, settings: Settings, score: Score, problems: Problems, chords_line: int
    ) -> None:
        self._settings = settings
        self._settings_line = chords_line
        self._score = score
        self._problems = problems
        self._lost = False  # a line could not be read: what depends on its length is unknown
        self._continued: set[int] = set()  # bars that begin inside a note
        self.chord_row = False
        self._chords_of_bar: dict[int, list[ChordAt]] = {}
        self._spans_of_bar: dict[int, list[Span]] = {}

    def line_of_music(self, lines: tuple[Line, ...]) -> None:
        """Read the rows that stand together."""
        music = read_music_line(lines, self._settings.tuning, self._problems)
        if music is None or music.count is None:
            self._lost = True
            return
        first_bar = len(self._score.bars) + 1
        cells = read_counts(
            music.count, first_bar, self._settings.meter, self._settings.feel, self._problems
        )
        notes, whole = self._scan(music)
        matcher = Matcher(music, cells, first_bar, self._settings.meter, self._problems)
        marks = [mark for row in music.mark for mark in read_marks(row, self._problems)]
        raked = {c for m in marks if m.mark is Mark.RAKE for c in range(m.first, m.last + 1)}
        if whole:
            matcher.check(notes, raked)
        runs, drafted = draft_runs(notes, matcher, raked)
        if whole:
            apply_fingers(music, notes, drafted, self._problems)
            apply_picks(music, notes, drafted, self._problems)
        spans = apply_marks(marks, notes, drafted, matcher, self._problems, whole)
        chords = read_chord_row(music, matcher, cells, self._problems)
        self.chord_row = self.chord_row or bool(music.chord)
        self._bars(music, cells, first_bar, matcher, notes, _Content(runs, chords, spans, self._settings.meter.beats))

    def _scan(self, music: MusicLine) -> tuple[dict[int, list[RawNote]], bool]:
        """Numbers by string; False if a row could not be read to its end."""
        notes: dict[int, list[RawNote]] = {}
        whole = True
        for string, row in music.strings.items():
            scanner = RowScanner(row, string, music, self._problems)
            notes[string], readable = scanner.read()
            whole = whole and readable
        return notes, whole

    def _bars(
        self,
        music: MusicLine,
        cells: tuple[CountCell, ...],
        first_bar: int,
        matcher: Matcher,
        notes: dict[int, list[RawNote]],
        content: _Content,
    ) -> None:
        self._continued |= _continued_bars(notes, matcher)
        for index, cell in enumerate(cells):
            number = first_bar + index
            mine = content.of_bar(number)
            if cell.simile:
                self._check_simile(music, number, cell, notes, matcher)
                mine = self._repeated(number, mine)
            self._add_bar(number, cell, index == len(cells) - 1, matcher)
            self._chords_of_bar[number] = mine.chords
            self._spans_of_bar[number] = mine.spans
            self._score.runs += mine.runs
            self._score.chords += mine.chords
            self._score.spans += mine.spans
            if not cell.simile:
                self._rests(music, cell, number, matcher, notes)

    def _rests(
        self,
        music: MusicLine,
        cell: CountCell,
        number: int,
        matcher: Matcher,
        notes: dict[int, list[RawNote]],
    ) -> None:
        start = matcher.bar_start(number)
        for count in cell.counts:
            if count.silent:
                spared = frozenset(
                    s for s, row in music.strings.items() if row.text[count.column] == "="
                )
                own = frozenset(
                    s
                    for s in spared
                    if any(
                        n.column < count.column and matcher.bar_number(n.column) == number
                        for n in notes[s]
                    )
                )
                self._score.rests.append(Rest(start + count.position, spared, own))

    def _add_bar(self, number: int, cell: CountCell, last: bool, matcher: Matcher) -> None:
        beats = Fraction(self._settings.meter.beats)
        start = matcher.bar_start(number)
        length = beats
        counts = tuple(Count(start + c.position, c.silent) for c in cell.counts)
        if cell.simile and self._score.bars:
            before = self._score.bars[-1]
            counts = tuple(Count(c.beat + beats, c.silent) for c in before.counts)
        elif number == 1 and counts:
            length = beats - cell.counts[0].position
            start = counts[0].beat
        self._score.bars.append(Bar(number, start, length, counts, cell.simile, last))

    def _check_simile(
        self,
        music: MusicLine,
        number: int,
        cell: CountCell,
        notes: dict[int, list[RawNote]],
        matcher: Matcher,
    ) -> None:
        line = music.count.line.number if music.count else music.first_line
        at = cell.simile_column + 1
        if number == 1:
            self._problems.add(
                line, at, "simile", "bar 1 has no bar before it to repeat", "count the bar"
            )
        elif self._score.bars and self._score.bars[-1].start != matcher.bar_start(number - 1):
            self._problems.add(
                line, at, "simile", "a pickup cannot be repeated with %", "count the bar"
            )
        for string, row_notes in notes.items():
            inside = [n for n in row_notes if matcher.bar_number(n.column) == number]
            if inside:
                name = "x" if inside[0].dead else str(inside[0].fret)
                label = music.strings[string].label
                self._problems.add(
                    music.strings[string].line.number,
                    inside[0].column + 1,
                    "simile",
                    f"bar {number} repeats bar {number - 1} (%) but has a {name} on the {label} "
                    "string",
                    "count the bar, or leave its strings empty",
                )
                return
        if number - 1 in self._continued:
            self._problems.add(
                line,
                at,
                "simile",
                f"bar {number - 1} begins inside a note, so % cannot repeat it",
                "write the bar out",
            )

    def _repeated(self, number: int, own: _Content) -> _Content:
        """What bar `number` sounds like if it repeats the one before."""
        by = Fraction(self._settings.meter.beats)
        before = number - 1
        runs: list[Run] = [
            [draft.later(by, draft.bar + 1) for draft in run]
            for run in self._score.runs
            if run[0].bar == before
        ]
        spans = [
            Span(s.mark, s.start + by, s.end + by) for s in self._spans_of_bar.get(before, [])
        ]
        chords = own.chords or [
            ChordAt(c.beat + by, c.chord) for c in self._chords_of_bar.get(before, [])
        ]
        start = Fraction((before - 1) * self._settings.meter.beats)
        self._score.rests += [
            Rest(rest.beat + by, rest.own, rest.own)
            for rest in self._score.rests
            if start <= rest.beat < start + by
        ]
        return _Content(runs, chords, spans)

    def finish(self) -> None:
        """Lay the chords of the settings under the bars if no row names any."""
        chords = self._settings.chords
        if self.chord_row or not chords:
            return
        bars = self._score.bars
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
            self._score.chords.append(ChordAt(start, chord))



@dataclass(slots=True)
class _Content:
    """Runs, chords and spans of a line of music or of one of its bars."""

    runs: list[Run]
    chords: list[ChordAt]
    spans: list[Span]
    beats_a_bar: int = 0

    def of_bar(self, number: int) -> _Content:
        """Only what begins in bar `number`."""

        def inside(beat: Fraction) -> bool:
            return self._bar(beat) == number

        return _Content(
            [run for run in self.runs if run[0].bar == number],
            [chord for chord in self.chords if inside(chord.beat)],
            [span for span in self.spans if inside(span.start)],
            self.beats_a_bar,
        )

    def _bar(self, beat: Fraction) -> int:
        return int(beat // self.beats_a_bar) + 1


def _continued_bars(notes: dict[int, list[RawNote]], matcher: Matcher) -> set[int]:
    """Bars in which a note begun before still moves or is joined on."""
    bars: set[int] = set()
    for row_notes in notes.values():
        for note in row_notes:
            columns = [g.column for g in note.gestures]
            columns += [g.number_column for g in note.gestures if g.number_column is not None]
            columns += [note.off_column] if note.off else []
            own = matcher.bar_number(note.column)
            bars |= {matcher.bar_number(c) for c in columns} - {own}
            if note.link is not None and matcher.bar_number(note.link_column) != own:
                bars.add(own)
        for before, note in zip(row_notes, row_notes[1:], strict=False):
            if note.link is not None and matcher.bar_number(before.column) != matcher.bar_number(
                note.column
            ):
                bars.add(matcher.bar_number(note.column))
    return bars

