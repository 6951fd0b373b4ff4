"""How much room does verovio have to leave after each place in time?"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from lickwright.engrave.faces import Cut, text_width
from lickwright.engrave.style import CHORD_SIZE, ROW_SIZE, Row, Style
from lickwright.engrave.tokens import CLEAR, Column, count_text
from lickwright.phrase import Phrase

LEAST = 3.05  # from one place to the next
LEAST_TO_BAR = 1.9  # from the last place of a bar to its line
LEAST_LEAD = 1.7  # from a bar line to the first place
COUNT_AIR = 0.6  # between a bare count and the next
CHORD_AIR = 0.9  # between two chord symbols
SIMILE_WIDTH = 7.5  # of a bar with a repeat sign, at least

# Measured with verovio 6.4.1: a value of d quarter notes takes a * d ** b sp where nothing else
# asks for room (spacingLinear .3, spacingNonLinear .6; on narrow pictures .12 and .5).
_NATURAL = {False: (4.61, 0.6), True: (1.095, 0.5)}
_CLEF, _METER, _SIGN = 3.6, 2.55, 1.0  # room for these at a line's beginning


@dataclass(frozen=True, slots=True)
class Room:
    """Room asked for.

    `after`: from each column's centre to the next or, if it is the last of its bar, to the bar
    line; `lead`: from each bar's line to its first column; `widths`: of each bar.
    """

    after: dict[Fraction, float]
    last: Mapping[Fraction, str]  # columns that are the last of their bar, and its measure id
    lead: dict[int, float]  # by bar number
    widths: tuple[float, ...]
    signs: tuple[float, float]  # clef and signatures at the start of the first and other lines


def wanted_room(phrase: Phrase, style: Style, columns: Mapping[Fraction, Column]) -> Room:
    """Work out the room of all columns and the natural widths of all bars, sp."""
    beats = sorted(columns)
    counts: list[tuple[Fraction, str]] = []
    if Row.COUNT in style.rows:
        counts = sorted((c.beat, count_text(c, phrase.meter)) for c in phrase.counts)
    after: dict[Fraction, float] = {}
    last: dict[Fraction, str] = {}
    leads: dict[int, float] = {}
    within: dict[int, list[Fraction]] = {}  # columns of each bar
    for bar in phrase.bars:
        inside = within[bar.number] = beats[
            bisect_left(beats, bar.start) : bisect_left(beats, bar.end)
        ]
        if not inside:
            continue
        leads[bar.number] = max(LEAST_LEAD, columns[inside[0]].left + 0.55)
        last[inside[-1]] = f"m{bar.number}"
        for beat, following in pairwise([*inside, bar.end]):
            said = counts[bisect_left(counts, (beat,)) : bisect_right(counts, (following, ""))]
            need = max(columns[beat].right + CLEAR, _room_for_counts(said, (beat, following)))
            if following == bar.end:
                after[beat] = max(LEAST_TO_BAR, need)
            else:
                after[beat] = max(LEAST, need + columns[following].left)
    _room_for_chords(phrase, beats, after, leads)
    natural = _NATURAL[style.narrow]
    widths = []
    for bar in phrase.bars:
        inside = within[bar.number]
        places = [] if bar.simile else [*inside, bar.end]
        needs = [after[beat] for beat in places[:-1]]
        quarters = [float((b - a) * phrase.meter.beat_in_quarters) for a, b in pairwise(places)]
        widths.append(_bar_width(leads.get(bar.number, 0.0), needs, quarters, natural))
    fifths = phrase.key.fifths if style.notation else 0
    key = _SIGN * abs(fifths) + (0.6 if fifths else 0.0)
    signs = (_CLEF + key + _METER, _CLEF + key)
    return Room(after, last, leads, tuple(widths), signs)


def _room_for_counts(counts: list[tuple[Fraction, str]], ends: tuple[Fraction, Fraction]) -> float:
    """Room between two columns for the bare counts between them, which stand in proportion."""
    need = 0.0
    places = [(beat, text_width(text, Cut.SANS, ROW_SIZE)) for beat, text in counts]
    if places and places[-1][0] < ends[1]:
        places.append((ends[1], 0.0))
    for (before, wide), (after, next_wide) in pairwise(places):
        if ends[0] < before or after < ends[1]:
            share = float((after - before) / (ends[1] - ends[0]))
            need = max(need, ((wide + next_wide) / 2 + COUNT_AIR) / share)
    return need


def _room_for_chords(
    phrase: Phrase,
    beats: list[Fraction],
    after: dict[Fraction, float],
    leads: Mapping[int, float],
) -> None:
    """Give chord symbols room in equal shares from the columns under them."""
    ends = [chord.beat for chord in phrase.chords] + [phrase.end]
    for chord, end in zip(phrase.chords, ends[1:], strict=True):
        under = beats[bisect_left(beats, chord.beat) : bisect_left(beats, end)]
        if not under:
            continue
        width = text_width(chord.chord.pretty, Cut.SANS_SEMIBOLD, CHORD_SIZE) + CHORD_AIR
        short = (width - sum(after[beat] for beat in under)) / len(under)
        if short > 0:
            for beat in under:
                after[beat] += short


def _bar_width(
    lead: float, needs: list[float], quarters: list[float], natural: tuple[float, float]
) -> float:
    """Natural width of a bar from the needs and lengths (quarter notes) of its columns."""
    if not needs:
        return SIMILE_WIDTH
    factor, power = natural
    pairs = zip(needs, quarters, strict=True)
    return lead + sum(max(need, factor * float(length**power)) for need, length in pairs)
