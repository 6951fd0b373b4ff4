"""What do the `name: value` lines at the top of a file or block set?"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from lickwright.lesson.document import Line
from lickwright.lesson.lookalikes import HIDDEN
from lickwright.lesson.problems import Fix, Problems, near
from lickwright.phrase import STANDARD, Feel, Meter, Tuning
from lickwright.theory import (
    Chord,
    Key,
    Pitch,
    TheoryError,
    parse_chord,
    parse_key,
    parse_pitch,
    parse_pitch_class,
)

PAPERS = ("A4", "Letter")
USUAL_STRINGS = ("E4", "B3", "G3", "D3", "A2", "E2", "B1", "F#1", "C#1", "G#0", "D#0", "A#-1")
MOST_STRINGS = 12
MOST_CHORDS = 256
_FRACTION_SIGNS = {"¼": "1/4", "½": "1/2", "¾": "3/4"}


class SettingError(ValueError):
    """A value that cannot be read: what was wanted and got, and the value that would do."""

    def __init__(self, what: str, mend: str, meant: bool = False) -> None:
        super().__init__(what)
        self.what = what
        self.mend = mend
        self.meant = meant  # the mend is plainly what was meant: a slip of spelling


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting as written. `line` and `column` (of the value) from 1, and `whole`, the text of
    its line, do not count in ==.
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
    meter: Meter = Meter(4, 4)
    feel: Feel = Feel()
    tuning: Tuning = STANDARD
    capo: int = 0
    strings: tuple[Fraction, ...] = ()  # gauges in thousandths of an inch, thinnest first
    scale: Fraction = Fraction(648)  # scale length in mm
    paper: str = "A4"


def _text(value: str) -> str:
    return value


def read_key(value: str) -> Key:
    """A key as a teacher says it: `C`, `A minor`, `Bb`."""
    try:
        return parse_key(value)
    except TheoryError as error:
        raise SettingError(str(error), getattr(error, "mend", "") or "C, A minor, Bb") from error


def read_chords(value: str) -> tuple[Chord, ...]:
    """Chord symbols, one a bar, with | between."""
    symbols = [symbol.strip() for symbol in value.strip().strip("|").split("|")]
    if len(symbols) > MOST_CHORDS:
        raise SettingError(f"chords names at most {MOST_CHORDS} bars; got {len(symbols)}", "C7 | F7")
    try:
        return tuple(parse_chord(symbol) for symbol in symbols)
    except TheoryError as error:
        raise SettingError(str(error), getattr(error, "mend", "") or "C7 | F7") from error


def read_tempo(value: str) -> Fraction:
    """Beats a minute, 20 to 400."""
    number = _number(value.removesuffix("bpm").strip())
    if number is None or not 20 <= number <= 400:
        raise SettingError(f"tempo is a number of beats a minute, 20 to 400; got '{value}'", "120")
    return number


def read_meter(value: str) -> Meter:
    """A time signature such as 4/4, 12/8, 7/8."""
    match = re.fullmatch(r"(\d{1,2})\s*/\s*(\d{1,2})", value)
    if not match or int(match[2]) not in (1, 2, 4, 8, 16) or not 1 <= int(match[1]) <= 24:
        raise SettingError(f"meter is two numbers such as 4/4, 3/4, 12/8; got '{value}'", "4/4")
    return Meter(int(match[1]), int(match[2]))


def read_feel(value: str) -> Feel:
    """`straight`, `shuffle`, or a ratio such as `shuffle 60%`."""
    match = re.fullmatch(r"(\w+)(?:\s+(\d+(?:\.\d+)?)\s*%)?", value)
    word = match[1] if match else value
    if not match or word not in ("straight", "shuffle") or (match[2] and word == "straight"):
        known = near(word.split()[0] if word.split() else "", ("straight", "shuffle"))
        guess = f"; did you mean {known}?" if known else "; it is straight, shuffle or shuffle 60%"
        meant = known is not None and bool(re.fullmatch(r"\w+", value))
        raise SettingError(f"'{value}' is no feel{guess}", known or "shuffle", meant)
    if word == "straight":
        return Feel()
    share = Fraction(match[2]) / 100 if match[2] else Fraction(2, 3)
    if not Fraction(1, 2) <= share <= Fraction(4, 5):
        raise SettingError(
            f"in a shuffle the off-beat comes 50% to 80% into the beat; got {match[2]}%",
            "shuffle 60%",
        )
    return Feel(share)


def read_tuning(value: str) -> Tuning:
    """Open strings low to high, with octaves where the nearest usual one would be wrong."""
    words = value.replace(",", " ").split()
    if not 1 <= len(words) <= MOST_STRINGS:
        raise SettingError(
            f"a tuning has 1 to {MOST_STRINGS} strings, low to high; got {len(words)}",
            "E A D G B E",
        )
    try:
        return Tuning(
            tuple(_string_pitch(word, index) for index, word in enumerate(reversed(words)))
        )
    except TheoryError as error:
        raise SettingError(str(error), "E A D G B E, or with octaves D2 A2 D3 G3 B3 E4") from error


def _string_pitch(word: str, index: int) -> Pitch:
    """The pitch of an open string; without an octave the one nearest to the usual string there."""
    if word[-1:].isdigit():
        return parse_pitch(word)
    name = parse_pitch_class(word[:1].upper() + word[1:])
    usual = parse_pitch(USUAL_STRINGS[index]) if index < 10 else None
    goal = usual.midi if usual else 20
    return min(
        (Pitch(name, octave) for octave in range(-1, 8)), key=lambda p: (abs(p.midi - goal), p.midi)
    )


def read_capo(value: str) -> int:
    """The fret that the capo is on, 0 for none."""
    match = re.fullmatch(r"(?:fret\s*)?(\d{1,2})", value)
    if not match or int(match[1]) > 12:
        raise SettingError(f"capo is a fret, 0 to 12; got '{value}'", "2")
    return int(match[1])


def read_gauges(value: str) -> tuple[Fraction, ...]:
    """String gauges in thousandths of an inch, thinnest first."""
    numbers = [_number(word) for word in value.replace("-", " ").replace(",", " ").split()]
    gauges = tuple(n * 1000 if n is not None and n < 1 else n for n in numbers)
    if not gauges or any(g is None or not 5 <= g <= 100 for g in gauges):
        raise SettingError(
            f"strings are gauges in thousandths of an inch, thinnest first; got '{value}'",
            "10 13 17 26 36 46",
        )
    return tuple(g for g in gauges if g is not None)


def read_scale(value: str) -> Fraction:
    """Scale length in mm (`in` is understood)."""
    match = re.fullmatch(r'([\d.]+)\s*(mm|in|inch|inches|")?', value)
    number = _number(match[1]) if match else None
    if match and number is not None:
        length = number if (match[2] or "mm") == "mm" else number * Fraction("25.4")
        if 300 <= length <= 1000:
            return length
    raise SettingError(f"scale is the string length, 300 to 1000 mm; got '{value}'", "648 mm")


def read_paper(value: str) -> str:
    """A paper size."""
    known = near(value, PAPERS)
    if known is None or known.lower() != value.lower():
        raise SettingError(f"paper is A4 or Letter; got '{value}'", known or "A4", known is not None)
    return known


def _number(text: str) -> Fraction | None:
    try:
        return Fraction(text) if re.fullmatch(r"\d+(\.\d+)?", text) else None
    except ValueError:
        return None


READERS: Mapping[str, Callable[[str], Any]] = {
    "title": _text,
    "author": _text,
    "level": _text,
    "key": read_key,
    "chords": read_chords,
    "tempo": read_tempo,
    "meter": read_meter,
    "feel": read_feel,
    "tuning": read_tuning,
    "capo": read_capo,
    "strings": read_gauges,
    "scale": read_scale,
    "paper": read_paper,
}


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
        _unknown(line, column, written, value, known, problems)
        return None
    at = start + len(name) + 1 + len(value) - len(value.lstrip()) + 1
    if not value.strip():
        problems.add(
            line.number, column, "setting", f"{written} has no value", f"a value after {written}:"
        )
        return None
    return Setting(written, " ".join(value.split()), line.number, at, line.text)


def _unknown(
    line: Line, column: int, written: str, value: str, known: tuple[str, ...], problems: Problems
) -> None:
    guess = near(written, [name for name in known if name != "bar"])
    if guess:
        head = line.text[: column - 1]
        mended = f"{head}{guess}{line.text[column - 1 + len(written) :]}"
        problems.add(
            line.number,
            column,
            "setting",
            f"'{written}' is no setting; did you mean {guess}?",
            f"{guess}:{value}".rstrip(),
            [Fix(line.number, mended)],
        )
    else:
        problems.add(
            line.number,
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
    what, fixes = error.what, []
    head, rest = setting.whole[: setting.column - 1], setting.whole[setting.column - 1 :]
    if error.meant and rest.startswith(setting.value):
        fixes = [Fix(setting.line, head + error.mend + rest[len(setting.value) :])]
    if any(char in HIDDEN for char in setting.value):
        what += "; an invisible character stands in it"
    mend = f"{setting.name}: {error.mend}"
    problems.add(setting.line, setting.column, "setting", what, mend, fixes)
