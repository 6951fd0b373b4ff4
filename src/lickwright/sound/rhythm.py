"""What does a string of the rhythm guitar sound like, and when in a strum is it reached?"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from lickwright.phrase import STANDARD, Note
from lickwright.sound.guitar import Amp, Strings
from lickwright.sound.held import cut, made_samples, made_seconds
from lickwright.sound.layers import Layer, Touch
from lickwright.sound.voice import play

if TYPE_CHECKING:
    from numpy.typing import NDArray

STRUM_SECONDS = 0.0055  # from one string to the next
RELEASE = 0.035  # seconds: the fingers lift and damp
_STEPS = 4
_VARIANTS = 3

# Between bridge and neck, picked softly: leaves room for the lead.
RHYTHM_STRINGS = Strings(pick_place=0.14, pickup_place=0.08, reach=6000.0)
# Its curve is so nearly straight, and the strings end so low, that half the sample rate is enough
# (measured against twice the rate: -132 dB of the sound itself).
RHYTHM_AMP = Amp(
    drive=0.5,
    bias=0.1,
    curve_rate=0.5,
    low_cut=160.0,
    resonance=3200.0,
    resonance_q=2.4,
    level=0.55,
)


def rhythm_note(
    string: int, midi: int, seconds: float, strength: float, variant: int
) -> NDArray[np.float32]:
    """One string of a strum before the amplifier, held for `seconds`."""
    step = min(_STEPS - 1, int(strength * _STEPS))
    sound = _string(string, midi, made_seconds(seconds), step, variant % _VARIANTS)
    return np.float32(strength * _STEPS / (step + 1)) * cut(sound, seconds, RELEASE)


@cache
def _string(string: int, midi: int, seconds: float, step: int, variant: int) -> NDArray[np.float32]:
    fret = midi - STANDARD.midi(string, 0)
    zero = Fraction(0)
    note = Note(f"rhythm/{string}/{fret}/{variant}", string, fret, zero, Fraction(1))
    layer = Layer(note, Touch.PICK, 0.0, seconds, (step + 1) / _STEPS * 0.8, fret)
    count = made_samples(seconds, RELEASE)
    return play(layer, np.full(count, float(midi)), RHYTHM_STRINGS, STANDARD, 0)
