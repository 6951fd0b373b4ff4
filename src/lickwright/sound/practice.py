"""What does a pupil practise with: a phrase over the band, slow to fast, heard and answered?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from lickwright.band import Backing, BandError, phrase_backing, pickup_beats
from lickwright.phrase import Clock, Phrase, perform
from lickwright.sound.backing import (
    TAIL_SECONDS,
    backing_seconds,
    backing_sound,
    first_bar_seconds,
)
from lickwright.sound.guitar import CLEAN, RATE, Guitar
from lickwright.sound.human import HUMAN, Human
from lickwright.sound.loudness import loudness
from lickwright.sound.mix import guitar_sound
from lickwright.sound.track import (
    Begins,
    Start,
    Track,
    backing_starts,
    check_length,
    finished,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

LEAD_OVER_BAND = 2.0  # loudness units; common practice, no source
_MEASURED_SECONDS = 30  # of the band, to set the lead against it
_BREATH = 0.01  # seconds before the lead's first sound
MOST_TEMPOS = 60


@dataclass(frozen=True, slots=True)
class Placed:
    """A phrase over a band: its first full bar falls on `bar` (from 1, over all choruses)."""

    phrase: Phrase
    bar: int = 1


def band_alone(backing: Backing, human: Human = HUMAN) -> Track:
    """The band without a lead. Raises BandError for more than twenty minutes."""
    return finished(backing_sound(backing, human), backing_starts(backing))


def over_band(
    placed: Sequence[Placed], backing: Backing, guitar: Guitar = CLEAN, human: Human = HUMAN
) -> Track:
    """Phrases on their bars over a band, in the band's tempo and feel.

    A pickup sounds in the bar before, which may be the count-in. Raises BandError for a bar that
    is not there, another meter than the band's, or more than twenty minutes.
    """
    for each in placed:
        _check(each, backing)
    samples, early = _played(placed, backing, guitar, human)
    return finished(samples, backing_starts(backing, early) + _passes(placed, backing, early))


def phrase_over_band(
    phrase: Phrase,
    tempo: Fraction | None = None,
    backing: Backing | None = None,
    guitar: Guitar = CLEAN,
    human: Human = HUMAN,
) -> Track:
    """One phrase over its own chords, or over the first bars of a backing.

    At `tempo` (beats a minute), else at the backing's, else at the phrase's own.
    """
    return over_band((Placed(phrase),), _backing(phrase, backing, tempo), guitar, human)


def ladder(
    phrase: Phrase,
    tempos: Sequence[Fraction],
    passes: int = 2,
    backing: Backing | None = None,
    guitar: Guitar = CLEAN,
    human: Human = HUMAN,
) -> Track:
    """A phrase `passes` times at each tempo (beats a minute), counted in at each.

    The band plays the phrase's own chords, or the whole of `backing` as one pass.
    """
    if not 1 <= len(tempos) <= MOST_TEMPOS:
        raise BandError(f"wanted 1 to {MOST_TEMPOS} tempos, got {len(tempos)}")
    rungs = [_looped(phrase, backing, tempo, passes) for tempo in tempos]
    check_length(sum(map(backing_seconds, rungs)))
    ends = np.cumsum([0.0, *(backing_seconds(rung) - TAIL_SECONDS for rung in rungs)])
    total = np.zeros((ceil((ends[-1] + TAIL_SECONDS) * RATE) + 1, 2), np.float32)
    starts: list[Start] = []
    for index, (rung, first) in enumerate(zip(rungs, ends[:-1], strict=True)):
        placed = _every(phrase, rung, range(passes))
        sound, early = _played(placed, rung, guitar, human)
        _add(total, float(first) - early, sound)
        starts += backing_starts(rung, float(first))
        starts += _passes(placed, rung, float(first), 1 + index * passes)
    return finished(total, starts)


def echo(
    phrase: Phrase,
    tempo: Fraction | None = None,
    rounds: int = 4,
    backing: Backing | None = None,
    guitar: Guitar = CLEAN,
    human: Human = HUMAN,
) -> Track:
    """A phrase, then as many bars of the band alone for the pupil to answer, `rounds` times."""
    looped = _looped(phrase, backing, tempo, 2 * rounds)
    check_length(backing_seconds(looped))
    placed = _every(phrase, looped, range(0, 2 * rounds, 2))
    answers = _every(phrase, looped, range(1, 2 * rounds, 2))
    samples, early = _played(placed, looped, guitar, human)
    starts = backing_starts(looped, early) + _passes(placed, looped, early)
    turns = _passes(answers, looped, early)
    starts += [replace(turn, begins=Begins.YOUR_TURN) for turn in turns]
    return finished(samples, starts)


def _backing(phrase: Phrase, backing: Backing | None, tempo: Fraction | None) -> Backing:
    chosen = backing or phrase_backing(phrase)
    return replace(chosen, tempo=tempo or chosen.tempo)


def _looped(
    phrase: Phrase, backing: Backing | None, tempo: Fraction | None, choruses: int
) -> Backing:
    """A backing that goes round once a pass and stops without an ending, counted in."""
    once = _backing(phrase, backing, tempo)
    looped = replace(once, choruses=choruses, ending=False, count_in=max(1, once.count_in))
    _check(Placed(phrase), looped)
    return looped


def _every(phrase: Phrase, backing: Backing, choruses: range) -> list[Placed]:
    return [Placed(phrase, 1 + chorus * backing.bars) for chorus in choruses]


def _check(placed: Placed, backing: Backing) -> None:
    if placed.phrase.meter != backing.meter:
        raise BandError(
            f"the phrase {placed.phrase.name} is in {placed.phrase.meter}, the band plays "
            f"{backing.meter}",
            f"meter: {placed.phrase.meter}",
        )
    if not 1 <= placed.bar <= backing.bar_count:
        raise BandError(f"wanted a bar from 1 to {backing.bar_count}, got {placed.bar}")


def _clock(phrase: Phrase, backing: Backing) -> Clock:
    return Clock(backing.tempo, backing.feel, phrase.start)


def _first_count(placed: Placed, backing: Backing) -> float:
    """Seconds from the band's first sample to the phrase's first count."""
    phrase = placed.phrase
    beat = phrase.start - pickup_beats(phrase) + (placed.bar - 1) * backing.meter.beats
    return first_bar_seconds(backing) + backing.clock.seconds(beat)


def _passes(
    placed: Sequence[Placed], backing: Backing, first: float = 0.0, number: int = 1
) -> list[Start]:
    return [
        Start(first + _first_count(each, backing), Begins.PASS, number + index, backing.tempo)
        for index, each in enumerate(placed)
    ]


def _played(
    placed: Sequence[Placed], backing: Backing, guitar: Guitar, human: Human
) -> tuple[NDArray[np.float32], float]:
    """Band and lead together, not at a set loudness, and by how much the band sets in later.

    That is 0 seconds unless a phrase leads into a band that is not counted in.
    """
    band = backing_sound(backing, human)
    leads = {each.phrase: _lead(each.phrase, backing, guitar, human) for each in placed}
    under = _loudness_of_band(band, backing)
    loud = {phrase: sound * _lead_gain(sound, under) for phrase, (sound, _) in leads.items()}
    begins = [_first_count(each, backing) - leads[each.phrase][1] for each in placed]
    early = max(0.0, -min(begins, default=0.0))
    ends = [b + len(loud[each.phrase]) / RATE for b, each in zip(begins, placed, strict=True)]
    seconds = early + max([len(band) / RATE, *ends])
    total = np.zeros((ceil(seconds * RATE), 2), np.float32)
    _add(total, early, band)
    for begin, each in zip(begins, placed, strict=True):
        _add(total, early + begin, loud[each.phrase])
    return total, early


def _lead(
    phrase: Phrase, backing: Backing, guitar: Guitar, human: Human
) -> tuple[NDArray[np.float32], float]:
    """The lead alone, and the seconds in it before the phrase's first count."""
    performance = perform(phrase, _clock(phrase, backing))
    before = _BREATH - min([0.0, *(time.begin for time in performance.times)]) + 4 * human.seconds
    count = ceil((before + performance.length + TAIL_SECONDS) * RATE)
    return guitar_sound(performance, guitar, before, count, human), before


def _loudness_of_band(band: NDArray[np.float32], backing: Backing) -> float:
    """Loudness (LUFS) of the first bars, which the lead is set against; -inf without players."""
    if not backing.players:
        return float("-inf")
    first = round(first_bar_seconds(backing) * RATE)
    return loudness(band[first : first + _MEASURED_SECONDS * RATE], RATE)


def _lead_gain(lead: NDArray[np.float32], under: float) -> np.float32:
    """What sets the lead a little over a band of loudness `under`; 1 if either is silent."""
    own = loudness(lead, RATE)
    if not np.isfinite(under) or not np.isfinite(own):
        return np.float32(1.0)
    return np.float32(10 ** ((under + LEAD_OVER_BAND - own) / 20))


def _add(total: NDArray[np.float32], seconds: float, sound: NDArray[np.float32]) -> None:
    at = round(seconds * RATE)
    skip = max(0, -at)
    part = total[at + skip : at + len(sound)]
    part += sound[skip : skip + len(part)]
