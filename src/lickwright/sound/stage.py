"""Where does each player stand, how loud, and in which room do they play together?"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin, sqrt
from typing import TYPE_CHECKING

import numpy as np

from lickwright.band import Keyboard, Player
from lickwright.sound.amp import amplify
from lickwright.sound.guitar import Room
from lickwright.sound.keyboard import rotating, swaying
from lickwright.sound.line import Line
from lickwright.sound.rhythm import RHYTHM_AMP
from lickwright.sound.room import room_answer

if TYPE_CHECKING:
    from numpy.typing import NDArray

BAND_ROOM = Room(level_db=0.0, seconds=0.45, predelay=0.012)
AHEAD = 512  # samples that the amplifier looks ahead
HISTORY = 24_576  # samples that the room and the amplifier look back, more than they answer

_PRESSED = 1.25  # how far the drums' peaks are rounded off together


@dataclass(frozen=True, slots=True)
class Spot:
    """A player's place on the stage. Levels in dB, `pan` from -1 (left) to 1."""

    level_db: float
    room_db: float  # of what the room answers, against the player
    pan: float = 0.0


SPOTS = {
    Player.DRUMS: Spot(4.0, -17.0),
    Player.BASS: Spot(-6.0, -30.0),
    Player.KEYS: Spot(-6.5, -18.0, -0.35),
    Player.GUITAR: Spot(-4.0, -18.0, 0.4),
    Player.COUNT: Spot(0.0, -22.0),
}


def panned(sound: NDArray[np.float32], pan: float) -> NDArray[np.float32]:
    """A mono sound between two loudspeakers with equal power, shape (2, samples)."""
    left, right = _sides(pan)
    return sound * np.array([[left], [right]], np.float32)


def _sides(pan: float) -> tuple[float, float]:
    """Gains left and right; both 1 in the middle."""
    angle = (pan + 1) * pi / 4
    return sqrt(2) * cos(angle), sqrt(2) * sin(angle)


class Stage:
    """Lines of all players, and what two loudspeakers give of them, piece by piece.

    The drums have two lines, left and right; everyone else has one.
    """

    def __init__(self, keyboard: Keyboard) -> None:
        self._keyboard = keyboard
        self._drums = (Line(HISTORY), Line(HISTORY))
        self._lines = {player: Line(HISTORY) for player in SPOTS if player is not Player.DRUMS}
        self._taken = 0

    def add(self, player: Player, at: int, sound: NDArray[np.float32], pan: float = 0.0) -> None:
        """Add a stroke or note of a player at sample `at`; `pan` is for the drums."""
        if player is not Player.DRUMS:
            self._lines[player].add(at, sound)
        elif pan == 0.0:
            for line in self._drums:
                line.add(at, sound)
        else:
            for line, side in zip(self._drums, panned(sound, pan), strict=True):
                line.add(at, side)

    def take(self, last: int) -> NDArray[np.float32]:
        """The mix from where the last piece ended up to sample `last`, shape (samples, 2)."""
        first, self._taken = self._taken, last
        sounds, gains = self._channels(first, last)
        mixed = gains @ np.stack(sounds)
        answer = room_answer(mixed[2], BAND_ROOM)
        piece = np.empty((last - first, 2), np.float32)
        own = slice(HISTORY, HISTORY + last - first)
        for side in (0, 1):  # apart, as NumPy is slow along an axis of two
            np.add(mixed[side, own], answer[own, side], out=piece[:, side])
        return piece

    def _channels(
        self, first: int, last: int
    ) -> tuple[list[NDArray[np.float32]], NDArray[np.float32]]:
        """Mono sounds, and what left, right and room get of each, shape (3, sounds)."""
        sounds = [np.tanh(_PRESSED * line.take(first, last, AHEAD)) for line in self._drums]
        drums = SPOTS[Player.DRUMS]
        gains = [_gains(drums, sides) for sides in ((1 / _PRESSED, 0.0), (0.0, 1 / _PRESSED))]
        for player, line in self._lines.items():
            sound, spot = line.take(first, last, AHEAD), SPOTS[player]
            if not sound.any():
                continue
            left, right = _sides(spot.pan)
            if player is Player.KEYS:
                moving = rotating if self._keyboard is Keyboard.ORGAN else swaying
                sounds.extend(moving(sound, first - HISTORY))
                gains += [_gains(spot, (left, 0.0)), _gains(spot, (0.0, right))]
            else:
                sounds.append(amplify(sound, RHYTHM_AMP) if player is Player.GUITAR else sound)
                gains.append(_gains(spot, (left, right)))
        return sounds, np.array(gains, np.float32).T


def _gains(spot: Spot, sides: tuple[float, float]) -> tuple[float, float, float]:
    """What left, right and the room get of a sound that is heard with `sides` at a spot."""
    level, room = 10 ** (spot.level_db / 20), 10 ** (spot.room_db / 20)
    left, right = sides
    return level * left, level * right, 0.5 * level * room * (left + right)
