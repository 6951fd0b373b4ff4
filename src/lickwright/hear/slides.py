"""When does a slide leave, when does it arrive, and does it pass the frets between?"""

from __future__ import annotations

import numpy as np

from lickwright.hear.fine import SINGLE, STEP, fine_pitch, frames_between
from lickwright.hear.take import Take
from lickwright.hear.verdicts import SlideHeard
from lickwright.hear.written import Voice

_BEFORE, _AFTER = 0.35, 0.12  # seconds looked at around a slide's arrival
ARRIVED = 0.35  # semitones
EARLY = 0.018  # seconds by which the crossing of the pitch comes before the last fret's sound


def slide_heard(take: Take, index: int, voice: Voice, origin: float) -> SlideHeard | None:
    """The slide from `origin` (MIDI number) to a found note; None if its end is not heard."""
    begin = take.begin(index)
    if begin is None or abs(voice.fretted - origin) < 0.5:
        return None
    move = take.tuning / 100
    low, high = sorted((origin, voice.fretted))
    start = max(begin - _BEFORE, _floor(take, index))
    frames = frames_between(take.heard.samples, start, begin + _AFTER, SINGLE // 2)
    fine = fine_pitch(frames, low - 0.8 + move, high + 0.8 + move, slow=0.25)
    midi = fine.midi - move
    there = np.abs(midi - voice.fretted) < ARRIVED
    if not there[-4:].any():
        return None
    away = np.flatnonzero(~there)
    first = int(away[-1]) + 1 if len(away) else 0
    arrives = float(fine.seconds[min(first, len(midi) - 1)]) + EARLY - STEP / 2
    home = np.flatnonzero(np.abs(midi - origin) < ARRIVED)
    home = home[home < first]
    leaves = float(fine.seconds[home[-1]]) if len(home) else None
    return SlideHeard(leaves, arrives, _stepped(midi, low, high, home, first))


def _floor(take: Take, index: int) -> float:
    before = [b for i in range(index) if (b := take.begin(i)) is not None]
    return max(before, default=0.0) + 0.02


def _stepped(midi: np.ndarray, low: float, high: float, home: np.ndarray, first: int) -> bool:
    """True if at least two frames lie between the two notes."""
    last_home = int(home[-1]) + 1 if len(home) else 0
    way = midi[last_home:first]
    between = (way > low + ARRIVED) & (way < high - ARRIVED)
    return bool(between.sum() >= 2)
