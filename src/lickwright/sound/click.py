"""What counts the pupil in?"""

from __future__ import annotations

from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from lickwright.phrase import Phrase
from lickwright.sound.guitar import RATE

if TYPE_CHECKING:
    from numpy.typing import NDArray

SECONDS = 0.06
_HZ, _ACCENT_HZ = 1050.0, 1570.0
_LEVEL, _ACCENT_LEVEL = 0.20, 0.30


def count_in_beats(phrase: Phrase) -> tuple[Fraction, ...]:
    """Beats to be clicked: a full bar, then the beats of a pickup's bar before it sets in."""
    return tuple(Fraction(beat) for beat in range(-phrase.meter.beats, ceil(phrase.start)))


def click(accent: bool) -> NDArray[np.float32]:
    """One click, mono: a short knock of wood, higher and louder on 1."""
    count = round(SECONDS * RATE)
    seconds = np.arange(count) / RATE
    hz, level = (_ACCENT_HZ, _ACCENT_LEVEL) if accent else (_HZ, _LEVEL)
    tone = np.sin(2 * np.pi * hz * seconds) * np.exp(-seconds / 0.009)
    tone += 0.4 * np.sin(2 * np.pi * 2.76 * hz * seconds) * np.exp(-seconds / 0.004)
    tone *= np.minimum(1.0, seconds / 0.0005) * np.linspace(1, 0, count)
    return (level * tone).astype(np.float32)


def is_accented(beat: Fraction, phrase: Phrase) -> bool:
    """True on the 1 of a bar."""
    return beat % phrase.meter.beats == 0
