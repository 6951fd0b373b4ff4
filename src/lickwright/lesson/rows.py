"""What rows does a line of music have, which string is each, and where are its bar lines?"""

from __future__ import annotations

import re
from bisect import bisect_left
from dataclasses import dataclass

from lickwright.lesson.document import Line
from lickwright.lesson.lookalikes import BARS, HIDDEN, WIDE_SPACES
from lickwright.lesson.problems import Fix, Problems, near
from lickwright.phrase import Tuning
from lickwright.theory import TheoryError, parse_pitch_class

_STRUCK = re.compile(r"(?<=[-=|])[/\\t]?[(<]?[0-9x]")
MOST_BARS = 256
MOST_COLUMNS = 8000
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


def read_music_line(
    lines: tuple[Line, ...], tuning: Tuning, problems: Problems
) -> MusicLine | None:
    """Sort the rows of one line of music; None if they cannot be read together."""
    before = len(problems)
    rows = [row for line in lines if (row := _read_row(line, tuning, problems)) is not None]
    words = {word: tuple(row for row in rows if row.label == word) for word in WORD_ROWS}
    strings = [row for row in rows if row.label not in WORD_ROWS]
    if len(problems) > before and len(rows) < len(lines):
        return None
    if len(strings) > len(tuning):
        problems.add(
            strings[len(tuning)].line.number,
            1,
            "strings",
            f"{len(strings)} string rows stand together, the tuning has {len(tuning)} strings",
            "a blank line between two lines of music",
        )
        return None
    if not strings:
        problems.add(
            lines[0].number,
            1,
            "strings",
            "a line of music needs a string row; this one has none",
            f"a row for each string played, such as {tuning.label(1)}     |----|",
        )
        return None
    placed = _place_strings(strings, tuning, problems)
    if not _one_of_each(words, strings, problems) or placed is None:
        return None
    bar_lines = strings[0].bar_lines
    aligned = [_aligned(row, strings[0], row in strings, problems) for row in rows]
    if not all(aligned):
        return None
    count = words["count"][0] if words["count"] else None
    return MusicLine(
        placed,
        count,
        words["chord"],
        words["finger"],
        words["pick"],
        words["mark"],
        bar_lines,
        lines[0].number,
    )


def _read_row(line: Line, tuning: Tuning, problems: Problems) -> Row | None:
    text = line.text.rstrip()
    if len(text) > MOST_COLUMNS:
        problems.add(
            line.number,
            MOST_COLUMNS + 1,
            "too-long",
            f"a row has at most {MOST_COLUMNS} columns",
            "an empty line, and the next bars in a new line of music",
        )
        return None
    if _strange(line, text, problems):
        return None
    if "\t" in text:
        column = text.index("\t")
        problems.add(
            line.number,
            column + 1,
            "tab-key",
            "a tab character hides the columns",
            "spaces or dashes",
        )
        return None
    if "|" not in text:
        problems.add(
            line.number,
            1,
            "label",
            "this is neither a setting (name: value) nor a row (label | … |)",
            "a label and bar lines if it is a row; prose stands outside the block",
        )
        return None
    label = text.partition("|")[0].strip()
    checked = _check_label(line, label, tuning, problems)
    if checked is None:
        return None
    if len(text) - 1 == text.index("|") or not text.endswith("|"):
        problems.add(
            line.number,
            len(text),
            "bar-line",
            "a row ends with a bar line",
            f"{text}|",
            [Fix(line.number, f"{text}|")],
        )
        text += "|"
    bars = tuple(index for index, char in enumerate(text) if char == "|")
    if len(bars) - 1 > MOST_BARS:
        too_many_bars(line.number, bars[MOST_BARS] + 1, problems)
        return None
    return Row(Line(line.number, text, line.ending), checked, bars)


def _strange(line: Line, text: str, problems: Problems) -> bool:
    """Note the first character that looks like a space, a bar line or nothing, but is not."""
    for column, char in enumerate(text):
        if char in HIDDEN:
            what, meant = f"{HIDDEN[char]} stands here, unseen", ""
            mend = "the row without it"
        elif char in WIDE_SPACES:
            what, meant = "this space is not the usual one, so its width is not certain", " "
            mend = "a plain space"
        elif char in BARS:
            what, meant = f"'{char}' looks like '|' but is another character", "|"
            mend = "the bar line |"
        else:
            continue
        fixes = [Fix(line.number, text.replace(char, meant))]
        problems.add(line.number, column + 1, "cell", what, mend, fixes)
        return True
    return False


def too_many_bars(line: int, column: int, problems: Problems) -> None:
    """Note that a lick is longer than it may be."""
    problems.add(
        line,
        column,
        "too-long",
        f"a lick has at most {MOST_BARS} bars",
        "cut it into several licks and place them with solo",
    )


def _check_label(line: Line, label: str, tuning: Tuning, problems: Problems) -> str | None:
    if label in WORD_ROWS:
        return label
    chromas = {pitch.name.chroma for pitch in tuning.strings}
    if _label_chroma(label) in chromas:
        return label
    guess = "B" if label.upper() == "H" else near(label, WORD_ROWS) if len(label) > 1 else None
    names = " ".join(str(pitch.name) for pitch in reversed(tuning.strings))
    what = (
        f"row {label or 'without a label'} is neither a string (tuning {names}) "
        f"nor {', '.join(WORD_ROWS)}"
    )
    fixes = []
    if guess and label:
        at = line.text.index(label)
        rest = line.text[at + len(label) :]
        spare = len(guess) - len(label)
        if spare > 0 and rest[:spare].strip(" ") == "":
            rest = rest[spare:]
        elif spare < 0:
            rest = " " * -spare + rest
        fixes = [Fix(line.number, line.text[:at] + guess + rest)]
    mend = guess or " ".join(tuning.label(n + 1) for n in range(len(tuning)))
    problems.add(line.number, 1, "label", what, mend, fixes)
    return None


def _label_chroma(label: str) -> int | None:
    try:
        return parse_pitch_class(label[:1].upper() + label[1:]).chroma if label else None
    except TheoryError:
        return None


def _one_of_each(
    words: dict[str, tuple[Row, ...]], strings: list[Row], problems: Problems
) -> bool:
    for word in ("count", "chord", "finger", "pick"):
        for row in words[word][1:]:
            problems.add(
                row.line.number,
                1,
                word,
                f"one {word} row for each line of music",
                "a blank line between the two lines",
            )
            return False
    if not words["count"]:
        problems.add(
            strings[0].line.number,
            1,
            "count",
            "a line of music needs a count row; this one has none",
            f"{_count_row(strings)}, with a beat in place of each ?",
        )
        return False
    return True


def _count_row(strings: list[Row]) -> str:
    """A count row with ? under each struck number, for the teacher to fill in."""
    model = strings[0]
    width = max(model.bar_lines[0], len("count "))
    cells = [" "] * (model.bar_lines[-1] + 1)
    for column in model.bar_lines:
        cells[column] = "|"
    for row in strings:
        for match in _STRUCK.finditer(row.text, row.bar_lines[0]):
            if match.end() < len(cells):
                cells[match.end() - 1] = "?"
    return "count".ljust(width) + "".join(cells[model.bar_lines[0] :])


def _place_strings(rows: list[Row], tuning: Tuning, problems: Problems) -> dict[int, Row] | None:
    """Which string is each row? By its letter, in order, in one way only."""
    ways = ways_to_place([row.label for row in rows], tuning)
    if len(ways) == 1:
        return dict(zip(ways[0], rows, strict=True))
    labels = [tuning.label(n + 1) for n in range(len(tuning))]
    names = " ".join(str(pitch.name) for pitch in reversed(tuning.strings))
    if not ways:
        written = " ".join(row.label for row in rows)
        backwards = ways_to_place([row.label for row in rows[::-1]], tuning)
        fixes = []
        if backwards and len(rows) > 1:
            what = f"string rows {written} stand thickest first"
            mend = "thinnest first: " + ", then ".join(row.label for row in rows[::-1])
            turned = zip(rows, reversed(rows), strict=True)
            fixes = [Fix(row.line.number, other.text) for row, other in turned]
        else:
            what = f"string rows {written} do not fit the tuning {names} in order"
            mend = f"thinnest first: {' '.join(labels)}"
        problems.add(rows[0].line.number, 1, "strings", what, mend, fixes)
        return None
    for index, row in enumerate(rows):
        places = sorted({way[index] for way in ways})
        if len(places) > 1:
            maybe = " or ".join(f"string {place}" for place in places)
            problems.add(
                row.line.number,
                1,
                "strings",
                f"row {row.label} may be {maybe} of the tuning {names}",
                f"write all rows: {' '.join(labels)}",
            )
            break
    return None


def ways_to_place(labels: list[str], tuning: Tuning) -> list[tuple[int, ...]]:
    """All ways to give rows with these labels strings (from 1), thinnest first."""
    complete = len(labels) == len(tuning)
    ways: list[tuple[int, ...]] = [()]
    for label in labels:
        ways = [
            (*way, string)
            for way in ways
            for string in range(way[-1] + 1 if way else 1, len(tuning) + 1)
            if _may_be(label, string, tuning, complete)
        ][:200]
    return ways


def _may_be(label: str, string: int, tuning: Tuning, complete: bool) -> bool:
    chroma = tuning.strings[string - 1].name.chroma
    if _label_chroma(label) != chroma:
        return False
    twins = [n + 1 for n, s in enumerate(tuning.strings) if s.name.chroma == chroma]
    if complete or len(twins) == 1:
        return True
    return string == twins[0] if label[0].islower() else string != 1


def _aligned(row: Row, model: Row, is_string: bool, problems: Problems) -> bool:
    """Do the bar lines of `row` stand where those of `model`, a string row, do?"""
    want, got = model.bar_lines, row.bar_lines
    for index in range(max(len(want), len(got))):
        if index >= len(want) or index >= len(got):
            _bar_count(row, model, problems)
            return False
        last = index == len(want) - 1 == len(got) - 1
        if want[index] == got[index] or (last and not is_string):
            continue
        what = f"bar {index} of row {row.label} ends" if index else f"row {row.label} begins"
        problems.add(
            row.line.number,
            got[index] + 1,
            "bar-line",
            f"{what} in column {got[index] + 1}, that of row {model.label} "
            f"in column {want[index] + 1}",
            *_realign(row, index, want[index] - got[index], is_string),
        )
        return False
    return True


def _realign(row: Row, index: int, by: int, is_string: bool) -> tuple[str, list[Fix]]:
    """The row with its bar line moved, if there is only filling to put in or take out."""
    at, filler = row.bar_lines[index], "-" if is_string and index else " "
    text = row.text
    if by > 0:
        mended = text[:at] + filler * by + text[at:]
    elif text[at + by : at].strip(filler) == "" and at + by > 0:
        mended = text[: at + by] + text[at:]
    else:
        return f"move its bar line {-by} columns left, or those of the other rows right", []
    return mended.rstrip(), [Fix(row.line.number, mended.rstrip())]


def _bar_count(row: Row, model: Row, problems: Problems) -> None:
    bars, wanted = len(row.bar_lines) - 1, len(model.bar_lines) - 1
    problems.add(
        row.line.number,
        row.bar_lines[-1] + 1,
        "bar-line",
        f"row {row.label} has {bars} bar{'s' * (bars != 1)}, row {model.label} has {wanted}",
        "the same bar lines in every row of a line of music",
    )
