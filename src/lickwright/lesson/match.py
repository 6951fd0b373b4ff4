"""Which count does each number and sign of a line of music stand over?"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right

from lickwright.lesson.columns import SIGNS_WITH_COUNT, Columns
from lickwright.lesson.counts import RawCount
from lickwright.lesson.music import Row, short
from lickwright.lesson.problems import Fix
from lickwright.lesson.raw import RawGesture, RawNote

_NUMBERS = (
    *("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve"),
)


class Matcher(Columns):
    """Matches columns with counts in one line of music and notes what does not fit."""

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
                if (
                    struck
                    and note.column not in self._counts
                    and not (note.dead and note.column in raked)
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
            if gesture.sign in SIGNS_WITH_COUNT:
                columns.append(gesture.column)
            if gesture.number_column is not None and gesture.sign != "pb":
                columns.append(gesture.number_column)
        self._used.update(c for c in columns if c in self._counts and c not in self._unclear)

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
                        self._two_ways(row, note, (column, sign), *other)

    def _two_ways(
        self, row: Row, note: RawNote, place: tuple[int, str], string: int, other: RawNote
    ) -> None:
        struck, (column, sign) = self.music.strings[string], place
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
            f"{_noun(sign)} starts there; if not, move {number} and {said} {distance} columns "
            "right",
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
            short(moved) if moved else f"count {bare.text} under the {name}, with more room there",
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
            (short(moved) if moved else f"count {bare.text} under the {name}, with more room there")
            + quick,
            [],
        )
        self._used.add(bare.column)

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
                if late and row.text[stop : stop + 1] != "=":
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
