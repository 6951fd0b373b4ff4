"""What phrase does a lick block hold?"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from lickwright.lesson.assemble import assemble
from lickwright.lesson.document import Fence, Line
from lickwright.lesson.lick_reader import LickReader
from lickwright.lesson.problems import Problem, Problems
from lickwright.lesson.rows import MOST_BARS, too_many_bars
from lickwright.lesson.settings import Setting, Settings, is_setting, read_setting_lines, resolve
from lickwright.lesson.values import READERS
from lickwright.neck import Guitar, guitar_for, string_set
from lickwright.phrase import Phrase

_KEPT = 512  # licks in memory: while a lesson is written, only one of its licks changes at a time


@dataclass(frozen=True, slots=True)
class Lick:
    """A lick block.

    `phrase` and `guitar` (what it is played on, by the strings and scale settings) are None if it
    could not be read; `chord_row`: chords are written in the block's own row, not only in a
    setting.
    """

    name: str
    settings: tuple[Setting, ...]
    phrase: Phrase | None
    chord_row: bool = False
    guitar: Guitar | None = None


def read_lick(fence: Fence, base: Settings, problems: Problems) -> Lick:
    """Read a lick block; `base` holds the file's settings."""
    lick, found = _read(fence, base)
    problems.take(found)
    return lick


@lru_cache(maxsize=_KEPT)
def _read(fence: Fence, base: Settings) -> tuple[Lick, tuple[Problem, ...]]:
    problems = Problems()
    lick = _read_once(fence, base, problems)
    return lick, problems.sorted()


def _read_once(fence: Fence, base: Settings, problems: Problems) -> Lick:
    head, lines = _split(fence, problems)
    written = read_setting_lines(head, tuple(READERS), problems)
    # The file's title is the lesson's, not that of each lick in it.
    settings = resolve(written, replace(base, title=""), problems)
    chord_lines = [s.line for s in written if s.name == "chords"]
    line = chord_lines[0] if chord_lines else fence.opening.number
    reader = LickReader(settings, problems, line)
    for group in lines:
        reader.line_of_music(group)
        if len(reader.score.bars) > MOST_BARS:
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
    if problems or not reader.score.bars:
        return Lick(fence.name, written, None)
    reader.finish()
    if problems:
        return Lick(fence.name, written, None)
    phrase = assemble(fence.name, settings, reader.score)
    _check_gauges(written, settings, problems)
    return Lick(fence.name, written, phrase, reader.chord_row, _guitar(phrase, settings))


def _guitar(phrase: Phrase, settings: Settings) -> Guitar:
    """The guitar as set; a file's strings do not count in a lick for another number of strings."""
    gauges = settings.strings if len(settings.strings) == len(phrase.tuning) else ()
    strings = string_set(*map(float, gauges)) if gauges else None
    return guitar_for(phrase, strings, float(settings.scale))


def _check_gauges(written: tuple[Setting, ...], settings: Settings, problems: Problems) -> None:
    own = next((setting for setting in written if setting.name == "strings"), None)
    given, wanted = len(settings.strings), len(settings.tuning)
    if own is not None and given and given != wanted:
        problems.add(
            own.line,
            own.column,
            "setting",
            f"{given} gauges are given for {wanted} strings",
            "one gauge a string, thinnest first: 10 13 17 26 36 46",
        )


def _split(fence: Fence, problems: Problems) -> tuple[tuple[Line, ...], list[tuple[Line, ...]]]:
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
                f"{word}: {line.text.strip()[len(word) :].strip()}",
            )
        else:
            groups[-1].append(line)
    return tuple(head), [tuple(group) for group in groups if group]
