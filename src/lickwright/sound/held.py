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
_STEPS = 4  # lengths that are made between one and its double


def made_seconds(seconds: float) -> float:
    """Seconds of a note for which sound is made: one of few, so that many notes can share it."""
    return float(2 ** (ceil(_STEPS * log2(max(seconds, _SHORTEST))) / _STEPS))


def made_samples(seconds: float, release: float) -> int:
    """Samples to make for a note of `made_seconds`, and for its release."""
    return ceil(seconds * RATE) + len(fade(release))


def cut(sound: NDArray[np.float32], seconds: float, release: float) -> NDArray[np.float32]:
    """A copy that is let go after `seconds` and gone `release` seconds later."""
    end, tail = round(seconds * RATE), fade(release)
    short = sound[: end + len(tail)].copy()
    part = short[end:]
    part *= tail[: len(part)]
    return short
