"""How is a sound filtered: filters drawn as a response, and long sounds passed through them?"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from lickwright.sound.guitar import RATE

if TYPE_CHECKING:
    from numpy.typing import NDArray

_BLOCK = 16_384


def minimum_phase(db: NDArray[np.float64], taps: int) -> NDArray[np.float32]:
    """Minimum-phase impulse response, shape (taps,), of a gain in dB.

    `db` stands at len(db) even steps from 0 Hz to half the sample rate. Source: the folded real
    cepstrum (Oppenheim & Schafer, Discrete-Time Signal Processing).
    """
    size = 2 * (len(db) - 1)
    cepstrum = np.fft.irfft(db * (np.log(10) / 20), size)
    fold = np.zeros(size)
    fold[0] = fold[size // 2] = 1.0
    fold[1 : size // 2] = 2.0
    response = np.fft.irfft(np.exp(np.fft.rfft(cepstrum * fold)), size)[:taps]
    end = taps // 4
    response[-end:] *= 0.5 + 0.5 * np.cos(np.pi * np.arange(end) / end)
    return response.astype(np.float32)


def drawn(points: tuple[tuple[float, float], ...], taps: int) -> NDArray[np.float32]:
    """Minimum-phase response through `points` (Hz, dB), straight over the logarithm of Hz."""
    hz = np.fft.rfftfreq(4 * taps, 1 / RATE)
    at = np.log(np.maximum(hz, 5.0))
    db = np.interp(at, [np.log(f) for f, _ in points], [g for _, g in points])
    return minimum_phase(db, taps)


def convolve(sound: NDArray[np.float32], response: NDArray[np.float32]) -> NDArray[np.float32]:
    """`sound` through a filter, block by block; as long as `sound`.

    A `response` of shape (filters, taps) gives a sound of shape (filters, samples).
    """
    filters = np.atleast_2d(response)
    heard = Passing(filters, max(_BLOCK, _power(2 * filters.shape[1]))).through(sound)
    return heard.reshape(*response.shape[:-1], len(sound))


class Passing:
    """Filters that a sound passes through piece by piece, each piece of any length.

    `response`: shape (filters, taps). `block`: samples of a transform, more than `taps`; best used
    by pieces of block - taps + 1 samples.
    """

    def __init__(self, response: NDArray[np.float32], block: int) -> None:
        _keep_memory()
        self._block, self._after = block, response.shape[1] - 1  # samples that it rings on
        self._hop = block - self._after
        self._spectrum = np.fft.rfft(response, block)
        self._bins = np.empty_like(self._spectrum)
        self._ringing = np.zeros((len(response), self._after), np.float32)

    def through(self, piece: NDArray[np.float32]) -> NDArray[np.float32]:
        """The next piece as the filters give it, shape (filters, samples)."""
        out = np.empty((len(self._ringing), len(piece)), np.float32)
        for at in range(0, len(piece), self._hop):
            part = piece[at : at + self._hop]
            whole = self._until_silence(part)
            whole[:, : self._after] += self._ringing
            self._ringing[:] = whole[:, len(part) : len(part) + self._after]
            out[:, at : at + self._hop] = whole[:, : len(part)]
        return out

    def _until_silence(self, part: NDArray[np.float32]) -> NDArray[np.float32]:
        """What the filters make of a part by itself, and what rings on: a whole block."""
        if not np.any(part):
            return np.zeros((len(self._ringing), self._block), np.float32)
        np.multiply(np.fft.rfft(part, self._block), self._spectrum, out=self._bins)
        return np.asarray(np.fft.irfft(self._bins, self._block), np.float32)


@cache  # once is enough
def _keep_memory() -> None:
    """Let the memory of one piece be used again for the next.

    The GNU C library gives large blocks back to the system at once until it has seen one of this
    size given back (mallopt(3), M_MMAP_THRESHOLD); getting them again costs a tenth of the time.
    """
    np.empty(6_000_000, np.float32)


def _power(count: int) -> int:
    """The power of two from `count` on."""
    return 1 << (count - 1).bit_length()
