"""How badly does a written event fit a place in the take? Costs, 0 for a perfect fit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lickwright.hear.candidates import Candidates
from lickwright.hear.listen import FRAME
from lickwright.hear.salience import at
from lickwright.hear.written import Entry, Event

if TYPE_CHECKING:
    from numpy.typing import NDArray

SLACK = 0.4  # semitones around the written range that fit
SKIP = 1.7  # an event left out
LEFT_OVER = 1.0  # a sure beginning that no event explains
NOODLE = 0.03  # the same before the first event or after the last
PITCH = 1.6  # a whole segment at another pitch: less than SKIP + LEFT_OVER
ENTRY = 1.5
PITCH_AT_ENTRY = 0.5
_UNPITCHED = 0.35  # mismatch of a frame in which no pitch is tracked
_OCTAVES = (12.0, 19.0, 24.0, -12.0, -19.0, -24.0)


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """Costs of one event. `entry`: by candidate. `running`: mismatch added up by frame."""

    entry: NDArray[np.float64]
    running: NDArray[np.float64]

    def segment(self, start: NDArray[np.float64], end: NDArray[np.float64]) -> NDArray[np.float64]:
        """Cost of the pitch between two arrays of seconds of one shape."""
        frames = np.arange(len(self.running))
        length = np.maximum(end - start, FRAME) / FRAME
        first = np.interp(start / FRAME + 0.5, frames, self.running)
        last = np.interp(end / FRAME + 0.5, frames, self.running)
        return PITCH * np.clip((last - first) / length, 0, 1)


def fit_event(event: Event, pitch: NDArray[np.float64], found: Candidates) -> Fit:
    """Costs of `event` at every candidate and over every frame of `pitch` (MIDI numbers)."""
    mismatch = frame_mismatch(event, pitch)
    running = np.concatenate([[0.0], np.cumsum(mismatch)])
    return Fit(_entry(event, found), running)


def frame_mismatch(event: Event, pitch: NDArray[np.float64]) -> NDArray[np.float64]:
    """0 (within the written ranges) to 1 (half a semitone and more beyond them), by frame."""
    if not event.pitched:
        return np.full(len(pitch), 0.2)
    best = np.ones(len(pitch))
    for low, high in event.ranges:
        best = np.minimum(best, _beyond(pitch, low, high))
        for octave in _OCTAVES:
            best = np.minimum(best, 0.45 + _beyond(pitch, low + octave, high + octave))
    for low, high in event.held:
        best = np.minimum(best, 0.25 + _beyond(pitch, low, high))
    if len(event.ranges) > 1:
        best = np.minimum(best, 0.5)  # of several strings the tracker often hears a root below
    return np.where(np.isnan(pitch), _UNPITCHED, best)


def _beyond(pitch: NDArray[np.float64], low: float, high: float) -> NDArray[np.float64]:
    away = np.maximum(low - SLACK - pitch, pitch - high - SLACK)
    return np.clip(away / 0.5, 0, 1)


def _entry(event: Event, found: Candidates) -> NDArray[np.float64]:
    if not event.pitched:
        return np.asarray(ENTRY * (1 - found.strength))
    right = agreement(event, found)
    match event.entry:
        case Entry.STRUCK | Entry.MUTED:
            heard = np.maximum(found.strength, 0.35 * right * found.stepped)
        case Entry.LEGATO | Entry.SLIDE:
            changed = right * np.where(found.stepped, 1.0, 0.6)
            heard = np.maximum(changed, 0.75 * found.strength)
    return np.asarray(ENTRY * (1 - heard) + PITCH_AT_ENTRY * (1 - right))


def agreement(event: Event, found: Candidates) -> NDArray[np.float64]:
    """0 to 1 by candidate: does what begins there have the pitch at which the event begins?"""
    tracked = np.zeros(len(found))
    fresh = np.ones(len(found))
    for voice in event.voices:
        low, high = min(voice.first, voice.low), min(voice.high, voice.first + 1)
        near = 1 - _beyond(np.nan_to_num(found.after, nan=-99.0), low, high)
        tracked = np.maximum(tracked, near)
        share = np.array([_share(row, low, high) for row in found.fresh])
        fresh = np.minimum(fresh, share)
    return np.maximum(tracked, fresh)


def _share(values: NDArray[np.float64], low: float, high: float) -> float:
    """Salience of a range against the most salient pitch: 0 at half of it, 1 at nine tenths."""
    top = float(values.max())
    if top <= 0:
        return 0.0
    return float(np.clip((at(values, low, high) / top - 0.5) / 0.4, 0, 1))
