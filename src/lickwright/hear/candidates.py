"""Where could a note begin? Too many places on purpose: every rise, every step of the pitch."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lickwright.hear.listen import FRAME, Listened
from lickwright.hear.salience import salience, spectrum
from lickwright.hear.strength import RATE, STEP

if TYPE_CHECKING:
    from numpy.typing import NDArray

LEAST_RISE = 0.7  # dB
FULL_RISE = 5.0  # dB: surely struck
GATE = 42.0  # dB below the loudest under which nothing begins
APART = 0.024  # seconds between two beginnings
STRUCK_LATE = 0.005  # seconds by which the half height of a rise comes before the beginning, less
_STEP_SEMITONES = 0.5
_BEFORE, _AFTER = 0.1, 0.11  # seconds looked at on both sides
_SHORTEST = 0.04


@dataclass(frozen=True, slots=True, eq=False)
class Candidates:
    """Places where a note could begin, in order. All arrays have one row each.

    `seconds`; `strength` 0 to 1; `rise` in dB; `stepped`: the tracked pitch changes there;
    `before`, `after`: tracked MIDI numbers on either side (NaN if unpitched); `fresh`, `whole`:
    saliences (see salience.pitches) of what is new there and of all that sounds after it.
    """

    seconds: NDArray[np.float64]
    strength: NDArray[np.float64]
    rise: NDArray[np.float64]
    stepped: NDArray[np.bool_]
    before: NDArray[np.float64]
    after: NDArray[np.float64]
    fresh: NDArray[np.float64]
    whole: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.seconds)


def find_candidates(heard: Listened, pitch: NDArray[np.float64], tuning: float) -> Candidates:
    """All candidates. `pitch`: MIDI numbers by frame, tuning taken off; `tuning` in cents."""
    peaks = _peaks(heard)
    starts = np.array([_half_height(heard.rise, peak) for peak in peaks]) + STRUCK_LATE
    rises = heard.rise[peaks] if len(peaks) else np.zeros(0)
    steps = np.array([s for s in _steps(pitch) if not _near(starts, s, 0.045)])
    seconds = np.concatenate([starts, steps])
    order = np.argsort(seconds)
    seconds = seconds[order]
    rise = np.concatenate([rises, np.zeros(len(steps))])[order]
    strength = np.clip((rise - LEAST_RISE) / (FULL_RISE - LEAST_RISE), 0, 1) ** 0.5
    before, after = _sides(pitch, seconds)
    stepped = np.abs(after - before) > _STEP_SEMITONES
    fresh, whole = _saliences(heard, seconds, strength, tuning)
    return Candidates(seconds, strength, rise, stepped, before, after, fresh, whole)


def _peaks(heard: Listened) -> NDArray[np.intp]:
    """Steps at which the rise is highest within 24 ms and loud enough."""
    from scipy.ndimage import maximum_filter1d  # noqa: PLC0415

    rise = heard.rise
    size = 2 * round(APART / STEP) + 1
    top = maximum_filter1d(rise, size)
    peaks = np.flatnonzero((rise == top) & (rise >= LEAST_RISE))
    loudest = maximum_filter1d(heard.level, 9, origin=-3)
    frames = np.minimum((peaks * STEP / FRAME).astype(int), len(loudest) - 1)
    gate = max(heard.level.max() - GATE, heard.noise + 4)
    return np.asarray(peaks[loudest[frames] > gate])


def _half_height(rise: NDArray[np.float64], peak: int) -> float:
    """Seconds at which the rise to a peak passes half of it, between two steps."""
    half = float(rise[peak]) / 2
    at = int(peak)
    while at > 0 and rise[at - 1] > half and peak - at < 8:
        at -= 1
    if at == 0 or rise[at - 1] >= rise[at]:
        return at * STEP
    return float(at - 1 + (half - rise[at - 1]) / (rise[at] - rise[at - 1])) * STEP


def _steps(pitch: NDArray[np.float64]) -> list[float]:
    """Seconds at which the tracked pitch passes halfway between two levels."""
    found: list[float] = []
    before, after = _medians(pitch, -3, 0), _medians(pitch, 1, 4)
    size = np.abs(after - before)
    size[np.isnan(size)] = 0
    for index in np.flatnonzero(size > _STEP_SEMITONES):
        if size[index] >= size[max(0, index - 2) : index + 3].max():
            found.append((index + 0.5) * FRAME)
    return [s for i, s in enumerate(found) if i == 0 or s - found[i - 1] > APART]


def _medians(pitch: NDArray[np.float64], first: int, last: int) -> NDArray[np.float64]:
    columns = np.stack([_moved(pitch, shift) for shift in range(first, last)])
    return np.asarray(np.sort(columns, axis=0)[len(columns) // 2])


def _moved(pitch: NDArray[np.float64], shift: int) -> NDArray[np.float64]:
    made = np.full_like(pitch, np.nan)
    if shift < 0:
        made[-shift:] = pitch[:shift]
    elif shift == 0:
        made[:] = pitch
    else:
        made[:-shift] = pitch[shift:]
    return made


def _near(places: NDArray[np.float64], second: float, limit: float) -> bool:
    return len(places) > 0 and float(np.abs(places - second).min()) < limit


def _sides(
    pitch: NDArray[np.float64], seconds: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    frames = np.rint(seconds / FRAME).astype(int)
    before = [_median(pitch[max(0, f - 5) : max(0, f - 0)]) for f in frames]
    after = [_median(pitch[f + 1 : f + 6]) for f in frames]
    return np.array(before), np.array(after)


def _median(values: NDArray[np.float64]) -> float:
    real = values[np.isfinite(values)]
    return float(np.median(real)) if len(real) else float("nan")


def _saliences(
    heard: Listened,
    seconds: NDArray[np.float64],
    strength: NDArray[np.float64],
    tuning: float,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    strong = seconds[strength > 0.25]
    fresh, whole = [], []
    for second in seconds:
        later = strong[strong > second + APART]
        room = float(later[0]) - second if len(later) else _AFTER
        length = float(np.clip(room - 0.008, _SHORTEST, _AFTER))
        after = spectrum(_cut(heard.samples, second + 0.008, length))
        before = spectrum(_cut(heard.samples, second - 0.004 - _BEFORE, _BEFORE))
        fresh.append(salience(np.maximum(after - before, 0), tuning))
        whole.append(salience(after, tuning))
    empty = np.zeros((0, len(salience(np.zeros(2049)))))
    return (np.array(fresh), np.array(whole)) if fresh else (empty, empty)


def _cut(samples: NDArray[np.float32], start: float, length: float) -> NDArray[np.float32]:
    first, count = round(start * RATE), round(length * RATE)
    stretch = samples[max(0, first) : max(0, first + count)]
    short = count - len(stretch)
    if short <= 0:
        return stretch
    return np.pad(stretch, (short, 0) if first < 0 else (0, short))
