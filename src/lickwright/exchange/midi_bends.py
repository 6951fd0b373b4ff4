"""With which pitch-bend messages does a MIDI instrument follow the pitch curve?

Value = round(8192 * cents / (100 * range)), clamped to -8192 … 8191: MIDI 1.0, as in the
registered parameter "pitch bend sensitivity" (RPN 0), which sets the range in semitones.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from lickwright.exchange.midi_time import TickGrid
from lickwright.phrase import PitchCurve

BEND_RANGE = 12  # semitones either way; one step is 0.146 cents
STEP_CENTS = 2.0  # most that the curve moves while one message holds
SHORTEST_SECONDS = 0.001  # between two messages: no more than a thousand a second
_SAMPLE_SECONDS = 0.00025


def bend_value(semitones: float) -> int:
    """Signed pitch-bend value, -8192 to 8191, for a bend in semitones at BEND_RANGE."""
    return min(max(round(8192 * semitones / BEND_RANGE), -8192), 8191)


def bend_events(
    curve: PitchCurve, number: int, begin: int, end: int, grid: TickGrid
) -> Iterator[tuple[int, int]]:
    """Ticks and values that hold a note of MIDI `number` on `curve` from tick `begin` to `end`.

    Each message holds the middle of the pitches passed until the next, so the file is within one
    cent of the curve (plus rounding), except where the curve moves by more than STEP_CENTS in
    SHORTEST_SECONDS. Where the curve stands still the value is that pitch itself.
    """
    held: int | None = None
    for start, stop in pairwise(_edges(curve, begin, end, grid)):
        for tick, pitch in _steps(curve, start, stop, grid):
            value = bend_value(pitch - number)
            if value != held:
                yield tick, value
                held = value


def _edges(curve: PitchCurve, begin: int, end: int, grid: TickGrid) -> list[int]:
    """Ticks between which the curve either stands still or moves all the time."""
    moments = [(move.start, move.end) for move in curve.moves]
    moments += [(shake.start, shake.end) for shake in curve.shakes]
    inside = {grid.tick(moment) for pair in moments for moment in pair}
    return sorted({begin, end} | {tick for tick in inside if begin < tick < end})


def _steps(curve: PitchCurve, start: int, stop: int, grid: TickGrid) -> list[tuple[int, float]]:
    """Ticks at which the held pitch changes, and what it is from there on."""
    stride = max(1, int(_SAMPLE_SECONDS * grid.ticks_a_second))
    fewest = max(1, round(SHORTEST_SECONDS * grid.ticks_a_second / stride))
    ticks = [*range(start, stop, stride), stop]
    moments = (np.array(ticks, dtype=np.float64) - grid.origin) / grid.ticks_a_second
    pitches: list[float] = curve.at(moments).tolist()
    if max(pitches) == min(pitches):
        return [(start, pitches[0])]
    found: list[tuple[int, float]] = []
    first = 0
    while first < len(ticks) - 1:
        low = high = pitches[first]
        last = first
        while last + 1 < len(ticks):
            lower, higher = min(low, pitches[last + 1]), max(high, pitches[last + 1])
            if higher - lower > STEP_CENTS / 100 and last + 1 - first > fewest:
                break
            low, high, last = lower, higher, last + 1
        found.append((ticks[first], (low + high) / 2))
        first = last
    return found
