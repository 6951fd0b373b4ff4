"""Which pitches does a short stretch of sound hold? Partials added up, a third of a semitone apart.

Weights fall as 0.84^h, after the sum of harmonics of Hermes 1988 ("Measurement of pitch by
subharmonic summation").
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from lickwright.hear.strength import RATE

if TYPE_CHECKING:
    from numpy.typing import NDArray

LOWEST, HIGHEST, PARTS = 36, 92, 3  # MIDI numbers; steps a semitone
SIZE = 4096
PARTIALS = 8
_FALL = 0.84
_TOP_HZ = 5200.0


def pitches() -> NDArray[np.float64]:
    """MIDI numbers of the steps."""
    return np.arange((HIGHEST - LOWEST) * PARTS + 1) / PARTS + LOWEST


def spectrum(stretch: NDArray[np.float32]) -> NDArray[np.float64]:
    """Amplitude by line (RATE / 4096 apart) of a stretch, Hann window, unity for a full sine."""
    window = np.hanning(len(stretch) + 2)[1:-1]
    lines = np.abs(np.fft.rfft(stretch * window, SIZE))
    return np.asarray(lines * 2 / window.sum(), np.float64)


def salience(amplitudes: NDArray[np.float64], tuning: float = 0.0) -> NDArray[np.float64]:
    """How much each step of pitches() is there; square roots of amplitudes added up.

    `amplitudes`: shape (lines,). `tuning`: cents that all pitches are moved by.
    """
    lines, weights = _comb(round(tuning / 4) * 4)
    roots = np.sqrt(amplitudes)
    return np.asarray((roots[lines] * weights).sum(axis=1))


@cache
def _comb(tuning: int) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    hz = 440 * 2 ** ((pitches() + tuning / 100 - 69) / 12)
    numbers = np.arange(1, PARTIALS + 1)
    places = hz[:, None] * numbers * np.sqrt(1 + 3e-5 * numbers**2)
    weights = _FALL ** (numbers - 1.0) * (places < _TOP_HZ)
    lines = np.minimum(np.rint(places * SIZE / RATE), SIZE // 2).astype(np.intp)
    return lines, weights / weights.sum(axis=1, keepdims=True)


def at(values: NDArray[np.float64], low: float, high: float) -> float:
    """The largest salience between two MIDI numbers."""
    first = int(np.clip(np.floor((low - LOWEST) * PARTS), 0, len(values) - 1))
    last = int(np.clip(np.ceil((high - LOWEST) * PARTS), 0, len(values) - 1))
    return float(values[first : last + 1].max())
