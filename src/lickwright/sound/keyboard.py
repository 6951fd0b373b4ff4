"""What do organ and electric piano sound like?"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from lickwright.sound.guitar import RATE
from lickwright.sound.held import cut, made_samples, made_seconds
from lickwright.sound.noise import banded, seed_of
from lickwright.sound.string import Partials, ring_steady

if TYPE_CHECKING:
    from numpy.typing import NDArray

_LN_1000 = 6.907755
_ORGAN_LEVEL, _PIANO_LEVEL = 0.085, 0.12  # effective value of a key at strength 1
_ORGAN_RELEASE, _PIANO_RELEASE = 0.03, 0.14  # seconds
_STEPS = 4
_BLOCK = 1024  # samples

# An organ's drawbars: pipe length in feet over 8 feet gives the ratio; levels are our own.
_DRAWBARS = (
    (0.5, 0.55),
    (1.0, 1.0),
    (1.5, 0.35),
    (2.0, 0.55),
    (3.0, 0.28),
    (4.0, 0.30),
    (6.0, 0.1),
)
# A struck tine before its pickup: harmonics of the pickup's curve, then the tine's own high modes.
_TINE = ((1.0, 1.0), (2.0, 0.5), (3.0, 0.22), (4.0, 0.12), (5.0, 0.06))
_BELL = ((6.27, 0.10), (17.55, 0.03))  # clamped bar: second and third mode over the first

_ROTOR_HZ = 0.85  # turns a second of the organ's slow loudspeaker
_ROTOR_DEPTH, _ROTOR_DELAY = 0.22, 0.0003  # share of the level; seconds between near and far
_TREMOLO_HZ, _TREMOLO_DEPTH = 4.6, 0.16  # of the piano, from side to side


def organ_note(midi: int, seconds: float, strength: float) -> NDArray[np.float32]:
    """One organ key, mono, held for `seconds`; the strength is the swell pedal's."""
    sound = _pipes(midi, made_seconds(seconds))
    return np.float32(0.4 + 0.6 * strength) * cut(sound, seconds, _ORGAN_RELEASE)


def piano_note(midi: int, seconds: float, strength: float) -> NDArray[np.float32]:
    """One key of an electric piano, mono, held for `seconds`."""
    step = min(_STEPS - 1, int(strength * _STEPS))
    sound = _tine(midi, made_seconds(seconds), step)
    return np.float32(strength) * cut(sound, seconds, _PIANO_RELEASE)


@cache
def _pipes(midi: int, seconds: float) -> NDArray[np.float32]:
    hz, count = 440.0 * 2 ** ((midi - 69) / 12), made_samples(seconds, _ORGAN_RELEASE)
    ratio, level = (np.array(column) for column in zip(*_DRAWBARS, strict=True))
    level = level / np.sqrt(1 + (ratio * hz / 2600) ** 2)
    level *= _ORGAN_LEVEL / float(np.sqrt(np.sum(level**2) / 2))
    sound = ring_steady(Partials(ratio, level, np.zeros(len(ratio))), hz, count)
    rise = round(0.006 * RATE)
    sound[:rise] *= np.linspace(0, 1, rise, dtype=np.float32)
    contact = banded(round(0.006 * RATE), 800.0, 3500.0, seed_of("key", str(midi)))
    sound[: len(contact)] += np.float32(0.012) * contact * np.hanning(len(contact))
    return sound


@cache
def _tine(midi: int, seconds: float, step: int) -> NDArray[np.float32]:
    """A harder stroke comes nearer to the pickup: more of its curve, more of the bell."""
    hz, hard = 440.0 * 2 ** ((midi - 69) / 12), (step + 1) / _STEPS
    count = made_samples(seconds, _PIANO_RELEASE)
    modes = [(r, a * hard ** (r - 1), 7.0 / r**0.6) for r, a in _TINE]
    modes += [(r, a * hard, 0.5 / r**0.3) for r, a in _BELL if r * hz < 9000]
    ratio, level, t60 = (np.array(column) for column in zip(*modes, strict=True))
    t60 = t60 * (262 / hz) ** 0.5
    level = level * (_PIANO_LEVEL / float(np.sqrt(np.sum(level**2) / 2)))
    sound = ring_steady(Partials(ratio, level, _LN_1000 / (t60 * hz)), hz, count)
    attack = round(0.002 * RATE)
    sound[:attack] *= np.linspace(0, 1, attack, dtype=np.float32)
    thump = banded(round(0.015 * RATE), 150.0, 700.0, seed_of("tine", str(midi)))
    sound[: len(thump)] += np.float32(0.018 * hard) * thump * np.hanning(len(thump))
    return sound


def rotating(sound: NDArray[np.float32], first: int) -> NDArray[np.float32]:
    """The organ's slowly turning loudspeaker, shape (2, samples).

    `first`: number of the first sample since the beginning, so that pieces fit together. Each side
    hears it come nearer and go away a quarter turn apart: louder and softer, sooner and later.
    """
    late = round(_ROTOR_DELAY * RATE)
    behind = -sound
    behind[late:] += sound[:-late]
    away = _turns(_ROTOR_HZ, len(sound), first, (0.0, 0.25))
    away *= -0.5
    away += 0.5
    sides = away * behind
    sides += sound
    away *= -_ROTOR_DEPTH
    away += 1.0
    sides *= away
    return sides


def swaying(sound: NDArray[np.float32], first: int) -> NDArray[np.float32]:
    """The piano's tremolo from side to side, shape (2, samples); `first` as in `rotating`."""
    sway = np.float32(_TREMOLO_DEPTH) * _turns(_TREMOLO_HZ, len(sound), first, (0.5, 0.0))
    sway += 1.0
    sway *= sound
    sway *= 0.9
    return sway


def _turns(hz: float, count: int, first: int, phases: tuple[float, ...]) -> NDArray[np.float32]:
    """Slow sines from sample number `first` on, shape (phases, count); phases in turns.

    sin(a + b) = sin a·cos b + cos a·sin b, a at the beginning of each block: one matrix product.
    """
    blocks = np.arange(first, first + count, _BLOCK)
    begins = 2 * np.pi * (hz * blocks / RATE + np.array(phases)[:, np.newaxis])
    inside = 2 * np.pi * hz / RATE * np.arange(_BLOCK)
    left = np.stack((np.sin(begins), np.cos(begins)), axis=-1).astype(np.float32)
    right = np.stack((np.cos(inside), np.sin(inside))).astype(np.float32)
    return (left @ right).reshape(len(phases), -1)[:, :count]
