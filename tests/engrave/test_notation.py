"""What verovio plays of the notation it was sent is what the phrase says."""

from __future__ import annotations

import re
from itertools import combinations, pairwise

import pytest
import verovio
from fontTools.misc.bezierTools import calcCubicBounds
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from phrase_strategies import phrases

from lickwright.engrave import PAPER
from lickwright.engrave.breaks import line_starts
from lickwright.engrave.geometry import path_extent
from lickwright.engrave.mei import MeiWriter
from lickwright.engrave.sent import Sent
from lickwright.engrave.spacing import wanted_room
from lickwright.engrave.tokens import tab_columns
from lickwright.phrase import Phrase
from lickwright.phrase.score import score_bars


def sent(made: Phrase) -> Sent:
    bars = score_bars(made, written_bends=True)
    beats = [e.start for bar in bars for voice in bar.voices for e in voice if not e.hidden]
    room = wanted_room(made, PAPER, tab_columns(made, PAPER, beats, {}))
    return MeiWriter(made, bars, room, {}).write()


def _event_of(element: str) -> str:
    """Id of the event that a head, a small head or one of a chord belongs to."""
    return re.match(r"b\d+v\d+e\d+", element)[0]  # type: ignore[index]


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(made=phrases())
def test_verovio_plays_the_phrase(made: Phrase) -> None:
    # Source: verovio's own reading of MEI, its time map and MIDI numbers.
    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    message = sent(made)
    assert toolkit.loadData(message.mei)
    begins: dict[str, float] = {}
    for moment in toolkit.renderToTimemap():
        for element in moment.get("on", []):
            begins.setdefault(element, moment["qstamp"])
    quarter = made.meter.beat_in_quarters
    graced = {_event_of(element) for element in message.small}
    written = set()
    for element, head in message.heads.items():
        note = head.note
        if head.tie_in:
            continue
        written.add(note.id)
        played = toolkit.getMIDIValuesForElement(element)["pitch"]
        midi = made.midi(note)
        if midi is not None:
            expected = round(midi) + head.bent
            # MIDI numbers know no quarter tones, and verovio plays a three-quarter sharp plain.
            assert abs(played - expected) <= (0 if expected.denominator == 1 else 1.5), element
        if head.stage == 0:
            late = begins[element] - float((note.onset - made.start) * quarter)
            # verovio plays small notes on the beat and the main one after them.
            assert -0.02 < late < (0.4 if _event_of(element) in graced else 0.02), element
    written |= {note.id for note in message.small.values()}
    assert written == {note.id for note in made.notes}


@given(
    st.lists(st.floats(5, 40), min_size=1, max_size=9),
    st.floats(3, 9), st.floats(2, 6), st.floats(30, 90),
)  # fmt: skip
def test_lines_are_as_few_and_as_even_as_can_be(
    widths: list[float], first: float, others: float, width: float
) -> None:
    """Against every possible way to break."""

    def cost(starts: tuple[int, ...]) -> tuple[int, float] | None:
        edges = [0, *starts, len(widths)]
        total = 0.0
        for a, b in pairwise(edges):
            room = width - (others if a else first) - sum(widths[a:b])
            if room < 0 and b > a + 1:
                return None
            total += room * room
        return len(edges) - 1, total

    found = cost(tuple(line_starts(widths, (first, others), width)))
    places = range(1, len(widths))
    ways = [cost(c) for k in range(len(widths)) for c in combinations(places, k)]
    best = min(way for way in ways if way is not None)
    assert found is not None
    assert found[0] == best[0]
    assert found[1] == pytest.approx(best[1], rel=1e-6, abs=1e-6)


@given(st.lists(st.tuples(st.integers(-999, 999), st.integers(-999, 999)), min_size=4, max_size=4))
def test_extent_of_a_curve(points: list[tuple[int, int]]) -> None:
    (a, b, c, d) = points
    data = f"M{a[0]},{a[1]} C{b[0]},{b[1]} {c[0]},{c[1]} {d[0]},{d[1]}"
    # Source: fontTools' bounds of a cubic curve.
    assert path_extent(data) == pytest.approx(calcCubicBounds(*points), abs=1e-6)
