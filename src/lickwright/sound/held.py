"""How is a sound that is made once cut to the length of every note that uses it?"""

from __future__ import annotations

from math import ceil, log2
from typing import TYPE_CHECKING

from lickwright.sound.guitar import RATE
from lickwright.sound.voice import fade

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_SHORTEST = 0.25  # seconds that are made at least


def made_seconds(seconds: float) -> float:
    """Seconds of sound to make for a note: a power of two, so that few lengths are needed."""
    return float(2 ** ceil(log2(max(seconds, _SHORTEST))))


def cut(sound: NDArray[np.float32], seconds: float, release: float) -> NDArray[np.float32]:
    """A copy that is let go after `seconds` and gone `release` seconds later."""
    end, tail = round(seconds * RATE), fade(release)
    short = sound[: end + len(tail)].copy()
    part = short[end:]
    part *= tail[: len(part)]
    return short
