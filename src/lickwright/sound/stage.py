"""Where does each player stand, how loud, and in which room do they play together?"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin, sqrt
from typing import TYPE_CHECKING

import numpy as np

from lickwright.band import Keyboard, Player
from lickwright.sound.amp import amplify
from lickwright.sound.filters import Passing
from lickwright.sound.guitar import Room
from lickwright.sound.keyboard import rotating, swaying
from lickwright.sound.line import Line
from lickwright.sound.rhythm import RHYTHM_AMP
from lickwright.sound.room import room_answers

if TYPE_CHECKING:
    from numpy.typing import NDArray

BAND_ROOM = Room(level_db=0.0, seconds=0.45, predelay=0.012)
AHEAD = 512  # samples that the amplifier looks ahead
HISTORY = 2048  # samples that the amplifier looks back
PIECE = 108_800  # samples that are taken at once at best: they fill the room's transform

_ROOM_BLOCK = 131_072  # samples of the room's transform
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
        self._moving = rotating if keyboard is Keyboard.ORGAN else swaying
        self._lines = {
            player: [Line(HISTORY) for _ in range(2 if player is Player.DRUMS else 1)]
            for player in SPOTS
        }
        self._room = Passing(room_answers(BAND_ROOM), _ROOM_BLOCK)
        self._taken = 0

    def add(self, player: Player, at: int, sound: NDArray[np.float32], pan: float = 0.0) -> None:
        """Add a stroke or note of a player at sample `at`; `pan` is for the drums."""
        sides = [sound] * 2 if pan == 0.0 else panned(sound, pan)
        for line, side in zip(self._lines[player], sides, strict=False):
            line.add(at, side)

    def take(self, last: int) -> NDArray[np.float32]:
        """The mix from where the last piece ended up to sample `last`, shape (samples, 2)."""
        first, self._taken = self._taken, last
        mixed = _GAINS @ self._played(first, last)
        answer = self._room.through(mixed[2])
        piece = np.empty((last - first, 2), np.float32)
        for side in (0, 1):  # apart, as NumPy is slow along an axis of two
            np.add(mixed[side], answer[side], out=piece[:, side])
        return piece

    def _played(self, first: int, last: int) -> NDArray[np.float32]:
        """Mono sounds of all players in the order of `_GAINS`, shape (sounds, samples)."""
        rows, at = np.empty((_GAINS.shape[1], last - first), np.float32), 0
        for player, lines in self._lines.items():
            count = len(_sides_of(player))
            taken = [line.take(first, last, AHEAD) for line in lines]
            self._sounded(player, taken, first, rows[at : at + count])
            at += count
        return rows

    def _sounded(
        self,
        player: Player,
        taken: list[NDArray[np.float32]],
        first: int,
        rows: NDArray[np.float32],
    ) -> None:
        """Fill a player's rows with what amplifier, loudspeaker or press make of the lines."""
        own, line = slice(HISTORY, HISTORY + rows.shape[1]), taken[0]
        if player is Player.DRUMS:
            for side, row in zip(taken, rows, strict=True):
                np.tanh(_PRESSED * side[own], out=row)
        elif not line.any():
            rows[:] = 0.0
        elif player is Player.KEYS:
            rows[:] = self._moving(line, first - HISTORY)[:, own]
        elif player is Player.GUITAR:
            rows[:] = amplify(line, RHYTHM_AMP)[own]
        else:
            rows[:] = line[own]


def _sides_of(player: Player) -> tuple[tuple[float, float], ...]:
    """Gains left and right of each sound that a player has."""
    left, right = _sides(SPOTS[player].pan)
    if player is Player.DRUMS:
        return (1 / _PRESSED, 0.0), (0.0, 1 / _PRESSED)
    if player is Player.KEYS:
        return (left, 0.0), (0.0, right)
    return ((left, right),)


def _gains(spot: Spot, sides: tuple[float, float]) -> tuple[float, float, float]:
    """What left, right and the room get of a sound that is heard with `sides` at a spot."""
    level, room = 10 ** (spot.level_db / 20), 10 ** (spot.room_db / 20)
    left, right = sides
    return level * left, level * right, 0.5 * level * room * (left + right)


_GAINS = np.array(
    [_gains(spot, sides) for player, spot in SPOTS.items() for sides in _sides_of(player)],
    np.float32,
).T
