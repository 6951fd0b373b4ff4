"""How are a printed value, its tuplet and its beam said in MusicXML?"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import lcm
from xml.etree.ElementTree import Element

from lickwright.exchange.markup import add, make
from lickwright.phrase import Meter
from lickwright.phrase.score import ScoreBar, ScoreEvent
from lickwright.phrase.tuplets import Tuplet
from lickwright.phrase.values import Value, value_of

_TYPES = {1: "whole", 2: "half", 4: "quarter", 8: "eighth", 32: "32nd"}
Beams = dict[int, list[str]]  # index of an event in its voice -> begin, continue … a level


def type_name(base: int) -> str:
    """MusicXML's `note-type-value` of a value: 4 is quarter, 16 is 16th."""
    return _TYPES.get(base, f"{base}nd" if base % 100 == 32 else f"{base}th")


def divisions(bars: tuple[ScoreBar, ...], meter: Meter) -> int:
    """The least number of parts of a quarter in which every time of the score is whole."""
    times = [event.duration for bar in bars for voice in bar.voices for event in voice]
    times += [bar.bar.length for bar in bars]
    return lcm(*((time * meter.beat_in_quarters).denominator for time in times))


def printed(note: Element, value: Value) -> None:
    """Append `type` and dots."""
    add(note, "type", type_name(value.base))
    for _ in range(value.dots):
        add(note, "dot")


def time_modification(event: ScoreEvent, meter: Meter) -> Element | None:
    """The ratio of the tuplet an event stands in, or None."""
    if event.tuplet is None:
        return None
    element = make("time-modification")
    add(element, "actual-notes", event.tuplet.actual)
    add(element, "normal-notes", event.tuplet.normal)
    unit = _unit(event.tuplet, meter)
    if unit is not None and unit != event.value:
        add(element, "normal-type", type_name(unit.base))
    return element


def _unit(tuplet: Tuplet, meter: Meter) -> Value | None:
    share = Fraction(tuplet.actual, tuplet.normal)
    return value_of(tuplet.unit * share * meter.beat_in_wholes)


def tuplet_marks(voice: tuple[ScoreEvent, ...], index: int, *, shown: bool = True) -> list[Element]:
    """`tuplet` start and stop for one event of a voice; not `shown`, its number is left out."""
    tuplet = voice[index].tuplet
    if tuplet is None:
        return []
    members = [i for i, event in enumerate(voice) if event.tuplet == tuplet]
    beams = {voice[i].beam for i in members}
    bracket = "no" if len(beams) == 1 and None not in beams else "yes"
    found = []
    if index == members[0]:
        start = make("tuplet", type="start", number=1, bracket=bracket if shown else "no")
        if not shown:
            start.set("show-number", "none")
        found.append(start)
    if index == members[-1]:
        found.append(make("tuplet", type="stop", number=1))
    return found


def beams(voice: tuple[ScoreEvent, ...]) -> Beams:
    """What each event of a voice says about its beams, the main one first."""
    found: Beams = {}
    for number in sorted({e.beam for e in voice if e.beam is not None}):
        members = [i for i, event in enumerate(voice) if event.beam == number]
        levels = [voice[i].value.base.bit_length() - 3 for i in members]
        for place, index in enumerate(members):
            found[index] = list(_beam_levels(levels, place))
    return found


def _beam_levels(levels: list[int], place: int) -> Iterator[str]:
    for level in range(1, levels[place] + 1):
        before = place > 0 and levels[place - 1] >= level
        after = place + 1 < len(levels) and levels[place + 1] >= level
        match before, after:
            case True, True:
                yield "continue"
            case True, False:
                yield "end"
            case False, True:
                yield "begin"
            case _:
                yield "forward hook" if place == 0 else "backward hook"
