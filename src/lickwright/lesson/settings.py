"""What do the `name: value` lines at the top of a file or block set?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from lickwright.lesson.document import Line
from lickwright.lesson.lookalikes import HIDDEN
from lickwright.lesson.problems import Fix, Problems, near
from lickwright.lesson.values import READERS, SettingError
from lickwright.phrase import STANDARD, STRAIGHT, Feel, Meter, Tuning
from lickwright.theory import (
    Chord,
    Key,
)

FOUR_FOUR = Meter(4, 4)


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting as written.

    `line` and `column` (of the value) from 1, and `whole`, the text of its line, do not count
    in ==.
    """

    name: str
    value: str
    line: int = 0
    column: int = 1
    whole: str = ""

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Setting):
            return NotImplemented
        return (self.name, self.value) == (other.name, other.value)

    def __hash__(self) -> int:
        return hash((self.name, self.value))


@dataclass(frozen=True, slots=True)
class Settings:
    """All settings of a lick or of the file, resolved, with the values used if nothing is set."""

    title: str = ""
    author: str = ""
    level: str = ""
    key: Key | None = None
    chords: tuple[Chord, ...] = ()
    tempo: Fraction = Fraction(90)
    meter: Meter = FOUR_FOUR
    feel: Feel = STRAIGHT
    tuning: Tuning = STANDARD
    capo: int = 0
    strings: tuple[Fraction, ...] = ()  # gauges in thousandths of an inch, thinnest first
    scale: Fraction = Fraction(648)  # scale length in mm
    paper: str = "A4"
    guitar: str = "clean"


def is_setting(text: str) -> bool:
    """True for a `name: value` line: a colon that no bar line precedes."""
    head, colon, _ = text.partition(":")
    return bool(colon) and "|" not in head and bool(head.strip())


def read_setting_lines(
    lines: tuple[Line, ...], known: Mapping[str, object] | tuple[str, ...], problems: Problems
) -> tuple[Setting, ...]:
    """Read `name: value` lines, several to a line if ` · ` stands between them."""
    found: dict[str, Setting] = {}
    for line in lines:
        for start, part in _parts(line.text):
            setting = _one(line, start, part, tuple(known), problems)
            if setting is None:
                continue
            if setting.name in found:
                problems.add(
                    line.number,
                    start + 1,
                    "setting",
                    f"{setting.name} is set twice here, first in line {found[setting.name].line}",
                    "leave one of them",
                )
                continue
            found[setting.name] = setting
    return tuple(found.values())


def _parts(text: str) -> list[tuple[int, str]]:
    parts: list[tuple[int, str]] = []
    start = 0
    for part in text.split(" · "):
        parts.append((start, part))
        start += len(part) + 3
    return [(at, part) for at, part in parts if part.strip()]


def _one(
    line: Line, start: int, part: str, known: tuple[str, ...], problems: Problems
) -> Setting | None:
    name, colon, value = part.partition(":")
    written = name.strip()
    column = start + len(name) - len(name.lstrip()) + 1
    if not colon:
        problems.add(
            line.number,
            column,
            "setting",
            f"'{part.strip()}' is no setting: a setting is a name, a colon and a value",
            f"{near(written.split()[0], known) or 'key'}: C",
        )
        return None
    if written not in known:
        _unknown(Setting(written, value, line.number, column, line.text), known, problems)
        return None
    at = start + len(name) + 1 + len(value) - len(value.lstrip()) + 1
    if not value.strip():
        problems.add(
            line.number, column, "setting", f"{written} has no value", f"a value after {written}:"
        )
        return None
    return Setting(written, " ".join(value.split()), line.number, at, line.text)


def _unknown(setting: Setting, known: tuple[str, ...], problems: Problems) -> None:
    """Note a setting that is not known here; its `column` is that of the name."""
    number, column, written = setting.line, setting.column, setting.name
    guess = near(written, [name for name in known if name != "bar"])
    if guess:
        head = setting.whole[: column - 1]
        mended = f"{head}{guess}{setting.whole[column - 1 + len(written) :]}"
        problems.add(
            number,
            column,
            "setting",
            f"'{written}' is no setting; did you mean {guess}?",
            f"{guess}:{setting.value}".rstrip(),
            [Fix(number, mended)],
        )
    else:
        problems.add(
            number,
            column,
            "setting",
            f"'{written}' is no setting here",
            f"one of {', '.join(known)}",
        )


def resolve(settings: tuple[Setting, ...], base: Settings, problems: Problems) -> Settings:
    """Lay a file's or block's settings over `base`; unreadable values are noted and left out."""
    values: dict[str, Any] = {}
    for setting in settings:
        if setting.name not in READERS:
            continue
        try:
            values[setting.name] = READERS[setting.name](setting.value)
        except SettingError as error:
            note_value(setting, error, problems)
    return replace(base, **values)


def note_value(setting: Setting, error: SettingError, problems: Problems) -> None:
    """Note a value that cannot be read, with the corrected line if it is a slip of spelling."""
    what, fixes = error.what.replace("tempo is", f"{setting.name} is", 1), []
    head, rest = setting.whole[: setting.column - 1], setting.whole[setting.column - 1 :]
    if error.meant and rest.startswith(setting.value):
        fixes = [Fix(setting.line, head + error.mend + rest[len(setting.value) :])]
    if any(char in HIDDEN for char in setting.value):
        what += "; an invisible character stands in it"
    mend = f"{setting.name}: {error.mend}"
    problems.add(setting.line, setting.column, "setting", what, mend, fixes)
