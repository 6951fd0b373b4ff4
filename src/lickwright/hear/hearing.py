"""What did the pupil play, and how far is it from what is written?"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from lickwright.hear.align import align, beat_of
from lickwright.hear.candidates import find_candidates
from lickwright.hear.listen import HIGHEST_HZ, LOWEST_HZ, listen
from lickwright.hear.report import hearing_of
from lickwright.hear.strength import RATE
from lickwright.hear.take import Take
from lickwright.hear.tuned import tuning_cents
from lickwright.hear.verdicts import Hearing
from lickwright.hear.written import Event, events_of
from lickwright.phrase import Phrase
from lickwright.theory import midi_to_hz

if TYPE_CHECKING:
    from numpy.typing import NDArray

LOUD = 0.5  # highest sample of a prepared take
AROUND = 9.0  # semitones below and above the phrase in which a pitch is looked for
QUIET = 1e-4  # highest sample under which a take is left as it is: silence


def hear(phrase: Phrase, samples: NDArray[np.floating], rate: int) -> Hearing:
    """Listen to a take of `phrase`.

    `samples`: shape (n,) or (n, channels), full scale 1; `rate`: samples a second. Any length, any
    rate. Raises ValueError if there are no samples or the rate is not positive.
    """
    return hearing_of(phrase, take_of(phrase, prepared(samples, rate)))


def prepared(samples: NDArray[np.floating], rate: int) -> NDArray[np.float32]:
    """Mono at 16 kHz, finite. Raises ValueError if there is nothing or the rate is not positive."""
    import soxr  # type: ignore[import-untyped]  # noqa: PLC0415

    if rate <= 0 or samples.size == 0:
        raise ValueError("a take needs samples and a positive rate")
    mono = samples if samples.ndim == 1 else samples.mean(axis=1)
    mono = np.nan_to_num(mono.astype(np.float32), nan=0.0, posinf=1.0, neginf=-1.0)
    if rate != RATE:
        mono = soxr.resample(mono, rate, RATE)
    mono = mono - mono.mean() if len(mono) else np.zeros(1, np.float32)
    peak = float(np.abs(mono).max())
    if peak > QUIET:  # the tracker takes what is very quiet for silence
        mono = mono * (LOUD / peak)
    return np.asarray(mono, np.float32)


def take_of(phrase: Phrase, samples: NDArray[np.float32]) -> Take:
    """Everything that is found in mono samples at 16 kHz before it is judged."""
    events = events_of(phrase)
    heard = listen(samples, *_range(events))
    tuning = tuning_cents(heard)
    pitch = heard.pitch - tuning / 100
    found = find_candidates(heard, pitch, tuning)
    alignment = align(events, found, pitch)
    beat = beat_of(events, found, alignment.places)
    return Take(heard, pitch, tuning, found, events, alignment, beat)


def _range(events: tuple[Event, ...]) -> tuple[float, float]:
    """Lowest and highest frequency (Hz) in which the tracker looks: the phrase's, and a bit more.

    Overtones far above it are then not taken for notes.
    """
    pitches = [midi for event in events for pair in event.ranges for midi in pair]
    if not pitches:
        return LOWEST_HZ, HIGHEST_HZ
    low, high = midi_to_hz(min(pitches) - AROUND), midi_to_hz(max(pitches) + AROUND)
    return max(LOWEST_HZ, low), min(HIGHEST_HZ, high)
