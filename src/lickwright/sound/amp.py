"""What do amplifier and loudspeaker make of the strings?"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from lickwright.sound.filters import drawn
from lickwright.sound.guitar import RATE, Amp

if TYPE_CHECKING:
    from numpy.typing import NDArray

_SIZE = 16_384  # samples a block, of which the guards are thrown away
_GUARD, _AFTER = 2048, 256
_TAPS = 1024
_SILENCE = 1e-6

# A twelve-inch guitar loudspeaker in a cabinet, as Hz and dB: -10 dB at 5.6 kHz, -36 at 9.
_CABINET = (
    (20.0, -30.0),
    (60.0, -9.0),
    (95.0, 0.0),
    (130.0, 2.0),
    (220.0, 0.5),
    (420.0, -2.5),
    (800.0, -1.5),
    (1500.0, 1.0),
    (2600.0, 4.0),
    (3600.0, 3.0),
    (4600.0, -3.0),
    (5600.0, -10.0),
    (7000.0, -22.0),
    (9000.0, -36.0),
    (14000.0, -60.0),
    (24000.0, -90.0),
)


def amplify(strings: NDArray[np.float32], amp: Amp) -> NDArray[np.float32]:
    """The string sum through pickup, curve and cabinet; same shape, mono."""
    hop = _SIZE - _GUARD - _AFTER
    padded = np.concatenate((np.zeros(_GUARD, np.float32), strings, np.zeros(_SIZE, np.float32)))
    out = np.zeros(len(strings) + hop, np.float32)
    for at in range(0, len(strings), hop):
        block = padded[at : at + _SIZE]
        if np.max(np.abs(block)) > _SILENCE:
            out[at : at + hop] = _block(block, amp)[_GUARD : _GUARD + hop]
    return out[: len(strings)]


def _block(block: NDArray[np.float32], amp: Amp) -> NDArray[np.float32]:
    """One block, valid between its guards: filtered, bent at another rate, filtered again."""
    rate = np.float32(amp.curve_rate)
    filtered = np.fft.irfft(np.fft.rfft(block) * _pickup(amp), round(_SIZE * rate))
    resampled = np.asarray(filtered, np.float32) * rate
    bent = np.fft.rfft(curve(resampled, amp))[: _SIZE // 2 + 1]
    bent *= _cabinet()[: len(bent)] * np.float32(amp.level / amp.curve_rate)
    return np.asarray(np.fft.irfft(bent, _SIZE), np.float32)


def curve(sound: NDArray[np.float32], amp: Amp) -> NDArray[np.float32]:
    """The stage's curve, tanh with a shifted middle; slope 1 and height 0 at rest."""
    bias = np.float32(amp.bias)
    rest = np.tanh(bias)
    bent = np.tanh(sound * np.float32(amp.drive) + bias) - rest
    return np.asarray(bent / np.float32(amp.drive * (1 - rest * rest)), np.float32)


@cache
def _pickup(amp: Amp) -> NDArray[np.complex64]:
    """Response of the pickup with its cable, and of the coupling capacitor, at a block's bins."""
    s = 1j * np.fft.rfftfreq(_SIZE, 1 / RATE)
    low_cut = s / (s + amp.low_cut)
    w = s / amp.resonance
    return np.asarray(low_cut / (1 + w / amp.resonance_q + w * w), np.complex64)


@cache
def _cabinet() -> NDArray[np.complex64]:
    return np.asarray(np.fft.rfft(drawn(_CABINET, _TAPS), _SIZE), np.complex64)
