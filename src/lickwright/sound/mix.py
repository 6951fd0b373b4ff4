"""What is heard of one phrase, from the count-in to the last of the room?"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from lickwright.phrase import Clock, NoteTime, Performance, Phrase, perform
from lickwright.sound.body import heard
from lickwright.sound.click import click, count_in_beats, is_accented
from lickwright.sound.guitar import CLEAN, RATE, Guitar
from lickwright.sound.human import EXACT, Human, humanised
from lickwright.sound.players import string_sum
from lickwright.sound.room import in_room
from lickwright.sound.sympathy import with_sympathy

if TYPE_CHECKING:
    from numpy.typing import NDArray

TAIL_SECONDS = 1.2  # after the last bar: the strings and the room die away
_FADE_SECONDS = 0.3  # at the very end
_FIRST_EVENTS = 0.01  # seconds of silence before whatever comes first


@dataclass(frozen=True, slots=True, eq=False)
class Rendered:
    """A phrase as sound. All times in seconds from the first sample.

    `samples`: float32, shape (n, 2), left and right. `first_count_seconds`: where the phrase's
    first count is heard. `times`: every note, as in Performance but in this file's time.
    `clicks`: where the count-in is heard. `end_seconds`: where the last bar ends.
    """

    samples: NDArray[np.float32]
    rate: int
    tempo: Fraction  # beats a minute
    first_count_seconds: float
    end_seconds: float
    times: tuple[NoteTime, ...]
    clicks: tuple[float, ...]


def render_phrase(
    phrase: Phrase,
    tempo: Fraction | None = None,
    count_in: bool = True,
    guitar: Guitar = CLEAN,
    human: Human = EXACT,
) -> Rendered:
    """Play a phrase at its own or another tempo (beats a minute), counted in if wanted.

    The same phrase gives the same samples every time. Not yet at a set loudness: see `normalise`.
    A human player strays from `times` by a few milliseconds.
    """
    tempo = tempo or phrase.tempo
    clock = phrase.clock.at_tempo(tempo)
    performance = perform(phrase, clock)
    beats = count_in_beats(phrase) if count_in else ()
    lead = _lead(performance, clock, beats)
    count = ceil((lead + performance.length + TAIL_SECONDS) * RATE)
    samples = guitar_sound(performance, guitar, lead, count, human)
    _add_clicks(samples, phrase, clock, beats, lead)
    _fade_out(samples)
    clicks = tuple(lead + clock.seconds(beat) for beat in beats)
    times = tuple(_later(time, lead) for time in performance.times)
    return Rendered(samples, RATE, tempo, lead, lead + performance.length, times, clicks)


def guitar_sound(
    performance: Performance, guitar: Guitar, lead: float, count: int, human: Human = EXACT
) -> NDArray[np.float32]:
    """The guitar in its room, shape (count, 2); the first count is heard after `lead` seconds."""
    phrase = performance.phrase
    dry = string_sum(humanised(performance, human), guitar.strings, lead, count, human)
    strings = with_sympathy(dry, guitar.sympathy_db, guitar.strings, phrase.tuning, phrase.capo)
    return in_room(heard(strings, guitar.amp), guitar.room)


def playing_times(phrase: Phrase, tempo: Fraction, count_in: bool = True) -> tuple[NoteTime, ...]:
    """When each note is heard in what `render_phrase` gives, in seconds from its first sample."""
    clock = phrase.clock.at_tempo(tempo)
    performance = perform(phrase, clock)
    lead = _lead(performance, clock, count_in_beats(phrase) if count_in else ())
    return tuple(_later(time, lead) for time in performance.times)


def _lead(performance: Performance, clock: Clock, beats: tuple[Fraction, ...]) -> float:
    """Seconds before the first count: the count-in, and whatever leads into the phrase."""
    earliest = [0.0, *(time.begin for time in performance.times)]
    earliest += [clock.seconds(beat) for beat in beats[:1]]
    return _FIRST_EVENTS - min(earliest)


def _later(time: NoteTime, lead: float) -> NoteTime:
    return NoteTime(time.note, time.begin + lead, time.start + lead, time.end + lead)


def _add_clicks(
    samples: NDArray[np.float32],
    phrase: Phrase,
    clock: Clock,
    beats: tuple[Fraction, ...],
    lead: float,
) -> None:
    for beat in beats:
        sound = click(is_accented(beat, phrase))
        at = round((lead + clock.seconds(beat)) * RATE)
        samples[at : at + len(sound)] += sound[: len(samples) - at, np.newaxis]


def _fade_out(samples: NDArray[np.float32]) -> None:
    count = min(len(samples), round(_FADE_SECONDS * RATE))
    fall = 0.5 + 0.5 * np.cos(np.pi * np.arange(1, count + 1) / count)
    samples[-count:] *= fall[:, np.newaxis].astype(np.float32)
