"""What do the neck, band, solo and stage blocks ask for?"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import Any

from lickwright.lesson.document import Fence, Line
from lickwright.lesson.problems import Problems, near
from lickwright.lesson.settings import Setting, Settings, note_value, read_setting_lines
from lickwright.lesson.values import SettingError, read_chords, read_feel, read_key, read_tempo
from lickwright.phrase import STRAIGHT, Feel
from lickwright.theory import Chord, Key, ScaleKind, TheoryError, parse_chord, parse_scale_kind

FORMS = ("twelve-bar", "quick-change", "minor-twelve", "eight-bar", "sixteen-bar")
PLAYERS = ("drums", "bass", "keys", "guitar")
MOST_CHORUSES = 200
NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


class Show(Enum):
    """What a neck map writes into its dots."""

    DEGREES = "degrees"
    NAMES = "names"
    FINGERS = "fingers"
    BLANK = "blank"


@dataclass(frozen=True, slots=True)
class Neck:
    """A map of the neck: of a scale, a chord or a lick. `pattern` 1 to 5, None for all."""

    name: str
    settings: tuple[Setting, ...]
    key: Key | None = None
    scale: ScaleKind | None = None
    chord: Chord | None = None
    lick: str = ""
    pattern: int | None = None
    frets: tuple[int, int] | None = None
    show: Show = Show.DEGREES
    worksheet: bool = False


@dataclass(frozen=True, slots=True)
class Band:
    """The backing: a form or a list of chords, in a key and feel. `tempo` in beats a minute."""

    name: str
    settings: tuple[Setting, ...]
    key: Key | None = None
    form: str = ""
    chords: tuple[Chord, ...] = ()
    feel: Feel = STRAIGHT
    tempo: Fraction = Fraction(90)
    choruses: int = 3
    players: tuple[str, ...] = PLAYERS
    count_in: int = 1  # bars


@dataclass(frozen=True, slots=True)
class Placement:
    """A lick placed on a bar (from 1) of a solo's form, perhaps moved onto a chord."""

    bar: int
    lick: str
    chord: Chord | None = None


@dataclass(frozen=True, slots=True)
class Solo:
    """Licks placed on the bars of a form."""

    name: str
    settings: tuple[Setting, ...]
    key: Key | None = None
    form: str = "twelve-bar"
    chords: tuple[Chord, ...] = ()
    placements: tuple[Placement, ...] = ()


@dataclass(frozen=True, slots=True)
class Stage:
    """A practice stage. Tempos in beats a minute; `done`: what counts as done."""

    name: str
    settings: tuple[Setting, ...]
    phrases: tuple[str, ...] = ()
    start: Fraction = Fraction(60)
    goal: Fraction = Fraction(90)
    step: Fraction = Fraction(6)
    done: str = ""


def _read_scale_kind(value: str) -> ScaleKind:
    try:
        return parse_scale_kind(value)
    except TheoryError as error:
        raise SettingError(str(error), getattr(error, "mend", "") or "minor pentatonic") from error


def _read_chord(value: str) -> Chord:
    try:
        return parse_chord(value)
    except TheoryError as error:
        raise SettingError(str(error), getattr(error, "mend", "") or "A7") from error


def _read_pattern(value: str) -> int | None:
    if value in ("1", "2", "3", "4", "5", "all"):
        return None if value == "all" else int(value)
    raise SettingError(f"pattern is 1 to 5 or all; got '{value}'", "1")


def _read_frets(value: str) -> tuple[int, int]:
    match = re.fullmatch(r"(\d{1,2})\s*[-–]\s*(\d{1,2})", value)
    if match and int(match[1]) < int(match[2]) <= 36:
        return int(match[1]), int(match[2])
    raise SettingError(f"frets are two numbers, low to high, such as 5-12; got '{value}'", "5-12")


def _read_show(value: str) -> Show:
    try:
        return Show(value)
    except ValueError:
        guess = near(value, [show.value for show in Show])
        what = f"show is degrees, names, fingers or blank; got '{value}'"
        raise SettingError(what, guess or "degrees", guess is not None) from None


def _read_yes(value: str) -> bool:
    if value.lower() in ("yes", "no"):
        return value.lower() == "yes"
    raise SettingError(f"worksheet is yes or no; got '{value}'", "yes")


def read_form(value: str) -> str:
    """A form that a band or solo goes by."""
    if value in FORMS:
        return value
    guess = near(value, FORMS)
    raise SettingError(
        f"'{value}' is no form" + (f"; did you mean {guess}?" if guess else ""),
        guess or " or ".join(FORMS) + ", or chords: A7 | D7",
        guess is not None,
    )


def _whole(name: str, low: int, high: int) -> Callable[[str], int]:
    def read(value: str) -> int:
        if value.isdecimal() and value.isascii() and low <= int(value) <= high:
            return int(value)
        raise SettingError(f"{name} is a number from {low} to {high}; got '{value}'", str(low))

    return read


def _read_players(value: str) -> tuple[str, ...]:
    words = value.replace(",", " ").split()
    for word in words:
        if word not in PLAYERS:
            guess = near(word, PLAYERS)
            raise SettingError(
                f"'{word}' is no player" + (f"; did you mean {guess}?" if guess else ""),
                value.replace(word, guess, 1) if guess else " ".join(PLAYERS),
                guess is not None,
            )
    return tuple(dict.fromkeys(words))


def _read_lick_name(value: str) -> str:
    if NAME.fullmatch(value):
        return value
    raise SettingError(f"'{value}' is no lick's name", "lean-and-answer")


def _read_phrases(value: str) -> tuple[str, ...]:
    return tuple(_read_lick_name(word) for word in value.replace(",", " ").split())


def _read_step(value: str) -> Fraction:
    if re.fullmatch(r"\d{1,2}(\.\d+)?", value) and Fraction(value) > 0:
        return Fraction(value)
    raise SettingError(f"step is a number of beats a minute; got '{value}'", "6")


Readers = Mapping[str, Callable[[str], Any]]
NECK: Readers = {
    "key": read_key,
    "scale": _read_scale_kind,
    "chord": _read_chord,
    "lick": _read_lick_name,
    "pattern": _read_pattern,
    "frets": _read_frets,
    "show": _read_show,
    "worksheet": _read_yes,
}
BAND: Readers = {
    "key": read_key,
    "form": read_form,
    "chords": read_chords,
    "feel": read_feel,
    "tempo": read_tempo,
    "choruses": _whole("choruses", 1, MOST_CHORUSES),
    "players": _read_players,
    "count-in": _whole("count-in", 0, 4),
}
STAGE: Readers = {
    "phrases": _read_phrases,
    "start": read_tempo,
    "goal": read_tempo,
    "step": _read_step,
    "done": str,
}


def read_neck(fence: Fence, base: Settings, problems: Problems) -> Neck:
    """Read a neck block."""
    settings = read_setting_lines(block_lines(fence), tuple(NECK), problems)
    values = block_values(settings, NECK, problems)
    shown = [name for name in ("scale", "chord", "lick") if name in values]
    if len(shown) != 1 and len(values) == len(settings):
        what = "shows a scale, a chord or a lick"
        problems.add(
            fence.opening.number,
            1,
            "neck",
            f"a neck map {what}: this one names {' and '.join(shown) if shown else 'none'}",
            "scale: minor pentatonic" if not shown else f"leave {shown[0]} and take the rest out",
        )
    values.setdefault("key", base.key)
    return Neck(fence.name, settings, **values)


def read_band(fence: Fence, base: Settings, problems: Problems) -> Band:
    """Read a band block; key, feel and tempo are the file's unless set."""
    settings = read_setting_lines(block_lines(fence), tuple(BAND), problems)
    values = block_values(settings, BAND, problems)
    form_or_chords(fence, values, settings, problems)
    if "count-in" in values:
        values["count_in"] = values.pop("count-in")
    defaults = {"key": base.key, "feel": base.feel, "tempo": base.tempo}
    return Band(fence.name, settings, **(defaults | values))


def read_stage(fence: Fence, base: Settings, problems: Problems) -> Stage:
    """Read a stage block."""
    settings = read_setting_lines(block_lines(fence), tuple(STAGE), problems)
    values = block_values(settings, STAGE, problems)
    if "phrases" not in values and len(values) == len(settings):
        problems.add(
            fence.opening.number,
            1,
            "stage",
            "a stage names its phrases; this one has none",
            "phrases: lean-and-answer, back-step",
        )
    values.setdefault("goal", base.tempo)
    if values.get("start", Fraction(60)) > values["goal"]:
        if "start" in values:
            line = next(s for s in settings if s.name == "start")
            problems.add(
                line.line,
                line.column,
                "stage",
                f"the start ({values['start']}) is faster than the goal ({values['goal']})",
                f"start: {max(20, int(values['goal'] * 2 / 3))}",
            )
        else:
            values["start"] = values["goal"]
    return Stage(fence.name, settings, **values)


def block_lines(fence: Fence) -> tuple[Line, ...]:
    """The lines of a block that are not empty."""
    return tuple(line for line in fence.inner if line.text.strip())


def block_values(
    settings: tuple[Setting, ...], readers: Readers, problems: Problems
) -> dict[str, Any]:
    """The values of settings by name; unreadable ones are noted and left out."""
    values: dict[str, Any] = {}
    for setting in settings:
        try:
            values[setting.name] = readers[setting.name](setting.value)
        except SettingError as error:
            note_value(setting, error, problems)
    return values


def form_or_chords(
    fence: Fence, values: dict[str, Any], settings: tuple[Setting, ...], problems: Problems
) -> None:
    """Note a form together with chords, or a band with neither."""
    if "form" in values and "chords" in values:
        problems.add(
            fence.opening.number,
            1,
            "form",
            f"this {fence.kind} has a form and chords of its own",
            "leave one of them",
        )
    named = {setting.name for setting in settings}
    if fence.kind == "band" and not named & {"form", "chords"}:
        problems.add(
            fence.opening.number,
            1,
            "form",
            "a band plays a form or chords; this one names neither",
            "form: twelve-bar, or chords: A7 | D7 | A7 | E7",
        )
