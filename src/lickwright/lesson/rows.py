"""What rows does a line of music have, which string is each, and where are its bar lines?"""

from __future__ import annotations

import re

from lickwright.lesson.bar_lines import aligned
from lickwright.lesson.document import Line
from lickwright.lesson.lookalikes import BARS, HIDDEN, WIDE_SPACES
from lickwright.lesson.music import WORD_ROWS, MusicLine, Row
from lickwright.lesson.problems import Fix, Problems, near
from lickwright.lesson.strings import label_chroma, place_strings
from lickwright.phrase import Tuning

_STRUCK = re.compile(r"(?<=[-=|])[/\\t]?[(<]?[0-9x]")
MOST_BARS = 256
MOST_COLUMNS = 8000


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
    placed = place_strings(strings, tuning, problems)
    if not _one_of_each(words, strings, problems) or placed is None:
        return None
    bar_lines = strings[0].bar_lines
    straight = [aligned(row, strings[0], row in strings, problems) for row in rows]
    if not all(straight):
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
    if "\t" in text:
        what = "a tab character hides the columns"
        problems.add(line.number, text.index("\t") + 1, "tab-key", what, "spaces or dashes")
        return True
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
    if label_chroma(label) in chromas:
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


def _one_of_each(words: dict[str, tuple[Row, ...]], strings: list[Row], problems: Problems) -> bool:
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
