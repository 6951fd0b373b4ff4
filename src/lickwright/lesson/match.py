"""Which count does each number and sign of a line of music stand over?"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from fractions import Fraction

from lickwright.lesson.counts import CountCell, RawCount
from lickwright.lesson.drafts import Beat
from lickwright.lesson.problems import Fix, Problems
from lickwright.lesson.raw import RawGesture, RawNote
from lickwright.lesson.rows import MusicLine, Row, short
from lickwright.phrase import Meter

_NUMBERS = (
    *("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve"),
)
_SIGNS_WITH_COUNT = ("b", "r", "~", "~~", "tr")


class Matcher:
    """Matches columns with counts in one line of music and notes what does not fit."""

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

    # --- looking up -----------------------------------------------------------------------

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

    # --- checking -------------------------------------------------------------------------

    def check(self, notes: dict[int, list[RawNote]], raked: set[int]) -> None:
        """Note every number without its count, count beside its number, and the like."""
        self._find_two_ways(notes)
        for string, row_notes in notes.items():
            for note in row_notes:
                self._use(string, note)
        reported: set[int] = set()
        for string, row_notes in notes.items():
            counted_run = False
            for index, note in enumerate(row_notes):
                if note.link is None:
                    counted_run = self._run_counted(row_notes, index)
                if not self.readable(note.column):
                    continue
                self._silent(string, note)
                struck = note.link is None and not counted_run
                if struck and note.column not in self._counts and not (
                    note.dead and note.column in raked
                ):
                    if note.column not in reported:
                        self._no_count(string, note)
                    reported.add(note.column)
                else:
                    self._near_misses(string, note)
            self._stopped(string, row_notes)

    def check_rake(self, raw: RawNote, goal: int) -> None:
        """Note a count between a raked string and the note it is dragged into."""
        index = bisect_right(self._columns, raw.column)
        if self._columns[index] < goal:
            said = self._counts[self._columns[index]].text
            self._note(
                self.music.strings[raw.string],
                raw.column,
                "rake",
                f"count {said} stands between this x and the note it is raked into",
                f"the x close before that note, or a note on {said}, or a count under the x",
            )

    def _run_counted(self, notes: list[RawNote], index: int) -> bool:
        """Does any number of the run beginning at `index` have a count, and no sign before it?"""
        first = index
        while index < len(notes) and (index == first or notes[index].link is not None):
            note = notes[index]
            if index > first and note.link in ("/", "\\") and note.link_column in self._counts:
                return False
            if note.column in self._counts:
                return True
            if any(column in self._counts for column, _ in self._signs(note)):
                return False
            index += 1
        return False

    def _use(self, string: int, note: RawNote) -> None:
        columns = [note.column]
        if note.link in ("/", "\\"):
            columns.append(note.link_column)
        if note.off:
            columns.append(note.off_column)
        for gesture in note.gestures:
            if gesture.sign in _SIGNS_WITH_COUNT:
                columns.append(gesture.column)
            if gesture.number_column is not None and gesture.sign != "pb":
                columns.append(gesture.number_column)
        self._used.update(c for c in columns if c in self._counts and c not in self._unclear)

    def _signs(self, note: RawNote) -> list[tuple[int, str]]:
        signs = [(g.column, g.sign) for g in note.gestures if g.sign in _SIGNS_WITH_COUNT]
        if note.link in ("/", "\\"):
            signs.append((note.link_column, note.link))
        if note.off:
            signs.append((note.off_column, note.off))
        return signs

    def _find_two_ways(self, notes: dict[int, list[RawNote]]) -> None:
        numbers = {n.column: (s, n) for s, row_notes in notes.items() for n in row_notes}
        for string, row_notes in notes.items():
            row = self.music.strings[string]
            for note in row_notes:
                for column, sign in self._signs(note):
                    other = numbers.get(column)
                    if column not in self._counts or other is None or other[0] == string:
                        continue
                    if row.text[column - 1] not in "-=":
                        self._unclear.add(column)
                        self._two_ways(row, note, column, sign, *other)

    def _two_ways(
        self, row: Row, note: RawNote, column: int, sign: str, string: int, other: RawNote
    ) -> None:
        struck = self.music.strings[string]
        number = "x" if other.dead else str(other.fret)
        said = self._counts[column].text
        run = re.compile(r"[^-=|]*").match(row.text, column)
        assert run is not None
        moved = run.end() - column + 1
        distance = _NUMBERS[moved] if moved < len(_NUMBERS) else str(moved)
        own = "x" if note.dead else str(note.fret)
        self._note(
            row,
            column,
            "two-ways",
            f"the {sign} on the {row.label} string and the {number} on the {struck.label} string "
            "stand over one count",
            f"{own}-{run[0]}, with the {number} and {said} moved over the {sign}, if the "
            f"{_noun(sign)} starts there; if not, move {number} and {said} {distance} columns right",
        )

    def _silent(self, string: int, note: RawNote) -> None:
        row = self.music.strings[string]
        for column, what in self._elements(note):
            count = self._counts.get(column)
            if count is None or not count.silent:
                continue
            text = self._count_row().text
            shown = f"{text[: column - 1]} {count.text} {text[column + len(count.text) + 1 :]}"
            taken = what.split()[0]
            self._note(
                row,
                column,
                "silent",
                f"{what} over a silent count",
                f"{short(shown)} if it sounds, else take the {taken} away",
            )

    def _elements(self, note: RawNote) -> list[tuple[int, str]]:
        name = "x" if note.dead else str(note.fret)
        verb = "is struck" if note.link is None else "is joined on"
        found = [(note.column, f"{name} {verb}")]
        found += [(column, f"{sign} stands") for column, sign in self._signs(note)]
        return found

    def _no_count(self, string: int, note: RawNote) -> None:
        row = self.music.strings[string]
        name = "x" if note.dead else str(note.fret)
        what = f"{name} on the {row.label} string has no count under it"
        bare = self._bare_beside(note.column, 2)
        if bare is None:
            self._note(
                row,
                note.column,
                "no-count",
                what,
                f"its count in column {note.column + 1} of the count row",
            )
            return
        by = note.column - bare.column
        side = "left" if by > 0 else "right"
        columns = "one column" if abs(by) == 1 else "two columns"
        moved = self._moved(bare, by)
        fixes = [Fix(self._count_row().line.number, moved)] if moved else []
        self._note(
            row,
            note.column,
            "no-count",
            f"{what}; count {bare.text} stands {columns} to its {side}",
            short(moved) if moved else f"count {bare.text} under the {name}",
            fixes,
        )
        self._used.add(bare.column)

    def _near_misses(self, string: int, note: RawNote) -> None:
        numbers = [(note.column, "x" if note.dead else str(note.fret), note.link)]
        for gesture in note.gestures:
            if gesture.number_column is not None:
                numbers.append((gesture.number_column, self._number(string, gesture), gesture.sign))
        for column, name, sign in numbers:
            if column in self._counts:
                continue
            bare = self._bare_beside(column, 1)
            if bare is not None:
                self._near_miss(string, column, name, sign, bare)

    def _number(self, string: int, gesture: RawGesture) -> str:
        match = re.compile(r"[\d¼½¾+/]+").match(
            self.music.strings[string].text, gesture.number_column or 0
        )
        return match[0] if match else gesture.sign

    def _near_miss(
        self, string: int, column: int, name: str, sign: str | None, bare: RawCount
    ) -> None:
        label = self.music.strings[string].label
        moved = self._moved(bare, column - bare.column)
        quick = f", or two columns away if the {_noun(sign or '')} is quick"
        self._note(
            self._count_row(),
            bare.column,
            "near-miss",
            f"count {bare.text} stands beside the {name} on the {label} string, not under it",
            (short(moved) if moved else f"count {bare.text} under the {name}") + quick,
            [],
        )
        self._used.add(bare.column)

    def _bare_beside(self, column: int, reach: int) -> RawCount | None:
        """A count over nothing, at most `reach` columns away in the same bar."""
        for distance in range(1, reach + 1):
            for at in (column - distance, column + distance):
                count = self._counts.get(at)
                if count is not None and at not in self._used | self._unclear and not count.silent:
                    if self.music.bar_of(at) == self.music.bar_of(column):
                        return count
        return None

    def _count_row(self) -> Row:
        assert self.music.count is not None
        return self.music.count

    def _moved(self, count: RawCount, by: int) -> str | None:
        """The count row with one count moved `by` columns, if there is room."""
        text = self._count_row().text
        end = count.column + len(count.text)
        if by > 0:
            if text[end : end + by].strip(" ") or text[end + by : end + by + 1] not in ("", " ", "|"):
                return None
            return text[: count.column] + " " * by + count.text + text[end + by :]
        at = count.column + by
        if text[at : count.column].strip(" ") or text[at - 1] not in " |":
            return None
        return text[:at] + count.text + " " * -by + text[end:]

    def _stopped(self, string: int, notes: list[RawNote]) -> None:
        """Signs and = after a silent count that stopped the string."""
        row = self.music.strings[string]
        if not self._silent_columns:
            return
        for index, note in enumerate(notes):
            later = [(c, sign) for c, sign in self._signs(note) if note.link_column != c]
            later += [(c, "=") for c in note.holds]
            following = notes[index + 1] if index + 1 < len(notes) else None
            if following is not None and following.link is not None:
                later.append((following.link_column, following.link))
            reach = max((column for column, _ in later), default=note.column)
            first = bisect_right(self._silent_columns, note.column)
            for stop in self._silent_columns[first : bisect_left(self._silent_columns, reach)]:
                late = [(c, s) for c, s in later if c > stop]
                if late and row.text[stop] != "=":
                    column, sign = min(late)
                    said = self._counts[stop].text
                    self._note(
                        row,
                        column,
                        "nothing-rings",
                        f"{sign} needs a ringing note, but the {note.fret} is stopped by the "
                        f"silent count ({said})",
                        f"{said} without brackets, or = over it on the {row.label} string",
                    )
                    break

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


def _noun(sign: str) -> str:
    return {
        "b": "bend",
        "pb": "bend",
        "r": "release",
        "/": "slide",
        "\\": "slide",
        "h": "hammer-on",
        "p": "pull-off",
        "t": "tap",
        "tr": "trill",
        "~": "vibrato",
        "~~": "vibrato",
    }.get(sign, "note")
