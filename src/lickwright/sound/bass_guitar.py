"""What does the bass guitar sound like: a long string, a fingertip, a dark loudspeaker?"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from lickwright.sound.guitar import RATE
from lickwright.sound.held import cut, made_samples, made_seconds
from lickwright.sound.noise import banded, seed_of
from lickwright.sound.string import Partials, partial_ratios, ring_steady

if TYPE_CHECKING:
    from numpy.typing import NDArray

# Chosen by spectra and decays of recorded bass guitars, no source.
_PLUCK, _PICKUP = 0.21, 0.13  # shares of the speaking length, from the bridge
_STIFFNESS = 1.4e-4  # inharmonicity B at E1 (MIDI 28), halved an octave higher
_SUSTAIN, _LOSS = 8.0, 0.55  # seconds at E1; 1 / (s kHz)
_REACH = 900.0  # Hz up to which a hard pluck excites the string
_HIGHEST = 4200.0  # Hz
_RELEASE = 0.045  # seconds: the hand comes down
_LEVEL = 0.30  # effective value of a pluck of strength 1
_STEPS = 3
_LN_1000 = 6.907755


def bass_note(midi: int, seconds: float, strength: float) -> NDArray[np.float32]:
    """One plucked note, mono, held for `seconds`."""
    step = min(_STEPS - 1, int(strength * _STEPS))
    return np.float32(strength) * cut(_string(midi, made_seconds(seconds), step), seconds, _RELEASE)


@cache
def _string(midi: int, seconds: float, step: int) -> NDArray[np.float32]:
    hz, count = 440.0 * 2 ** ((midi - 69) / 12), made_samples(seconds, _RELEASE)
    sound = ring_steady(_partials(hz, (step + 1) / _STEPS), hz, count)
    attack = round(0.004 * RATE)
    sound[:attack] *= (0.5 - 0.5 * np.cos(np.pi * np.arange(attack) / attack)).astype(np.float32)
    finger = banded(round(0.012 * RATE), 300.0, 1800.0, seed_of("bass", str(midi)))
    sound[: len(finger)] += np.float32(0.05) * finger * np.hanning(len(finger))
    return sound


def _partials(hz: float, hard: float) -> Partials:
    """Partials as the pickup hears them, through a dark loudspeaker.

    Source of the amplitudes: the ideal plucked string, sin(k·pi·p) / k, at the pickup
    sin(k·pi·q) of it (any acoustics handbook).
    """
    ratio = partial_ratios(max(2, int(_HIGHEST / hz)), _STIFFNESS * 41.2 / hz)
    k, at = np.arange(1, len(ratio) + 1), ratio * hz
    amplitude = np.sin(np.pi * k * _PLUCK) * np.sin(np.pi * k * _PICKUP) / k
    amplitude /= 1 + (at / (_REACH * (0.4 + 0.6 * hard))) ** 2
    amplitude *= (at / 70) / np.sqrt(1 + (at / 70) ** 2)  # what the loudspeaker cannot move
    size = float(np.sqrt(np.sum(amplitude**2) / 2))
    t60 = 1 / ((hz / 41.2) ** 0.3 / _SUSTAIN + _LOSS * at / 1000)
    return Partials(ratio, amplitude * (_LEVEL / size), _LN_1000 / (t60 * hz))
