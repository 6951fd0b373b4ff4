"""How do the open strings ring along with what is played?

All of them together are one impulse response: what a knock on the bridge would leave in them.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from lickwright.phrase import Tuning
from lickwright.sound.filters import convolve
from lickwright.sound.guitar import RATE, Strings
from lickwright.sound.string import Partials, partial_ratios, ring_steady
from lickwright.sound.voice import fade

if TYPE_CHECKING:
    from numpy.typing import NDArray

SECONDS = 1.5
_PARTIALS = 12  # of each string; higher ones hardly answer
_T60 = 1.9  # seconds: a string nobody plays is half damped by the hand near it
_LN_1000 = 6.907755


def with_sympathy(
    sound: NDArray[np.float32], db: float | None, strings: Strings, tuning: Tuning, capo: int
) -> NDArray[np.float32]:
    """The string sum with the open strings ringing along at `db` (None: not at all)."""
    if db is None or not np.any(sound):
        return sound
    level = np.float32(10 ** (db / 20))
    return sound + level * convolve(sound, _open_strings(strings, tuning, capo))


@cache
def _open_strings(strings: Strings, tuning: Tuning, capo: int) -> NDArray[np.float32]:
    """Impulse response of the open strings; each answers its own fundamental with a gain of 1.

    A steady tone at f drives sin(2·pi·f·t)·exp(-d·t) to a gain of rate / (2·d) samples, d in
    nepers a second: the amplitude that it is divided by.
    """
    count = round(SECONDS * RATE)
    total = np.zeros(count, np.float32)
    gain = RATE / (2 * _LN_1000 / _T60)
    for string in range(1, len(tuning) + 1):
        hz = 440.0 * 2 ** ((tuning.midi(string, 0, capo) - 69) / 12)
        ratio = partial_ratios(_PARTIALS, strings.stiffness_high)
        amplitude = 1 / (gain * np.arange(1, _PARTIALS + 1))
        decay = _LN_1000 / (_T60 / np.sqrt(ratio) * hz)
        total += ring_steady(Partials(ratio, amplitude, decay), hz, count)
    tail = fade(0.2)
    total[-len(tail) :] *= tail
    return total
