"""How strongly does something begin at each moment? Rise of the spectrum, in dB."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

RATE = 16_000  # samples a second of everything in this room
HOP = 64  # 4 ms
STEP = HOP / RATE  # seconds
WINDOW = 512  # 32 ms
BACK = 4  # steps: compared with what was 16 ms before
BANDS = 57
RANGE = 60.0  # dB below the loudest under which nothing counts
_BLOCK = 4096  # steps at a time, so that memory stays small


def rises(levels: NDArray[np.float32]) -> NDArray[np.float64]:
    """Mean rise over all bands against 16 ms before, dB, one value each 4 ms.

    `levels`: shape (steps, bands), as from band_levels. The reference is the highest of three
    neighbouring bands, so that a pitch that glides is not taken for a beginning (Böck & Widmer
    2013, "Maximum filter vibrato suppression for onset detection").
    """
    found = np.zeros(len(levels))
    for first in range(0, len(levels), _BLOCK):
        part = levels[max(0, first - BACK) : first + _BLOCK]
        before = _widest(part[:-BACK])
        rise = np.maximum(part[BACK:] - before, 0).mean(axis=1)
        at = max(0, first - BACK) + BACK
        found[at : at + len(rise)] = rise
    return found


def _widest(levels: NDArray[np.float32]) -> NDArray[np.float32]:
    made = levels.copy()
    np.maximum(made[:, 1:], levels[:, :-1], out=made[:, 1:])
    np.maximum(made[:, :-1], levels[:, 1:], out=made[:, :-1])
    return made


def band_levels(samples: NDArray[np.float32]) -> NDArray[np.float32]:
    """Level of each band, dB, floored; shape (steps, 57). Step i is centred on i * 4 ms.

    The floor of a band is 60 dB below the loudest moment of any, or just above the noise that is
    always in that band, whichever is higher.
    """
    steps = len(samples) // HOP + 1
    padded = np.pad(samples, (WINDOW // 2, WINDOW))
    levels = np.empty((steps, BANDS), np.float32)
    for first in range(0, steps, _BLOCK):
        count = min(_BLOCK, steps - first)
        stretch = padded[first * HOP : (first + count - 1) * HOP + WINDOW]
        levels[first : first + count] = _decibels(stretch)
    always = np.percentile(levels[:: max(1, steps // 5000)], 15, axis=0)
    floor = np.maximum(levels.max() - RANGE, np.minimum(always + 4, levels.max() - 20))
    return np.asarray(np.maximum(levels, floor.astype(np.float32), out=levels))


def _decibels(stretch: NDArray[np.float32]) -> NDArray[np.float32]:
    frames = np.lib.stride_tricks.sliding_window_view(stretch, WINDOW)[::HOP]
    window = np.hanning(WINDOW).astype(np.float32)
    spectrum = np.fft.rfft(frames * window, axis=1)
    power = spectrum.real**2 + spectrum.imag**2
    sums: NDArray[np.float32] = 10 * np.log10(power @ _bands() + 1e-9)
    return sums


@cache
def _bands() -> NDArray[np.float32]:
    """Which share of each spectrum line counts in each band; shape (lines, bands)."""
    lines = WINDOW // 2 + 1
    edges = np.geomspace(2.0, lines - 1, BANDS + 1)
    edges = np.maximum(edges, 2.0 + np.arange(BANDS + 1))
    edges = np.minimum(edges, lines - 1)
    weights = np.zeros((lines, BANDS), np.float32)
    for band in range(BANDS):
        first = int(edges[band])
        last = max(first + 1, int(edges[band + 1]))
        weights[first:last, band] = 1.0
    return weights
