"""What does the room add around the loudspeaker?"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from lickwright.sound.filters import convolve
from lickwright.sound.guitar import RATE, Room
from lickwright.sound.noise import white

if TYPE_CHECKING:
    from numpy.typing import NDArray

_DARK_HZ = 3200.0  # the walls swallow what is above
_THIN_HZ = 180.0  # and a small room answers little below
_SEEDS = (101, 202)  # left, right
# First answers of walls and floor: milliseconds after the predelay and level, left and right.
_WALLS = (((0.0, 0.8), (6.1, -0.5), (13.7, 0.4)), ((2.3, 0.7), (8.4, 0.5), (11.9, -0.4)))


def in_room(sound: NDArray[np.float32], room: Room) -> NDArray[np.float32]:
    """A mono sound in the room, shape (samples, 2): itself in the middle, the answer around it."""
    return convolve(sound, room_answers(room)).T + sound[:, np.newaxis]


@cache
def room_answers(room: Room) -> NDArray[np.float32]:
    """Impulse responses left and right at the room's level, shape (2, taps)."""
    level = np.float32(10 ** (room.level_db / 20))
    return level * np.stack([_answer(room, side) for side in (0, 1)])


def _answer(room: Room, side: int) -> NDArray[np.float32]:
    """Impulse response of one side, energy 1."""
    count = round(room.seconds * RATE)
    seconds = np.arange(count) / RATE
    tail = white(count, _SEEDS[side]).astype(np.float64) * np.exp(
        -6.907755 / room.seconds * seconds
    )
    tail *= np.minimum(1.0, seconds / 0.02) * 0.25
    for milliseconds, level in _WALLS[side]:
        tail[round(milliseconds * RATE / 1000)] += level * 3.0
    dark = _coloured(tail)
    before = np.zeros(round(room.predelay * RATE))
    answer = np.concatenate((before, dark))
    return np.asarray(answer / np.sqrt(np.sum(answer**2)), np.float32)


def _coloured(tail: NDArray[np.float64]) -> NDArray[np.float64]:
    size = 2 * len(tail)
    hz = np.fft.rfftfreq(size, 1 / RATE) + 1e-9
    gain = 1 / (np.sqrt(1 + (hz / _DARK_HZ) ** 2) * np.sqrt(1 + (_THIN_HZ / hz) ** 4))
    coloured = np.fft.irfft(np.fft.rfft(tail, size) * gain, size)[: len(tail)]
    end = len(tail) // 8
    coloured[-end:] *= np.linspace(1, 0, end)
    return coloured
