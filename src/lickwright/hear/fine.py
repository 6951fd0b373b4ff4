"""Exactly which pitch does one string have, every 8 ms, also beside another that sounds?

A path through the pitches at which partials stand out (Viterbi 1967), then the frequency of each
partial from the step of its phase over one sample (instantaneous frequency, Boashash 1992).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lickwright.hear.strength import RATE

if TYPE_CHECKING:
    from numpy.typing import NDArray

STEP = 0.008  # seconds
GRID = 0.1  # semitones between the pitches that a path may take
SINGLE, BESIDE = 1024, 2048  # samples: 64 ms for a note alone, 128 ms beside another
PARTIALS = 6
_PAD = 4096
_CLOSE = 1.7  # bins (of the window) within which a partial cannot be told from another note's
_TOP_HZ = 5500.0
_STIFF = 3e-5  # inharmonicity of a guitar string, middling (from memory)
_SLOW = 0.5  # cost of a step of one grid place, in units of the score


@dataclass(frozen=True, slots=True, eq=False)
class FinePitch:
    """One row every 8 ms.

    `seconds` of the take; `midi`: MIDI numbers, tuning not taken off; `clear`: how far its
    partials stand out, dB.
    """

    seconds: NDArray[np.float64]
    midi: NDArray[np.float64]
    clear: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.seconds)


@dataclass(frozen=True, slots=True, eq=False)
class Frames:
    """Spectra every 8 ms, and the same one sample later; shape (frames, lines)."""

    seconds: NDArray[np.float64]
    now: NDArray[np.complex128]
    later: NDArray[np.complex128]
    decibels: NDArray[np.float64]
    window: int


def frames_between(samples: NDArray[np.float32], start: float, end: float, window: int) -> Frames:
    """Spectra whose centres lie from `start` to `end` (seconds)."""
    seconds = np.arange(start, max(end, start + STEP / 2), STEP)
    firsts = np.rint(seconds * RATE).astype(int) - window // 2
    low = min(0, int(firsts[0]))
    high = max(0, int(firsts[-1]) + window + 1 - len(samples))
    padded = np.pad(samples[max(0, int(firsts[0])) : int(firsts[-1]) + window + 1], (-low, high))
    views = np.lib.stride_tricks.sliding_window_view(padded, window)
    shape = np.hanning(window) * 2 / window
    offsets = firsts - firsts[0]
    now = np.fft.rfft(views[offsets] * shape, _PAD, axis=1)
    later = np.fft.rfft(views[np.minimum(offsets + 1, len(views) - 1)] * shape, _PAD, axis=1)
    decibels = 20 * np.log10(np.abs(now) + 1e-6)
    return Frames(seconds, now, later, decibels, window)


def fine_pitch(
    frames: Frames, low: float, high: float, others: tuple[float, ...] = (), slow: float = _SLOW
) -> FinePitch:
    """Follow one string between two MIDI numbers; `others`: MIDI numbers sounding beside it."""
    grid = np.arange(low, high + GRID / 2, GRID)
    scores = stand_out(frames, grid, others)
    path = _cheapest(scores, slow)
    rows = np.arange(len(path))
    midi = _refined(frames, grid[path], others)
    return FinePitch(frames.seconds, _middle_of_five(midi), scores[rows, path])


def stand_out(
    frames: Frames, grid: NDArray[np.float64], others: tuple[float, ...]
) -> NDArray[np.float64]:
    """How far the partials of each pitch stand out of what is around them, dB; (frames, grid)."""
    lines, kept = _lines(grid, others, frames.window)
    level = frames.decibels[:, lines]
    floor = np.percentile(frames.decibels[:, : int(_TOP_HZ * _PAD / RATE)], 30, axis=1)
    over = np.clip(level - floor[:, None, None], 0, 45)
    weights = kept / np.maximum(kept.sum(axis=1, keepdims=True), 1e-9)
    return np.asarray((over * weights).sum(axis=2))


def _lines(
    grid: NDArray[np.float64], others: tuple[float, ...], window: int
) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """Line of each partial of each pitch, and its weight: 0 where another note has one too."""
    numbers = np.arange(1, PARTIALS + 1)
    hz = _hz(grid)[:, None] * numbers * np.sqrt(1 + _STIFF * numbers**2)
    lines = np.minimum(np.rint(hz * _PAD / RATE), _PAD // 2).astype(np.intp)
    kept = np.where(hz < _TOP_HZ, 0.9 ** (numbers - 1.0), 0.0)
    for other in others:
        partials = _hz(np.array([other])) * np.arange(1, 25)
        near = np.abs(hz[:, :, None] - partials).min(axis=2) < _CLOSE * RATE / window
        kept = np.where(near, 0.0, kept)
    return lines, kept


def _hz(midi: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(440 * 2 ** ((midi - 69) / 12))


def _cheapest(scores: NDArray[np.float64], slow: float) -> NDArray[np.intp]:
    """Path of the highest sum of scores, each grid place moved costing `slow` dB."""
    count, width = scores.shape
    moves = np.abs(np.arange(width)[:, None] - np.arange(width)[None, :]) * slow
    best = scores[0]
    came = np.zeros((count, width), np.intp)
    for row in range(1, count):
        reach = best[None, :] - moves
        came[row] = np.argmax(reach, axis=1)
        best = reach[np.arange(width), came[row]] + scores[row]
    path = np.empty(count, np.intp)
    path[-1] = int(np.argmax(best))
    for row in range(count - 1, 0, -1):
        path[row - 1] = came[row, path[row]]
    return path


def _refined(
    frames: Frames, path: NDArray[np.float64], others: tuple[float, ...]
) -> NDArray[np.float64]:
    """Weighted median of the partials' frequencies near a path of MIDI numbers."""
    lines, kept = _lines(path, others, frames.window)
    rows = np.arange(len(path))[:, None]
    lines = _highest_near(frames.decibels, lines, rows)
    step = np.angle(frames.later[rows, lines] * np.conj(frames.now[rows, lines]))
    numbers = np.arange(1, PARTIALS + 1)
    hz = step * RATE / (2 * np.pi) / (numbers * np.sqrt(1 + _STIFF * numbers**2))
    midi = 69 + 12 * np.log2(np.maximum(hz, 1.0) / 440)
    weights = kept * np.abs(frames.now[rows, lines])
    weights = np.where(np.abs(midi - path[:, None]) < 0.45, weights, 0.0)
    found = _weighted_median(midi, weights)
    return np.where(weights.sum(axis=1) > 0, found, path)


def _highest_near(
    decibels: NDArray[np.float64], lines: NDArray[np.intp], rows: NDArray[np.intp]
) -> NDArray[np.intp]:
    """The highest of the lines within two of each."""
    around = np.clip(lines[:, :, None] + np.arange(-2, 3), 0, decibels.shape[1] - 1)
    best = np.argmax(decibels[rows[:, :, None], around], axis=2)
    return np.asarray(np.take_along_axis(around, best[:, :, None], axis=2)[:, :, 0])


def _weighted_median(
    values: NDArray[np.float64], weights: NDArray[np.float64]
) -> NDArray[np.float64]:
    order = np.argsort(values, axis=1)
    values = np.take_along_axis(values, order, axis=1)
    total = np.cumsum(np.take_along_axis(weights, order, axis=1), axis=1)
    pick = (total >= total[:, -1:] / 2).argmax(axis=1)
    return np.asarray(values[np.arange(len(values)), pick])


def _middle_of_five(values: NDArray[np.float64]) -> NDArray[np.float64]:
    padded = np.pad(values, 2, mode="edge")
    return np.asarray(np.median(np.lib.stride_tricks.sliding_window_view(padded, 5), axis=1))
