"""What is a piece of practice audio: its samples, and where in it what begins?"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np

from lickwright.band import Backing, BandError
from lickwright.sound.backing import LONGEST_SECONDS, bar_seconds, first_bar_seconds
from lickwright.sound.guitar import RATE
from lickwright.sound.loudness import normalise

if TYPE_CHECKING:
    from numpy.typing import NDArray


class Begins(Enum):
    """What begins at a place of a track. The value is a plain word for it."""

    COUNT_IN = "count-in"
    PASS = "pass"  # the phrase, once through
    YOUR_TURN = "your turn"  # as long again, for the pupil
    BAR = "bar"
    TARGET = "target"  # the plain note that a bend aims for
    BEND = "bend"
    STRING = "string"


@dataclass(frozen=True, slots=True)
class Start:
    """A place in a track. `seconds` from its first sample.

    `number`: of the pass, bar or string, from 1; strings are counted from the thinnest. `tempo`:
    beats a minute from here on, 0 where there is none.
    """

    seconds: float
    begins: Begins
    number: int
    tempo: Fraction


@dataclass(frozen=True, slots=True, eq=False)
class Track:
    """Practice audio at a set loudness: -16 LUFS, no true peak above -1 dBTP.

    `samples`: float32, shape (n, 2). `starts`: in order of time.
    """

    samples: NDArray[np.float32]
    rate: int
    starts: tuple[Start, ...]

    def seconds_of(self, begins: Begins) -> tuple[float, ...]:
        """Where everything of one kind begins, in seconds."""
        return tuple(start.seconds for start in self.starts if start.begins is begins)


def finished(samples: NDArray[np.float32], starts: Iterable[Start]) -> Track:
    """A track at its loudness, its starts in order."""
    ordered = sorted(starts, key=lambda start: start.seconds)
    return Track(normalise(samples, RATE), RATE, tuple(ordered))


def backing_starts(backing: Backing, first: float = 0.0) -> list[Start]:
    """Count-in and bars of a backing that begins `first` seconds into a track."""
    origin, starts = first + first_bar_seconds(backing), []
    if backing.count_in:
        counted = backing.count_in * bar_seconds(backing)
        starts.append(Start(origin - counted, Begins.COUNT_IN, 1, backing.tempo))
    for bar in range(backing.bar_count):
        seconds = origin + bar * bar_seconds(backing)
        starts.append(Start(seconds, Begins.BAR, bar + 1, backing.tempo))
    return starts


def check_length(seconds: float) -> None:
    """Raise BandError for a track that would be longer than twenty minutes."""
    if seconds > LONGEST_SECONDS:
        raise BandError(
            f"wanted at most {LONGEST_SECONDS / 60:.0f} minutes of practice audio in one file, "
            f"got {seconds / 60:.0f}",
            "fewer passes, bars or tempos",
        )
