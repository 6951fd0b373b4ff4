"""How far above or below A = 440 Hz is the guitar tuned?"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from lickwright.hear.listen import Listened

if TYPE_CHECKING:
    from numpy.typing import NDArray

_STEADY = 0.12  # semitones between neighbouring frames
_TRUST = 0.85
_GRID = 100  # one step a cent


def tuning_cents(heard: Listened) -> float:
    """Cents, -50 to 50, from the steady frames: their commonest fraction, then its median.

    0.0 if fewer than ten frames are steady.
    """
    fractions = _fractions(heard.pitch, heard.trust)
    if len(fractions) < 10:
        return 0.0
    mode = _mode(fractions)
    away = (fractions - mode + 0.5) % 1 - 0.5
    near = away[np.abs(away) < 0.25]
    return float(((mode + np.median(near) + 0.5) % 1 - 0.5) * 100)


def _fractions(pitch: NDArray[np.float64], trust: NDArray[np.float64]) -> NDArray[np.float64]:
    sure = (trust >= _TRUST) & np.isfinite(pitch)
    steps = np.abs(np.diff(pitch, prepend=np.nan, append=np.nan))
    steady = sure & (steps[:-1] < _STEADY) & (steps[1:] < _STEADY)
    return np.asarray(pitch[steady] % 1)


def _mode(fractions: NDArray[np.float64]) -> float:
    counts = np.bincount((fractions * _GRID).astype(int) % _GRID, minlength=_GRID).astype(float)
    places = np.arange(_GRID)
    around = np.minimum(places, _GRID - places)
    smooth = np.fft.irfft(np.fft.rfft(counts) * np.fft.rfft(np.exp(-((around / 7) ** 2))), _GRID)
    return float(np.argmax(smooth)) / _GRID
