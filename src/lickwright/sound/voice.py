"""What does one stroke sound like: which partials, how loud, how long, with which noise?"""

from __future__ import annotations

from functools import lru_cache
from math import ceil, pi
from typing import TYPE_CHECKING

import numpy as np

from lickwright.phrase import Mark, Note, Tuning, harmonic_number
from lickwright.sound.guitar import RATE, Strings
from lickwright.sound.layers import Layer, Touch
from lickwright.sound.noise import knock, pick_burst, seed_of, thud, wobble
from lickwright.sound.string import Partials, partial_ratios, ring, ring_steady

if TYPE_CHECKING:
    from numpy.typing import NDArray

HIGHEST_HZ = 9000.0  # no partial above: the cabinet would remove it
LEVEL = 0.22  # effective value of a stroke of strength 1 at its beginning
ATTACK_SECONDS = 0.0015
CHANGE_SECONDS = 0.008  # the old layer fades while the new one sounds
_LN_1000 = 6.907755  # nepers in 60 dB
_BEAT_SHARE, _BEAT_CENTS = 0.25, 0.6  # the string's second plane of vibration
_DEAD_FRET = 5  # a muted string is touched about here

# Where a stroke falls (share of the speaking length; None: the pick's place) and how far up it
# excites the string, as a share of the pick's reach. Chosen by spectra, no source.
_PLACE = {
    Touch.PICK: (None, 1.0),
    Touch.FINGER: (None, 0.55),
    Touch.HAMMER: (0.22, 0.4),
    Touch.PULL: (0.12, 0.5),
    Touch.TAP: (0.18, 0.47),
}


def play(
    layer: Layer, midi: NDArray[np.float64], strings: Strings, tuning: Tuning, capo: int
) -> NDArray[np.float32]:
    """Sound of one pitched layer; `midi`: its pitch (MIDI number) at each sample."""
    steady = bool(np.all(midi == midi[0]))
    hz = 440.0 * np.exp2((midi[:1] if steady else midi) / 12 - 69 / 12)
    partials = stroke_partials(layer, hz, strings, tuning, capo)
    sound = ring_steady(partials, float(hz[0]), len(midi)) if steady else ring(partials, hz)
    attack = round(ATTACK_SECONDS * RATE)
    sound[:attack] *= (0.5 - 0.5 * np.cos(np.pi * np.arange(attack) / attack))[: len(sound)]
    if layer.touch is Touch.PICK:
        burst = pick_burst(layer.note.id, layer.strength)[: len(sound)]
        peak = float(np.max(np.abs(sound[: RATE // 20]), initial=0.0))
        sound[: len(burst)] += burst * np.float32(peak * 10 ** (strings.pick_noise_db / 20))
        if strings.knock_db is not None:
            low = knock(layer.note.id)[: len(sound)]
            sound[: len(low)] += low * np.float32(peak * 10 ** (strings.knock_db / 20))
    return sound


def play_dead(layer: Layer, strings: Strings, tuning: Tuning, capo: int) -> NDArray[np.float32]:
    """A muted string: a thump near its pitch, gone at once, and a rattle."""
    open_midi = tuning.midi(layer.note.string, 0, capo)
    hz = np.array([440.0 * 2 ** ((open_midi + _DEAD_FRET - 69) / 12)])
    partials = stroke_partials(layer, hz, strings, tuning, capo)
    sound = np.float32(1.1) * ring_steady(partials, hz[0], round(0.16 * RATE))
    rattle = thud(layer.note.id) * np.float32(1.5 * LEVEL * layer.strength)
    sound[: len(rattle)] += rattle
    attack = round(ATTACK_SECONDS * RATE)
    sound[:attack] *= np.linspace(0, 1, attack, dtype=np.float32)
    return sound


def stroke_partials(
    layer: Layer, hz: NDArray[np.float64], strings: Strings, tuning: Tuning, capo: int
) -> Partials:
    """Partials of a stroke on a string that will sound at `hz` (Hz, one after the other)."""
    note, first = layer.note, float(hz[0])
    count = max(1, int(HIGHEST_HZ / float(np.max(hz))))
    jump = (harmonic_number(note.fret) or 1) if note.harmonic else 1
    stopped = 0 if note.harmonic else (_DEAD_FRET if note.dead else layer.fret) + capo
    share = 2.0 ** (-stopped / 12)  # of the scale that speaks
    open_midi = tuning.midi(note.string, 0)
    stiffness = _stiffness(strings, open_midi) / share**2
    ratio = partial_ratios(count, stiffness * jump * jump)
    amplitude = _amplitudes(layer, ratio * first, jump, share, strings)
    decay = _LN_1000 / (_t60(note, open_midi, ratio * first, strings) * first)
    return _second_plane(Partials(ratio, amplitude, decay), first)


def _stiffness(strings: Strings, open_midi: int) -> float:
    """Inharmonicity B of the open string: even steps in its logarithm from E2 to E4."""
    way = (open_midi - 40) / 24
    return float(strings.stiffness_low * (strings.stiffness_high / strings.stiffness_low) ** way)


def _amplitudes(
    layer: Layer, hz: NDArray[np.float64], jump: int, share: float, strings: Strings
) -> NDArray[np.float64]:
    """Amplitudes as the pickup hears them.

    A plucked string moves with speed sin(k·pi·p) / k in partial k; a pickup at q hears sin(k·pi·q)
    of it, and the force on the bridge is as the speed. Source: the ideal plucked string (any
    acoustics handbook).
    """
    place, part = _PLACE[layer.touch]
    reach = part * strings.reach * (0.35 + 0.65 * layer.strength)
    if place is None:
        place = min(0.5, strings.pick_place / share)
        place += 0.012 * wobble(seed_of(layer.note.id, "place"))
    if Mark.PALM_MUTE in layer.note.marks:
        reach *= 0.45
    k = jump * np.arange(1, len(hz) + 1)
    amplitude = np.sin(np.pi * k * place) / k
    if strings.pickup_place is not None:
        amplitude = amplitude * np.sin(np.pi * k * strings.pickup_place / share)
    amplitude /= 1 + (hz / reach) ** 2
    size = float(np.sqrt(np.sum(amplitude**2) / 2))
    strength = layer.strength * 10 ** (0.03 * wobble(seed_of(layer.note.id, "strength")))
    return np.asarray(amplitude * (LEVEL * strength / max(size, 1e-9)), np.float64)


def _t60(
    note: Note, open_midi: int, hz: NDArray[np.float64], strings: Strings
) -> NDArray[np.float64]:
    """Seconds in which each partial falls by 60 dB."""
    khz = hz / 1000
    more = strings.wound_loss ** ((64 - open_midi) / 24)
    rate = more * khz * (strings.loss + strings.air_loss * khz)
    rate = rate + (hz[0] / 110) ** 0.35 / strings.sustain
    if note.dead:
        rate = rate + 9.0 + 14.0 * khz
    elif Mark.PALM_MUTE in note.marks:
        rate = rate + 2.2 + 2.4 * khz
    return np.asarray(1 / rate, np.float64)


def _second_plane(plain: Partials, first: float) -> Partials:
    """Add the string's second plane: a little softer, slower and sharper, so that it beats."""
    some = max(1, min(len(plain.ratio), ceil(2500.0 / first)))
    sharp = 2 ** (_BEAT_CENTS / 1200)
    return Partials(
        np.concatenate((plain.ratio, plain.ratio[:some] * sharp)),
        np.concatenate((plain.amplitude, plain.amplitude[:some] * _BEAT_SHARE)),
        np.concatenate((plain.decay, plain.decay[:some] * 0.7)),
    )


@lru_cache(64)
def fade(seconds: float) -> NDArray[np.float32]:
    """A smooth fall from 1 to 0 over `seconds`; not to be written to."""
    count = max(2, round(seconds * RATE))
    fall = (0.5 + 0.5 * np.cos(pi * np.arange(count) / (count - 1))).astype(np.float32)
    fall.flags.writeable = False
    return fall
