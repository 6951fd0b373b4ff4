"""What is one thing that one player of the band does?"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction


class Player(Enum):
    """Who plays. The value is what a teacher calls them."""

    DRUMS = "drums"
    BASS = "bass"
    KEYS = "keys"
    GUITAR = "guitar"  # rhythm guitar
    COUNT = "count"  # whoever counts in, also if the drums are left out


PLAYERS = (Player.DRUMS, Player.BASS, Player.KEYS, Player.GUITAR)


class Drum(Enum):
    """A voice of the drum kit. The value is its key in the General MIDI percussion map.

    Source: General MIDI 1, percussion key map; the sticks are General MIDI 2's.
    """

    STICKS = 31
    KICK = 36
    CROSS_STICK = 37
    SNARE = 38
    CLOSED_HAT = 42
    PEDAL_HAT = 44
    LOW_TOM = 45
    OPEN_HAT = 46
    MIDDLE_TOM = 48
    CRASH = 49
    HIGH_TOM = 50
    RIDE = 51
    RIDE_BELL = 53


@dataclass(frozen=True, slots=True)
class Event:
    """One note or one stroke.

    `onset` and `length` in written beats; the form begins on 0, the count-in lies below it. Feel
    is not in them: a clock turns beats into seconds. `sound`: MIDI note number, or a drum.
    `strength`: 0 to 1. `string`: of the rhythm guitar, 1 = thinnest, else 0.
    """

    player: Player
    onset: Fraction
    length: Fraction
    sound: int | Drum
    strength: float
    string: int = 0

    @property
    def end(self) -> Fraction:
        """Beat at which it stops."""
        return self.onset + self.length
