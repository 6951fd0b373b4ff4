"""What does a count row say: which places of each bar are counted, in which columns?"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from lickwright.lesson.music import Row, short
from lickwright.lesson.problems import Fix, Problems
from lickwright.phrase import Feel, Meter, count_name

FINEST = 64  # highest lower number of a fraction of a beat
_WORD = re.compile(r"\S+")
_FRACTION = re.compile(r"(\d{1,2})?\+(\d{1,3})/(\d{1,3})")
_SAID = {"&": Fraction(1, 2), "e": Fraction(1, 4), "a": Fraction(3, 4), "t": Fraction(1, 3)}
_SAID["l"] = Fraction(2, 3)
_SAID_COMPOUND = {"&": Fraction(1, 3), "a": Fraction(2, 3)}
_MEANT = {"and": "&", "+": "&", "trip": "t", "let": "l", "uh": "a", "ah": "a", "ee": "e"}


@dataclass(frozen=True, slots=True)
class RawCount:
    """A count as written. `column` from 0; `position` in beats after the bar's beginning."""

    column: int
    text: str
    position: Fraction
    silent: bool


@dataclass(frozen=True, slots=True)
class CountCell:
    """One bar of the count row. `simile`: it is % alone. `readable`: no problem was noted."""

    counts: tuple[RawCount, ...]
    simile: bool = False
    simile_column: int = 0
    readable: bool = True


def read_counts(
    row: Row, first_bar: int, meter: Meter, feel: Feel, problems: Problems
) -> tuple[CountCell, ...]:
    """Read all bars of a count row; `first_bar` is the number of its first bar."""
    reader = _CountReader(row, meter, feel, problems)
    return tuple(
        reader.cell(first_bar + index, start, end)
        for index, (start, end) in enumerate(zip(row.bar_lines, row.bar_lines[1:], strict=False))
    )


class _CountReader:
    def __init__(self, row: Row, meter: Meter, feel: Feel, problems: Problems) -> None:
        self._row = row
        self._meter = meter
        self._feel = feel
        self._problems = problems

    def _note(
        self, column: int, code: str, what: str, mend: str, fixes: Sequence[Fix] = ()
    ) -> None:
        self._problems.add(self._row.line.number, column + 1, code, what, mend, fixes)

    def cell(self, bar: int, start: int, end: int) -> CountCell:
        """Read the cell between two bar lines (columns from 0)."""
        words = [
            (match.start(), match[0]) for match in _WORD.finditer(self._row.text, start + 1, end)
        ]
        if not words:
            before = f", % to repeat bar {bar - 1}" if bar > 1 else ""
            self._note(
                start + 1,
                "count",
                f"bar {bar} has no count",
                f"(1) if it is silent, 1 if the note rings on{before}",
            )
            return CountCell((), readable=False)
        if words[0][1] == "%" and len(words) == 1:
            return CountCell((), simile=True, simile_column=words[0][0])
        counts = self._words(bar, words)
        return CountCell(counts or (), readable=counts is not None)

    def _words(self, bar: int, words: list[tuple[int, str]]) -> tuple[RawCount, ...] | None:
        counts: list[RawCount] = []
        beat: int | None = None
        for column, word in words:
            read = self._word(bar, column, word, beat)
            if read is None:
                return None
            if not self._in_order(bar, counts[-1] if counts else None, read):
                return None
            beat = int(read.position // 1) + 1
            counts.append(read)
        return tuple(counts)

    def _word(self, bar: int, column: int, word: str, beat: int | None) -> RawCount | None:
        silent = word.startswith("(") and word.endswith(")") and len(word) > 2
        body = word[1:-1] if silent else word
        at = column + 1 if silent else column
        position = self._position(column, word, body, bar, beat)
        if position is None:
            return None
        if position >= self._meter.beats:
            self._past_end(at, body, bar)
            return None
        return RawCount(at, body, position, silent)

    def _position(
        self, column: int, word: str, body: str, bar: int, beat: int | None
    ) -> Fraction | None:
        if re.fullmatch(r"\d{1,2}", body) and int(body) >= 1:
            return Fraction(int(body) - 1)
        said = _SAID_COMPOUND if self._meter.compound else _SAID
        fraction = _FRACTION.fullmatch(body)
        if (body in said or (fraction and not fraction[1])) and beat is None:
            self._no_beat(column, body, bar)
            return None
        if body in said:
            assert beat is not None
            return beat - 1 + said[body]
        if fraction:
            return self._fraction(column, fraction, beat)
        self._no_count(column, word, body)
        return None

    def _fraction(self, column: int, match: re.Match[str], beat: int | None) -> Fraction | None:
        upper, lower = int(match[2]), int(match[3])
        named = int(match[1]) if match[1] else beat
        if not 0 < upper < lower <= FINEST or not named:
            self._note(
                column,
                "count",
                f"'{match[0]}' is no part of a beat: it is more than 0 and less than 1",
                f"a beat and a part of it, such as 3+1/5 (up to {FINEST} parts)",
            )
            return None
        return named - 1 + Fraction(upper, lower)

    def _no_beat(self, column: int, body: str, bar: int) -> None:
        part = _FRACTION.fullmatch(body)
        said = _SAID_COMPOUND if self._meter.compound else _SAID
        share = Fraction(int(part[2]), int(part[3])) if part and int(part[3]) else said.get(body)
        last = f"{self._meter.beats}+{share}"
        where = {Fraction(1, 2): "the last half beat"}.get(share or Fraction(0), "the last beat")
        self._note(
            column,
            "beat",
            f"{body} comes before any beat of bar {bar} is said",
            f"say its beat first, (1) {body} with more room in front, or 1+{share} "
            f"(a pickup on {where}: {last})",
        )

    def _no_count(self, column: int, word: str, body: str) -> None:
        meter = self._meter
        if meter.compound and body in _SAID:
            self._note(
                column,
                "count",
                f"{body} is not said in {meter}, where a beat has three parts",
                "& is a third on, a two thirds; else a fraction: +1/6",
            )
        elif ":" in word:
            self._note(
                column,
                "count",
                "':' is no count and no note; there are no repeat signs",
                "% repeats a bar, solo places a phrase again",
            )
        elif body.lower() in _MEANT:
            self._note(column, "count", f"'{word}' is no count", _MEANT[body.lower()])
        elif word == "%":
            self._note(
                column,
                "simile",
                "% stands alone in its bar",
                "leave the other counts out, or count the bar without %",
            )
        else:
            tight = len(re.findall(r"\d+|[&eatl]", body)) > 1
            self._note(
                column,
                "count",
                f"'{word}' is no count",
                "a space between counts, each under its note: give every note three columns"
                if tight
                else f"a beat 1 to {meter.beats}, {' '.join(filter(None, meter.sayings.values()))}"
                " for its parts, or a fraction such as 3+1/5",
            )

    def _past_end(self, column: int, body: str, bar: int) -> None:
        meter = self._meter
        wanted = re.match(r"\d+", body)
        longer = int(wanted[0]) if wanted else meter.beats + 1
        other = f"{longer * 3}/8" if meter.compound else f"{longer}/{meter.lower}"
        known = not meter.compound or longer * 3 in (6, 9, 12)
        self._note(
            column,
            "bar-end",
            f"bar {bar} has {meter.beats} beat{'s' * (meter.beats != 1)} (meter {meter}); "
            f"count {body} is past its end",
            "start a new bar before it" + (f", or set meter: {other}" if known else ""),
        )

    def _in_order(self, bar: int, last: RawCount | None, read: RawCount) -> bool:
        if last is None:
            return True
        if read.position <= last.position:
            follows = count_name(Fraction(int(last.position // 1) + 1), self._meter)
            row = self._replaced(read, follows)
            if int(follows) > self._meter.beats or row is None:
                mend, fixes = "start a new bar before it", []
            else:
                mend, fixes = short(row), [Fix(self._row.line.number, row)]
            what = f"count {read.text} does not come after {last.text} ; bar {bar} goes backwards"
            self._note(read.column, "backwards", what, mend, fixes)
            return False
        if self._feel.sounding(read.position) <= self._feel.sounding(last.position):
            beat = int(read.position // 1) + 1
            self._note(
                read.column,
                "backwards",
                f"in a shuffle {last.text} already sounds where {read.text} is said",
                f"count this beat {beat} t l, or set feel: straight",
            )
            return False
        return True

    def _replaced(self, read: RawCount, word: str) -> str | None:
        """The row with another word for a count; None if there is no room for it."""
        text, end = self._row.text, read.column + len(read.text)
        room = max(len(word), len(read.text))
        if text[end : read.column + room].strip(" "):
            return None
        return text[: read.column] + word.ljust(room) + text[read.column + room :]
