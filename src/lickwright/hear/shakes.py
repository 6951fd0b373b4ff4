"""How fast and how wide is a vibrato, and how fast a trill?"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from lickwright.hear.bends import follow
from lickwright.hear.fine import SINGLE, STEP, FinePitch, frames_between, stand_out
from lickwright.hear.take import Take
from lickwright.hear.verdicts import TrillHeard, Unsure, VibratoHeard
from lickwright.hear.written import Voice

if TYPE_CHECKING:
    from numpy.typing import NDArray

SLOWEST, QUICKEST = 3.0, 9.5  # Hz
LEAST_WIDTH = 12.0  # cents from lowest to highest: measured in own trials
LEAST_CYCLES = 1.6
EXPLAINED = 0.45  # share of the movement that one sine must explain
_SETTLES = 0.08  # seconds after a beginning in which the pitch still falls


def vibrato_heard(take: Take, index: int, voice: Voice) -> VibratoHeard:
    """Vibrato in a found note: the sine that explains most of the pitch's movement."""
    start, end = take.span(index)
    fine = follow(take, index, voice.low - 0.9, voice.high + 0.9)
    begin = max(start + _SETTLES, _shake_begins(take, voice) - 0.04)
    use = (fine.seconds > begin) & (fine.seconds < end - 0.03) & (fine.clear > 6)
    midi, seconds = fine.midi[use], fine.seconds[use]
    if len(midi) * STEP < LEAST_CYCLES / QUICKEST * 1.5:
        return VibratoHeard(False, 0.0, 0.0, Unsure.FLAT_PART_TOO_SHORT)
    rate, width, explained = _best_sine(seconds, midi)
    cycles = rate * (seconds[-1] - seconds[0])
    heard = width >= LEAST_WIDTH and explained >= EXPLAINED and cycles >= LEAST_CYCLES
    return VibratoHeard(True, rate, width) if heard else VibratoHeard(False, 0.0, 0.0)


def _shake_begins(take: Take, voice: Voice) -> float:
    """Seconds of the take at which the written vibrato is due."""
    shakes = [] if voice.curve is None else voice.curve.shakes
    own = [s.start for s in shakes if voice.time.start <= s.start < voice.time.end]
    return take.due(own[0]) if own else 0.0


def _best_sine(
    seconds: NDArray[np.float64], midi: NDArray[np.float64]
) -> tuple[float, float, float]:
    """Rate (Hz), width (cents) and share of the variance explained of the best sine."""
    line = np.stack([np.ones_like(seconds), seconds - seconds.mean()], axis=1)
    rest = midi - line @ np.linalg.lstsq(line, midi, rcond=None)[0]
    best = (0.0, 0.0, 0.0)
    total = float((rest**2).sum()) + 1e-9
    for rate in np.arange(SLOWEST, QUICKEST, 0.1):
        phase = 2 * np.pi * rate * seconds
        columns = np.concatenate([line, np.stack([np.sin(phase), np.cos(phase)], axis=1)], axis=1)
        found = np.linalg.lstsq(columns, rest, rcond=None)[0]
        explained = 1 - float(((rest - columns @ found) ** 2).sum()) / total
        if explained > best[2]:
            best = (float(rate), 200 * float(np.hypot(found[2], found[3])), explained)
    return best


def trill_heard(take: Take, index: int, voice: Voice) -> TrillHeard:
    """A trill: how often the two notes change places."""
    note = voice.time.note
    assert note.trill is not None
    start, end = take.span(index)
    move = take.tuning / 100
    home, other = voice.fretted + move, voice.fretted + note.trill.fret - note.fret + move
    frames = frames_between(take.heard.samples, start + 0.02, end - 0.02, SINGLE // 2)
    scores = stand_out(frames, np.array([home, other]), ())
    which = _smooth(scores[:, 1] - scores[:, 0])
    changes = np.flatnonzero(np.diff(which))
    if len(changes) < 3:
        return TrillHeard(False, 0.0)
    rate = (len(changes) - 1) / ((changes[-1] - changes[0]) * STEP)
    return TrillHeard(True, float(rate))


def _smooth(lead: NDArray[np.float64]) -> NDArray[np.intp]:
    """0 or 1 by frame: which of two notes stands out, changing only if clearly so."""
    made = np.zeros(len(lead), np.intp)
    state = int(lead[0] > 0)
    for index, value in enumerate(np.convolve(lead, np.ones(3) / 3, "same")):
        if value > 2:
            state = 1
        elif value < -2:
            state = 0
        made[index] = state
    return made


def steady_pitch(fine: FinePitch) -> float | None:
    """Median MIDI number of the clear part of a straight note; None if it is too short."""
    use = (fine.seconds > fine.seconds[0] + 0.03) & (fine.clear > 8)
    return float(np.median(fine.midi[use])) if use.sum() >= 10 else None
