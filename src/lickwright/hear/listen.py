"""What is in the sound at each moment: pitch, level, beginnings? The first look at a take."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np

from lickwright.hear.clicks import without_clicks
from lickwright.hear.strength import RATE, band_levels, rises

if TYPE_CHECKING:
    from numpy.typing import NDArray

FRAME = 256 / RATE  # seconds between pitch frames
SURE = 0.5  # confidence of a frame in which something pitched sounds
LOWEST_HZ, HIGHEST_HZ = 60.0, 1700.0


@dataclass(frozen=True, slots=True, eq=False)
class Listened:
    """Frames of a take at 16 kHz.

    `samples`: mono. `pitch` (MIDI numbers, NaN where nothing pitched), `trust` (0 to 1) and
    `level` (dB, full scale 0): one a 16 ms, frame i centred on i * 16 ms. `rise`: dB, one a 4 ms
    (see strength.rises). `clicks`: seconds of a metronome's clicks, which are taken off from
    `rise`. `noise`: level of what is always there, dB.
    """

    samples: NDArray[np.float32]
    pitch: NDArray[np.float64]
    trust: NDArray[np.float64]
    level: NDArray[np.float64]
    rise: NDArray[np.float64]
    clicks: tuple[float, ...]
    noise: float

    @property
    def seconds(self) -> float:
        """Length of the take."""
        return len(self.samples) / RATE


def listen(
    samples: NDArray[np.float32], lowest: float = LOWEST_HZ, highest: float = HIGHEST_HZ
) -> Listened:
    """First look at mono samples at 16 kHz; pitches are looked for between two frequencies, Hz."""
    pitch, trust, level = pitch_frames(samples, lowest, highest)
    levels = band_levels(samples)
    levels, rise, clicks = without_clicks(levels, rises(levels))
    noise = float(np.percentile(level, 5))
    return Listened(samples, pitch, trust, level, rise, clicks, noise)


@cache
def _tracker() -> Any:
    from swift_f0 import SwiftF0  # noqa: PLC0415

    return SwiftF0(threads=1, spin=False)


def pitch_frames(
    samples: NDArray[np.float32], lowest: float = LOWEST_HZ, highest: float = HIGHEST_HZ
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Pitch (MIDI numbers, NaN where unsure), trust and level (dB) by frame, of mono at 16 kHz."""
    found = _tracker().detect(samples, RATE, lowest, highest)
    midi = 69 + 12 * np.log2(np.maximum(found.pitch_hz, 1.0) / 440)
    return np.where(found.confidence >= SURE, midi, np.nan), found.confidence, found.loudness_db
