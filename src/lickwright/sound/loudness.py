"""How loud is it, how high are its true peaks, and how is it brought to a set loudness?"""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

TARGET_LUFS = -16.0
CEILING_DBTP = -1.0
MARGIN_DB = 1.3  # below the ceiling: what MP3 was measured to add in minutes of band, and a little
_OVERSAMPLING = 4
_LOOK_SECONDS = 0.004  # the limiter turns down this long before a peak
_ROUNDS = 12
_NEAR_LU = 0.05  # of the loudness asked for
_LEAST_GIVEN = 0.2  # dB of loudness that one dB of gain is taken to give
_PIECE, _EDGE = 262_144, 128  # samples that peaks are looked for in together, and around them
_LONG_SECONDS = 40.0  # from which a sound is measured in pieces
_PIECE_BLOCKS, _WARM_BLOCKS = 300, 10  # of 0.1 s each
_BLOCK_SECONDS = 0.4  # of BS.1770; nothing shorter can be measured


def loudness(samples: NDArray[np.float32], rate: int) -> float:
    """Integrated loudness in LUFS (ITU-R BS.1770, gated); -inf for silence.

    `samples`: shape (n, 2). A sound shorter than one block of 0.4 s is measured with silence after
    it; a long one is measured in pieces, so that memory does not grow with it.
    """
    import pyloudnorm  # noqa: PLC0415 - slow to import

    short = round(_BLOCK_SECONDS * rate) + 1 - len(samples)
    padded = np.pad(samples, ((0, short), (0, 0))) if short > 0 else samples
    if not np.any(padded):
        return float("-inf")
    meter = pyloudnorm.Meter(rate)
    with np.errstate(divide="ignore", invalid="ignore"):
        if len(padded) <= _LONG_SECONDS * rate:
            return float(meter.integrated_loudness(padded.astype(np.float64)))
        return _gated(np.concatenate(list(_block_powers(padded, rate, meter))))


def _block_powers(
    samples: NDArray[np.float32], rate: int, meter: Any
) -> Iterator[NDArray[np.float64]]:
    """Weighted power of each block of 0.4 s, one every 0.1 s, in pieces.

    Each piece begins a little earlier, for the filters to settle; those blocks are thrown away.
    """
    step = rate // 10
    piece, warm = _PIECE_BLOCKS * step, _WARM_BLOCKS * step
    for at in range(0, len(samples), piece):
        first = max(0, at - warm)
        part = samples[first : at + piece + 3 * step].astype(np.float64)
        if len(part) < 4 * step:
            return
        with warnings.catch_warnings():  # of a piece that is silent
            warnings.simplefilter("ignore", category=RuntimeWarning)
            meter.integrated_loudness(part)
        found = 10 ** ((np.array(meter.blockwise_loudness) + 0.691) / 10)
        yield found[(at - first) // step :][:_PIECE_BLOCKS]


def _gated(powers: NDArray[np.float64]) -> float:
    """Loudness of blocks after both gates (ITU-R BS.1770-4, equations 5 to 7)."""
    heard = powers[_lufs(powers) >= -70.0]
    if not len(heard):
        return float("-inf")
    kept = heard[_lufs(heard) > _lufs(heard.mean()) - 10.0]
    return float(_lufs(kept.mean()))


def _lufs(power: Any) -> Any:
    return -0.691 + 10 * np.log10(power)


def true_peak(samples: NDArray[np.float32]) -> float:
    """Highest true peak over both channels, linear, by 4x oversampling as in BS.1770 annex 2."""
    return float(np.max(_peaks(samples), initial=0.0))


def _peaks(samples: NDArray[np.float32]) -> NDArray[np.float32]:
    """Highest magnitude of either channel in and around each sample, shape (n,)."""
    highest = np.zeros(len(samples), np.float32)
    for at in range(0, len(samples), _PIECE):
        first = max(0, at - _EDGE)
        found = _piece_peaks(samples[first : at + _PIECE + _EDGE])[at - first :]
        highest[at : at + _PIECE] = found[: min(_PIECE, len(samples) - at)]
    return highest


def _piece_peaks(samples: NDArray[np.float32]) -> NDArray[np.float32]:
    """As `_peaks`, of a piece whose ends are thrown away."""
    from scipy.signal import resample_poly  # noqa: PLC0415 - slow to import

    highest = np.zeros(len(samples), np.float32)
    for channel in samples.T:
        np.maximum(highest, np.abs(channel), out=highest)
        fine = np.abs(resample_poly(np.ascontiguousarray(channel), _OVERSAMPLING, 1))
        for phase in range(1, _OVERSAMPLING):  # what lies between a sample and the next
            between = fine[phase::_OVERSAMPLING]
            np.maximum(highest, between, out=highest)
            np.maximum(highest[1:], between[:-1], out=highest[1:])
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
    before_db, missed = gain_db, 0.0
    for _ in range(_ROUNDS):
        gain = np.float32(10 ** (gain_db / 20))
        held = gain * limiting(peaks * gain, rate, ceiling)
        result = samples * held[:, np.newaxis]
        missing = lufs - loudness(result, rate)
        if abs(missing) < _NEAR_LU:
            break
        # What a dB of gain gave in the last round says how many are wanted (the secant method).
        gave = (missed - missing) / (gain_db - before_db) if missed else 1.0
        before_db, missed = gain_db, missing
        gain_db += missing / min(1.0, max(_LEAST_GIVEN, gave))
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
    from scipy.signal import oaconvolve  # noqa: PLC0415 - slow to import

    half = round(_LOOK_SECONDS * rate)
    least = minimum_filter1d(wanted, 2 * half + 1, mode="nearest")
    window = np.hanning(2 * half + 1)
    window = (window / window.sum()).astype(np.float32)
    smooth = oaconvolve(np.pad(least, half, mode="edge"), window, mode="valid")
    return np.asarray(np.minimum(smooth, 1.0), np.float32)


def _below(samples: NDArray[np.float32], ceiling: float) -> NDArray[np.float32]:
    """Turned down as a whole by what little still stands above the ceiling."""
    peak = true_peak(samples)
    return samples if peak <= ceiling else samples * np.float32(ceiling / peak)
