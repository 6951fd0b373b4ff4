"""How loud is it, how high are its true peaks, and how is it brought to a set loudness?"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

TARGET_LUFS = -16.0
CEILING_DBTP = -1.0
MARGIN_DB = 0.5  # below the ceiling, for what a lossy file adds to the peaks
_OVERSAMPLING = 4
_LOOK_SECONDS = 0.004  # the limiter turns down this long before a peak
_ROUNDS = 12
_BLOCK_SECONDS = 0.4  # of BS.1770; nothing shorter can be measured


def loudness(samples: NDArray[np.float32], rate: int) -> float:
    """Integrated loudness in LUFS (ITU-R BS.1770, gated); -inf for silence.

    `samples`: shape (n, 2). A sound shorter than one block of 0.4 s is measured with silence after
    it.
    """
    import pyloudnorm  # noqa: PLC0415 - slow to import

    short = round(_BLOCK_SECONDS * rate) + 1 - len(samples)
    padded = np.pad(samples, ((0, max(0, short)), (0, 0)))
    if not np.any(padded):
        return float("-inf")
    with np.errstate(divide="ignore"):
        return float(pyloudnorm.Meter(rate).integrated_loudness(padded.astype(np.float64)))


def true_peak(samples: NDArray[np.float32]) -> float:
    """Highest true peak over both channels, linear, by 4x oversampling as in BS.1770 annex 2."""
    return float(np.max(_peaks(samples), initial=0.0))


def _peaks(samples: NDArray[np.float32]) -> NDArray[np.float32]:
    """Highest magnitude of either channel in and around each sample, shape (n,)."""
    from scipy.signal import resample_poly  # noqa: PLC0415 - slow to import

    highest: NDArray[np.float32] = np.max(np.abs(samples), axis=1)
    for channel in samples.T:
        fine = np.abs(resample_poly(channel, _OVERSAMPLING, 1)).reshape(-1, _OVERSAMPLING)
        between = np.max(fine, axis=1)
        highest = np.maximum(highest, between)
        highest[1:] = np.maximum(highest[1:], between[:-1])
    return highest


def normalise(
    samples: NDArray[np.float32],
    rate: int,
    lufs: float = TARGET_LUFS,
    true_peak_dbtp: float = CEILING_DBTP,
) -> NDArray[np.float32]:
    """Bring a sound to `lufs`, with no true peak above `true_peak_dbtp` (less a margin).

    Peaks that would stand higher are turned down for a few milliseconds by a limiter; if even
    that cannot reach the loudness, the peaks win. Silence stays silence.
    """
    before = loudness(samples, rate)
    if not np.isfinite(before):
        return samples.copy()
    ceiling = 10 ** ((true_peak_dbtp - MARGIN_DB) / 20)
    peaks, gain_db = _peaks(samples), lufs - before
    result = samples * np.float32(10 ** (gain_db / 20))
    if float(np.max(peaks)) * 10 ** (gain_db / 20) <= ceiling:
        return result
    for _ in range(_ROUNDS):
        gain = 10 ** (gain_db / 20)
        result = samples * (np.float32(gain) * limiting(peaks * gain, rate, ceiling))[:, np.newaxis]
        missing = lufs - loudness(result, rate)
        if abs(missing) < 0.02:
            break
        gain_db += missing
    return _below(result, ceiling)


def limiting(peaks: NDArray[np.float32], rate: int, ceiling: float) -> NDArray[np.float32]:
    """Gain at each sample (shape of `peaks`) that keeps the peaks at or under `ceiling`.

    The least gain asked for in a window around each sample, smoothed over half that window: down
    before the peak and back after it, without a corner.
    """
    wanted = np.minimum(1.0, ceiling / np.maximum(peaks, 1e-9))
    if float(np.min(wanted)) >= 1.0:
        return np.ones_like(peaks)
    from scipy.ndimage import minimum_filter1d  # noqa: PLC0415 - slow to import

    half = round(_LOOK_SECONDS * rate)
    least = minimum_filter1d(wanted, 2 * half + 1, mode="nearest")
    window = np.hanning(2 * half + 1)
    smooth = np.convolve(np.pad(least, half, mode="edge"), window / window.sum(), mode="valid")
    return smooth.astype(np.float32)


def _below(samples: NDArray[np.float32], ceiling: float) -> NDArray[np.float32]:
    """Turned down as a whole by what little still stands above the ceiling."""
    peak = true_peak(samples)
    return samples if peak <= ceiling else samples * np.float32(ceiling / peak)
