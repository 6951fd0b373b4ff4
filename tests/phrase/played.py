"""Short phrases for the tests: a beat is a second, unless a test says otherwise."""

from __future__ import annotations

import itertools
from fractions import Fraction

import numpy as np

from lickwright.phrase import (
    Bar,
    Clock,
    Count,
    Meter,
    Note,
    Performance,
    Phrase,
    PitchCurve,
    perform,
    run_curve,
)
from lickwright.theory import parse_key

F = Fraction
FOUR_FOUR = Meter(4, 4)
ZERO, SIXTY = F(0), F(60)


def note(onset, end, *, string=3, fret=10, name="", **more) -> Note:
    """A note on the G string (MIDI 55 open), fret 10 (MIDI 65), unless said otherwise."""
    order = more.get("order", 0)
    return Note(f"t/{onset}/{string}/{order}{name}", string, fret, F(onset), F(end), **more)


def phrase(*notes: Note, meter=FOUR_FOUR, start=ZERO, bars=2, tempo=SIXTY, **more) -> Phrase:
    beats = meter.beats
    edges = [start] + [F(beats * number) for number in range(1, bars + 1)]
    made = tuple(
        Bar(i + 1, a, b - a, tuple(Count(F(k)) for k in range(int(-(-a // 1)), int(b))))
        for i, (a, b) in enumerate(itertools.pairwise(edges))
    )
    return Phrase("t", parse_key("C"), made, tuple(notes), meter=meter, tempo=tempo, **more)


def played(*notes: Note, clock: Clock | None = None, **more) -> Performance:
    return perform(phrase(*notes, **more), clock)


def curve(*notes: Note, run=0, **more) -> PitchCurve:
    performance = played(*notes, **more)
    found = run_curve(performance, performance.runs[run])
    assert found is not None
    return found


def pitch(line: PitchCurve, *seconds: float) -> list[float]:
    return [round(float(p), 4) for p in line.at(np.array(seconds))]
