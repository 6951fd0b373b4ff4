"""What is heard of pick, fingers and hand besides the string's own tone?"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING
from zlib import crc32

import numpy as np

from lickwright.sound.guitar import RATE

if TYPE_CHECKING:
    from numpy.typing import NDArray

PICK_SECONDS = 0.004
THUD_SECONDS = 0.05
KNOCK_SECONDS = 0.1


def seed_of(note_id: str, what: str) -> int:
    """A seed that depends on nothing but its words, the same on every machine."""
    return crc32(f"{note_id}#{what}".encode())


def white(count: int, seed: int) -> NDArray[np.float32]:
    """White noise, uniform in -1..1, shape (count,).

    Drawn from the raw 64-bit words of PCG64, which NumPy promises never to change.
    """
    raw = np.random.PCG64(seed).random_raw(count)
    raw >>= np.uint64(40)
    noise = raw.astype(np.float32)
    noise /= np.float32(1 << 23)
    noise -= np.float32(1.0)
    return noise


def wobble(seed: int) -> float:
    """One number in -1..1 for small differences between strokes."""
    return float(white(1, seed)[0])


def banded(count: int, low: float, high: float, seed: int) -> NDArray[np.float32]:
    """Noise between `low` and `high` Hz (soft edges, 12 dB an octave), with a peak of 1."""
    padded = _quick(count + 256)
    spectrum = np.fft.rfft(white(padded, seed))
    spectrum *= _band(padded, low, high)
    sound = np.asarray(np.fft.irfft(spectrum, padded), np.float32)[:count]
    sound /= np.max(np.abs(sound))
    return sound


@lru_cache(64)
def _band(size: int, low: float, high: float) -> NDArray[np.float32]:
    """Gain at the bins of a transform of `size` samples."""
    square = (np.fft.rfftfreq(size, 1 / RATE) + 1e-9) ** 2
    under, over = low * low / square, square / (high * high)
    return np.asarray(1 / np.sqrt((1 + under * under) * (1 + over * over)), np.float32)


def _quick(count: int) -> int:
    """The next number of samples from `count` on whose transform takes little time."""
    size = 1 << (count - 1).bit_length()
    return next(part for part in (5 * size // 8, 3 * size // 4, size) if part >= count)


def pick_burst(note_id: str, strength: float) -> NDArray[np.float32]:
    """The scratch of a pick leaving the string, peak 1: 0.7 to 4.5 kHz, less if it is soft."""
    count = round(PICK_SECONDS * RATE)
    sound = banded(count, 700.0, 2200.0 + 2300.0 * strength, seed_of(note_id, "pick"))
    return np.asarray(sound * np.hanning(2 * count + 1)[count + 1 :], np.float32)


def knock(note_id: str) -> NDArray[np.float32]:
    """The low knock of a stroke, which a pickup hears too, peak 1: below 250 Hz, gone in 0.1 s."""
    count = round(KNOCK_SECONDS * RATE)
    sound = banded(count, 60.0, 250.0, seed_of(note_id, "knock"))
    return np.asarray(sound * np.hanning(2 * count + 1)[count + 1 :] ** 2, np.float32)


def thud(note_id: str, seconds: float = THUD_SECONDS) -> NDArray[np.float32]:
    """A muted string's rattle against finger and fret, peak about 1."""
    count = round(seconds * RATE)
    sound = banded(count, 160.0, 1900.0, seed_of(note_id, "thud"))
    fall = np.exp(-np.arange(count) / (0.2 * count)) * np.hanning(2 * count + 1)[count + 1 :]
    return (sound * fall).astype(np.float32)


def finger_slide(note_id: str, seconds: float, wound: bool) -> NDArray[np.float32]:
    """A finger moving along the string, peak 1; on a wound string it squeaks higher."""
    count = max(8, round(seconds * RATE))
    low, high = (1500.0, 3600.0) if wound else (900.0, 2200.0)
    sound = banded(count, low, high, seed_of(note_id, f"slide{count}"))
    return np.asarray(sound * np.hanning(count), np.float32)
