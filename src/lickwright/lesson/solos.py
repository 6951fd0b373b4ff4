"""Which licks does a solo block place on which bars?"""

from __future__ import annotations

import re

from lickwright.lesson.blocks import (
    NAME,
    Placement,
    Solo,
    block_lines,
    block_values,
    form_or_chords,
    read_form,
)
from lickwright.lesson.document import Fence, Line
from lickwright.lesson.problems import Problems
from lickwright.lesson.settings import Setting, Settings, read_setting_lines
from lickwright.lesson.values import read_chords, read_key
from lickwright.theory import TheoryError, parse_chord

SOLO = {"key": read_key, "form": read_form, "chords": read_chords}
_BAR = re.compile(r"\s*bar\s+(\d{1,4})\s*:\s*(.*?)\s*")


def read_solo(fence: Fence, base: Settings, problems: Problems) -> Solo:
    """Read a solo block: `bar N: lick` or `bar N: lick on F7`."""
    placed, plain = _solo_lines(fence)
    settings = read_setting_lines(plain, tuple(SOLO), problems)
    values = block_values(settings, SOLO, problems)
    form_or_chords(fence, values, settings, problems)
    written: list[Setting] = []
    placements: list[Placement] = []
    for number, line in placed:
        placement = _placement(number, line, problems)
        if placement is not None:
            placements.append(placement)
            name = f"bar {number}"
            written.append(Setting(name, _placement_text(placement), line.number))
    if not placements and not placed:
        problems.add(
            fence.opening.number, 1, "solo", "this solo places no lick", "bar 1: lean-and-answer"
        )
    defaults = {"key": base.key, "form": "" if "chords" in values else "twelve-bar"}
    return Solo(
        fence.name,
        (*settings, *written),
        placements=tuple(placements),
        **(defaults | values),
    )


def _placement_text(placement: Placement) -> str:
    on = f" on {placement.chord.symbol}" if placement.chord else ""
    return placement.lick + on


def _solo_lines(fence: Fence) -> tuple[list[tuple[int, Line]], tuple[Line, ...]]:
    placed: list[tuple[int, Line]] = []
    plain: list[Line] = []
    for line in block_lines(fence):
        for part in line.text.split(" · "):
            match = _BAR.fullmatch(part)
            if match:
                placed.append((int(match[1]), Line(line.number, match[2], line.ending)))
            elif part.strip():
                plain.append(Line(line.number, part, line.ending))
    return placed, tuple(plain)


def _placement(number: int, line: Line, problems: Problems) -> Placement | None:
    name, on, symbol = line.text.partition(" on ")
    if not NAME.fullmatch(name.strip()) or number < 1:
        problems.add(
            line.number,
            1,
            "solo",
            f"'bar {number}: {line.text}' names no lick",
            f"bar {max(number, 1)}: lean-and-answer, or lean-and-answer on F7",
        )
        return None
    if not on:
        return Placement(number, name.strip())
    try:
        return Placement(number, name.strip(), parse_chord(symbol.strip()))
    except TheoryError as error:
        problems.add(line.number, 1, "chord", str(error), f"bar {number}: {name} on F7")
        return None
