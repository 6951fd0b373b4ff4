"""What is heard of the band, from the count-in to the last of the room, in pieces or whole?"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import groupby
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from lickwright.band import Backing, BandError, Drum, Event, Keyboard, Player, count_in, play_bar
from lickwright.sound.bass_guitar import bass_note
from lickwright.sound.guitar import RATE
from lickwright.sound.human import HUMAN, Human
from lickwright.sound.keyboard import organ_note, piano_note
from lickwright.sound.kit import VOICES, stroke
from lickwright.sound.rhythm import STRUM_SECONDS, rhythm_note
from lickwright.sound.stage import AHEAD, PIECE, Stage
from lickwright.sound.voice import fade

if TYPE_CHECKING:
    from numpy.typing import NDArray

LONGEST_SECONDS = 1200.0  # of a sound that is held in memory whole
TAIL_SECONDS = 1.4  # after the last bar
_FIRST = 0.03  # seconds before the first stroke, however early a player is
_EARLY = 0.05  # seconds by which a stroke may come before its beat
_FADE_SECONDS = 0.4  # at the very end


def first_bar_seconds(backing: Backing) -> float:
    """Seconds from the first sample to the 1 of the first bar."""
    return _FIRST + backing.count_in * backing.meter.beats * backing.clock.beat_seconds


def backing_seconds(backing: Backing) -> float:
    """Seconds of the whole, from the first sample to the last."""
    return first_bar_seconds(backing) + bar_seconds(backing) * backing.bar_count + TAIL_SECONDS


def bar_seconds(backing: Backing) -> float:
    """Seconds of one bar."""
    return backing.meter.beats * backing.clock.beat_seconds


def backing_pieces(backing: Backing, human: Human = HUMAN) -> Iterator[NDArray[np.float32]]:
    """The band as sound, piece after piece of a good two seconds, each of shape (samples, 2).

    However many choruses there are, little more than one piece is held in memory. Not at a set
    loudness. The same backing gives the same samples every time.
    """
    stage, origin = Stage(backing.keyboard), first_bar_seconds(backing)
    end, made = ceil(backing_seconds(backing) * RATE), 0
    fall, fallen = fade(_FADE_SECONDS), end - ceil(_FADE_SECONDS * RATE)
    _set(stage, tuple(count_in(backing)), backing, origin, human)
    for number in range(backing.bar_count):
        _set(stage, play_bar(backing, number), backing, origin, human)
        safe = origin + bar_seconds(backing) * (number + 1) - _EARLY
        final = round(safe * RATE) - AHEAD
        if number + 1 == backing.bar_count:
            final = fallen
        while final - made > PIECE or (number + 1 == backing.bar_count and made < final):
            last = min(made + PIECE, final)
            yield stage.take(last)
            made = last
    yield stage.take(end) * fall[: end - fallen, np.newaxis]


def backing_sound(backing: Backing, human: Human = HUMAN) -> NDArray[np.float32]:
    """The band as one sound, shape (samples, 2), not at a set loudness.

    Raises BandError for more than twenty minutes: that is asked for in pieces.
    """
    seconds = backing_seconds(backing)
    if seconds > LONGEST_SECONDS:
        choruses = int(backing.choruses * LONGEST_SECONDS / seconds)
        raise BandError(
            f"wanted at most {LONGEST_SECONDS / 60:.0f} minutes of backing in one file, got "
            f"{seconds / 60:.0f}",
            f"choruses: {max(1, choruses)}",
        )
    sound = np.empty((ceil(seconds * RATE), 2), np.float32)
    made = 0
    for piece in backing_pieces(backing, human):
        sound[made : made + len(piece)] = piece
        made += len(piece)
    return sound


def _set(
    stage: Stage, events: tuple[Event, ...], backing: Backing, origin: float, human: Human
) -> None:
    """Put what is played onto the stage's lines."""
    heard = cache(backing.clock.seconds)  # most moments are many players'
    for (player, onset), group in groupby(events, key=lambda event: (event.player, event.onset)):
        together = sorted(group, key=_pitch)
        late, written = human.late(player.value, onset), heard(onset)
        for index, event in enumerate(_in_order(together)):
            own = late
            if player is Player.DRUMS:
                own = human.late(event.sound, event.onset)
            elif player is Player.GUITAR:
                own += index * STRUM_SECONDS
            begin = origin + written + max(own, -_EARLY)
            length = heard(event.end) - written
            firm = min(1.0, event.strength * human.stronger(event.sound, event.onset))
            stage.add(
                player, round(begin * RATE), _sound(event, length, firm, backing), _pan(event)
            )


def _pitch(event: Event) -> int:
    return event.sound.value if isinstance(event.sound, Drum) else event.sound


def _in_order(together: list[Event]) -> list[Event]:
    """Strings in the order in which a stroke reaches them: down on the beat, else up."""
    up = together[0].player is Player.GUITAR and together[0].onset.denominator != 1
    return together[::-1] if up else together


def _pan(event: Event) -> float:
    return VOICES[event.sound].pan if isinstance(event.sound, Drum) else 0.0


def _sound(event: Event, seconds: float, strength: float, backing: Backing) -> NDArray[np.float32]:
    variant = int(event.onset * 12) if event.onset.denominator in (1, 2, 3, 4) else 0
    sound = event.sound
    if isinstance(sound, Drum):
        struck = stroke(sound, strength, variant)
        return _choked(struck, seconds) if sound is Drum.OPEN_HAT else struck
    match event.player:
        case Player.BASS:
            return bass_note(sound, seconds, strength)
        case Player.GUITAR:
            return rhythm_note(event.string, sound, seconds, strength, variant)
        case _ if backing.keyboard is Keyboard.ORGAN:
            return organ_note(sound, seconds, strength)
        case _:
            return piano_note(sound, seconds, strength)


def _choked(sound: NDArray[np.float32], seconds: float) -> NDArray[np.float32]:
    """An open hi-hat until the foot closes it."""
    tail, end = fade(0.03), round(seconds * RATE)
    short = sound[: end + len(tail)].copy()
    part = short[end:]
    part *= tail[: len(part)]
    return short
