"""What does the value of a setting say?"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

from lickwright.lesson.problems import near
from lickwright.phrase import Feel, Meter, Tuning
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
GUITARS = ("clean", "overdriven", "acoustic")
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
        raise SettingError(
            f"chords names at most {MOST_CHORDS} bars; got {len(symbols)}", "C7 | F7"
        )
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
        raise SettingError(
            f"paper is A4 or Letter; got '{value}'", known or "A4", known is not None
        )
    return known


def read_guitar(value: str) -> str:
    """The sound of the guitar."""
    word = near(value.lower(), GUITARS)
    if word is None or word != value.lower():
        raise SettingError(
            f"guitar is clean, overdriven or acoustic; got '{value}'", word or "clean", bool(word)
        )
    return word


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
    "guitar": read_guitar,
}
