"""What does each voice of the drum kit sound like?

A drum is a few damped modes of its head, whose pitch falls in the first moments, and noise in a
few bands, each with its own decay; a cymbal is many modes without order, and noise. Decays and
spectra were set by measurements of two sets of recorded drums.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from lickwright.band import Drum
from lickwright.sound.guitar import RATE
from lickwright.sound.noise import banded, seed_of, white
from lickwright.sound.string import Partials, ring, ring_steady

if TYPE_CHECKING:
    from numpy.typing import NDArray

VARIANTS = 3  # of each stroke, so that two in a row are never the same sound
_STEPS = 4  # of brightness from soft to hard
_LN_1000 = 6.907755  # nepers in 60 dB
_GRID_HZ = 1000.0
_END_SECONDS = 0.01  # a voice's own end, faded
_RISE = 28  # samples in which noise sets in


@dataclass(frozen=True, slots=True)
class Mode:
    """A damped sine. `share`: amplitude; `t60` in seconds."""

    hz: float
    share: float
    t60: float


@dataclass(frozen=True, slots=True)
class Band:
    """Noise between two edges (Hz). `share`: amplitude; `t60` in seconds.

    `bright`: dB by which a soft stroke has less of it than a hard one.
    """

    low: float
    high: float
    share: float
    t60: float
    bright: float = 6.0


@dataclass(frozen=True, slots=True)
class Shimmer:
    """Many modes without order, evenly in the logarithm from `low` to `high` Hz.

    `t60_low`, `t60_high`: seconds at the lowest and the highest; `tilt`: dB an octave upward.
    """

    count: int
    low: float
    high: float
    share: float
    t60_low: float
    t60_high: float
    tilt: float = 0.0


@dataclass(frozen=True, slots=True)
class DrumVoice:
    """One voice. `glide`: octaves by which its modes start too high; `fall`: seconds of it."""

    seconds: float
    level: float  # peak of a stroke of strength 1
    modes: tuple[Mode, ...] = ()
    bands: tuple[Band, ...] = ()
    shimmer: Shimmer | None = None
    glide: float = 0.0
    fall: float = 0.02
    pan: float = 0.0  # -1 left to 1 right, as the drummer's audience sees it


def _tom(hz: float, seconds: float, pan: float) -> DrumVoice:
    return DrumVoice(
        seconds,
        0.62,
        (
            Mode(hz, 1.0, seconds),
            Mode(1.59 * hz, 0.42, 0.6 * seconds),
            Mode(2.14 * hz, 0.26, 0.45 * seconds),
            Mode(2.9 * hz, 0.18, 0.3 * seconds),
        ),
        (Band(300, 1400, 0.45, 0.14), Band(2000, 6500, 0.42, 0.06, 12.0)),
        glide=0.22,
        fall=0.03,
        pan=pan,
    )


_CLOSED_HAT = DrumVoice(
    0.42,
    0.20,
    (),
    (
        Band(250, 900, 0.10, 0.20),
        Band(2500, 7000, 0.45, 0.27),
        Band(7500, 15000, 0.75, 0.28, 10.0),
    ),
    Shimmer(60, 900, 12000, 0.6, 0.22, 0.28, 2.0),
    pan=0.25,
)

VOICES: dict[Drum, DrumVoice] = {
    Drum.STICKS: DrumVoice(
        0.12,
        0.34,
        (Mode(2350, 0.8, 0.05), Mode(5280, 1.0, 0.05)),
        (Band(1500, 7000, 0.6, 0.05),),
    ),
    Drum.KICK: DrumVoice(
        0.45,
        0.95,
        (Mode(57, 0.8, 0.30), Mode(98, 0.55, 0.2), Mode(165, 0.3, 0.14)),
        (
            Band(60, 220, 0.4, 0.15),
            Band(400, 1600, 0.10, 0.06),
            Band(1800, 5200, 0.50, 0.035, 12.0),
        ),
        glide=1.0,
        fall=0.014,
    ),
    Drum.CROSS_STICK: DrumVoice(
        0.3,
        0.42,
        (
            Mode(1190, 0.8, 0.09),
            Mode(1730, 0.7, 0.08),
            Mode(415, 0.25, 0.12),
            Mode(2900, 0.6, 0.06),
        ),
        (Band(180, 420, 0.2, 0.15), Band(2000, 8000, 0.85, 0.16)),
        pan=-0.08,
    ),
    Drum.SNARE: DrumVoice(
        0.5,
        0.72,
        (Mode(192, 1.0, 0.26), Mode(228, 0.6, 0.2), Mode(337, 0.30, 0.16), Mode(505, 0.15, 0.1)),
        (
            Band(350, 1500, 0.80, 0.36, 4.0),
            Band(1500, 4500, 0.85, 0.36),
            Band(4000, 9000, 0.50, 0.30, 10.0),
        ),
        glide=0.25,
        fall=0.012,
        pan=-0.08,
    ),
    Drum.CLOSED_HAT: _CLOSED_HAT,
    Drum.PEDAL_HAT: replace(
        _CLOSED_HAT,
        seconds=0.3,
        level=0.13,
        modes=(Mode(255, 0.16, 0.14), Mode(410, 0.18, 0.12)),  # the foot on its board
    ),
    Drum.OPEN_HAT: replace(
        _CLOSED_HAT,
        seconds=2.2,
        level=0.2,
        bands=(
            Band(400, 1000, 0.10, 1.6),
            Band(2500, 7000, 0.5, 2.6),
            Band(7500, 14000, 0.5, 2.2, 10.0),
        ),
        shimmer=Shimmer(90, 450, 12000, 0.7, 3.0, 2.4, 0.0),
    ),
    Drum.RIDE: DrumVoice(
        2.6,
        0.22,
        (Mode(5100, 0.20, 0.25), Mode(3490, 0.25, 0.5)),
        (
            Band(3000, 9000, 0.30, 0.5),
            Band(7000, 14000, 0.30, 1.0, 10.0),
            Band(500, 2500, 0.06, 1.5),
        ),
        Shimmer(110, 480, 12500, 0.7, 3.2, 2.2, 2.2),
        pan=-0.3,
    ),
    Drum.RIDE_BELL: DrumVoice(
        2.6,
        0.22,
        (Mode(812, 0.5, 2.2), Mode(1630, 0.6, 2.4), Mode(2870, 1.0, 2.6), Mode(4210, 0.6, 1.8)),
        (Band(3000, 9000, 0.25, 0.4),),
        Shimmer(60, 400, 10000, 0.4, 3.0, 1.8),
        pan=-0.3,
    ),
    Drum.CRASH: DrumVoice(
        3.6,
        0.34,
        (),
        (
            Band(500, 2500, 0.2, 2.2),
            Band(2800, 7500, 1.3, 2.6),
            Band(6500, 13000, 0.5, 1.8, 10.0),
        ),
        Shimmer(120, 420, 9500, 0.8, 5.0, 3.6, 2.0),
        pan=-0.4,
    ),
    Drum.HIGH_TOM: _tom(124, 0.95, 0.2),
    Drum.MIDDLE_TOM: _tom(103, 1.1, -0.15),
    Drum.LOW_TOM: _tom(79, 1.4, -0.45),
}


def stroke(drum: Drum, strength: float, variant: int) -> NDArray[np.float32]:
    """One stroke, mono. `strength` 0 to 1, `variant` any number."""
    step = min(_STEPS - 1, int(strength * _STEPS))
    return np.float32(strength**1.5) * _voice(drum, step, variant % VARIANTS)


@cache
def _voice(drum: Drum, step: int, variant: int) -> NDArray[np.float32]:
    """A stroke whose modes are those of every stroke and whose noise is its own."""
    voice, hard = VOICES[drum], step / (_STEPS - 1)
    sound = _modes_of(drum).copy()
    for index, band in enumerate(voice.bands):
        noise = _noise(drum, index, variant)
        share = band.share * 10 ** (-band.bright * (1 - hard) / 20)
        sound[: len(noise)] += np.float32(share) * noise
    end = round(_END_SECONDS * RATE)
    sound[-end:] *= np.linspace(1, 0, end, dtype=np.float32)
    return np.asarray(sound * (voice.level / float(np.max(np.abs(sound)))), np.float32)


@cache
def _modes_of(drum: Drum) -> NDArray[np.float32]:
    voice = VOICES[drum]
    count = round(voice.seconds * RATE)
    sound = np.zeros(count, np.float32)
    if voice.modes:
        sound += _modes(voice, count)
    if voice.shimmer is not None:
        sound += _shimmer(voice.shimmer, count, seed_of(drum.name, "modes"))
    return sound


def _modes(voice: DrumVoice, count: int) -> NDArray[np.float32]:
    """The head's modes, all gliding down together."""
    hz = np.array([mode.hz for mode in voice.modes])
    t60 = np.array([mode.t60 for mode in voice.modes])
    share = np.array([mode.share for mode in voice.modes])
    lowest = float(hz.min())
    partials = Partials(hz / lowest, share, _LN_1000 / (t60 * lowest))
    seconds = np.arange(count) / RATE
    return ring(partials, lowest * np.exp2(voice.glide * np.exp(-seconds / voice.fall)))


def _shimmer(shimmer: Shimmer, count: int, seed: int) -> NDArray[np.float32]:
    """Modes at drawn places, of drawn sizes and signs."""
    dice = white(3 * shimmer.count, seed).reshape(3, shimmer.count).astype(np.float64)
    way = (np.arange(shimmer.count) + 0.5 + 0.45 * dice[0]) / shimmer.count
    hz = shimmer.low * (shimmer.high / shimmer.low) ** way
    t60 = shimmer.t60_low * (shimmer.t60_high / shimmer.t60_low) ** way
    size = 10 ** (shimmer.tilt * np.log2(hz / shimmer.low) / 20) * (0.3 + np.abs(dice[1]))
    size *= np.sign(dice[2])
    size *= 0.35 * shimmer.share / float(np.sqrt(np.sum(size**2) / 2))
    partials = Partials(hz / _GRID_HZ, size, _LN_1000 / (t60 * _GRID_HZ))
    return ring_steady(partials, _GRID_HZ, count)


@cache
def _noise(drum: Drum, index: int, variant: int) -> NDArray[np.float32]:
    """One band of noise with its decay, peak about 1; no longer than it can be heard."""
    voice, band = VOICES[drum], VOICES[drum].bands[index]
    count = round(min(voice.seconds, 1.2 * band.t60) * RATE)
    sound = banded(count, band.low, band.high, seed_of(drum.name, f"band{index}.{variant}"))
    at = np.arange(count, dtype=np.float32)
    sound *= np.exp(at * np.float32(-_LN_1000 / (band.t60 * RATE)))
    sound[:_RISE] *= at[:_RISE] / _RISE
    return sound
