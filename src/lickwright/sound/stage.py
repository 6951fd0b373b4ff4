"""Where does each player stand, how loud, and in which room do they play together?"""

from __future__ import annotations

from dataclasses import dataclass
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
HISTORY = 32_768  # samples that the room and the amplifier look back, more than they answer

_PRESSED = np.float32(1.25)  # how far the drums' peaks are rounded off together


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
    return sound * _sides(pan)


def _sides(pan: float) -> NDArray[np.float32]:
    """Gains left and right, shape (2, 1); both 1 in the middle."""
    angle = (pan + 1) * np.pi / 4
    return np.array([[np.cos(angle)], [np.sin(angle)]], np.float32) * np.float32(np.sqrt(2))


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
            return
        for line, side in zip(self._drums, panned(sound, pan), strict=True):
            line.add(at, side)

    def take(self, last: int) -> NDArray[np.float32]:
        """The mix from where the last piece ended up to sample `last`, shape (samples, 2)."""
        first, self._taken = self._taken, last
        drums = np.stack([line.take(first, last, AHEAD) for line in self._drums])
        dry, send = _at(np.tanh(_PRESSED * drums) / _PRESSED, SPOTS[Player.DRUMS])
        for player, line in self._lines.items():
            sound = line.take(first, last, AHEAD)
            if np.any(sound):
                spot = SPOTS[player]
                own, sent = _at(self._voiced(player, sound, first - HISTORY, spot.pan), spot)
                dry, send = dry + own, send + sent
        mixed = dry.T + room_answer(send, BAND_ROOM)
        return mixed[HISTORY : HISTORY + last - first]

    def _voiced(
        self, player: Player, sound: NDArray[np.float32], first: int, pan: float
    ) -> NDArray[np.float32]:
        """A player's line through what belongs to the instrument, shape (2, samples)."""
        match player:
            case Player.GUITAR:
                return panned(amplify(sound, RHYTHM_AMP), pan)
            case Player.KEYS if self._keyboard is Keyboard.ORGAN:
                return rotating(sound, first) * _sides(pan)
            case Player.KEYS:
                return swaying(sound, first) * _sides(pan)
            case _:
                return panned(sound, pan)


def _at(sound: NDArray[np.float32], spot: Spot) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """What is heard straight, shape (2, samples), and what is sent into the room, (samples,)."""
    straight = sound * np.float32(10 ** (spot.level_db / 20))
    return straight, (straight[0] + straight[1]) * np.float32(0.5 * 10 ** (spot.room_db / 20))
