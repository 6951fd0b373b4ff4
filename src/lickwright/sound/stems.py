"""What does a player need that can begin anywhere, at several tempos, with the band or without?"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from lickwright.band import Backing
from lickwright.phrase import Phrase, perform
from lickwright.sound.guitar import CLEAN, RATE, Guitar
from lickwright.sound.human import EXACT, HUMAN, Human
from lickwright.sound.loop import round_and_round
from lickwright.sound.loudness import normalise
from lickwright.sound.mix import TAIL_SECONDS, guitar_sound
from lickwright.sound.reference import bend_reference
from lickwright.sound.track import Begins, Start, Track, check_length

if TYPE_CHECKING:
    from numpy.typing import NDArray

MARK_SECONDS = 0.1  # where the one sample stands by which a decoder's delay is found
FIRST_SECONDS = 0.3  # of what is to be heard
AROUND_SECONDS = 0.15  # of a loop again, before its beginning and behind its end
_MARK = 0.5  # of full scale
_GAP = 0.05  # seconds between two rungs
_BREATH = 0.02  # seconds before the lead's first sound
LEAD_LUFS, BAND_LUFS = -18.0, -20.0  # together about -16; common practice, no source
_LEAD_CEILING, _BAND_CEILING = -3.0, -6.0  # dBTP


def lead_stem(
    phrase: Phrase,
    tempos: Sequence[Fraction],
    bends: Sequence[str] = (),
    guitar: Guitar = CLEAN,
) -> Track:
    """The phrase alone once at each tempo (beats a minute), then the targets of its bends.

    One channel, at -18 LUFS, exactly on the beat: the model that a pupil is to match. `bends`: ids
    of bent notes. Each pass starts (`Begins.PASS`) on the phrase's first count; what rings on or
    leads in is around it. Raises BandError for more than twenty minutes.
    """
    pieces: list[NDArray[np.float32]] = [_marked()]
    starts: list[Start] = []
    for number, tempo in enumerate(tempos, start=1):
        performance = perform(phrase, phrase.clock.at_tempo(tempo))
        before = _BREATH - min([0.0, *(time.begin for time in performance.times)])
        count = ceil((before + performance.length + TAIL_SECONDS) * RATE)
        at = _seconds(pieces) + before
        check_length(at)
        starts.append(Start(at, Begins.PASS, number, tempo))
        pieces += [_mono(guitar_sound(performance, guitar, before, count, EXACT)), _silence(_GAP)]
    for number, note in enumerate(bends, start=1):
        heard = bend_reference(phrase, note, times=1, guitar=guitar)
        at = _seconds(pieces)
        own = (Begins.TARGET, Begins.BEND)
        starts += [
            Start(at + start.seconds, start.begins, number, Fraction(0))
            for start in heard.starts
            if start.begins in own
        ]
        pieces += [_mono(heard.samples), _silence(_GAP)]
    return _track(pieces, starts, LEAD_LUFS, _LEAD_CEILING)


def band_stem(backing: Backing, tempos: Iterable[Fraction], human: Human = HUMAN) -> Track:
    """One round of a backing at each tempo, to be looped.

    One channel, at -20 LUFS. Each round starts at its `Begins.PASS`; a little of its end stands
    before that and a little of its beginning behind it, so that two rounds can be joined by a
    short fade. Raises BandError for more than twenty minutes.
    """
    around = round(AROUND_SECONDS * RATE)
    pieces: list[NDArray[np.float32]] = [_marked()]
    starts: list[Start] = []
    for number, tempo in enumerate(tempos, start=1):
        once = _mono(round_and_round(replace(backing, tempo=tempo), human).samples)
        at = _seconds(pieces) + around / RATE
        check_length(at)
        starts.append(Start(at, Begins.PASS, number, tempo))
        pieces += [np.resize(once[::-1], around)[::-1], once, np.resize(once, around)]
        pieces.append(_silence(_GAP))
    return _track(pieces, starts, BAND_LUFS, _BAND_CEILING)


def _track(
    pieces: list[NDArray[np.float32]], starts: list[Start], lufs: float, ceiling: float
) -> Track:
    """All pieces behind each other at a loudness; the mark is added last, as it is no music."""
    samples = np.concatenate(pieces)[:, np.newaxis]
    loud = normalise(samples, RATE, lufs, ceiling)
    loud[round(MARK_SECONDS * RATE)] = _MARK
    return Track(loud, RATE, tuple(starts))


def _marked() -> NDArray[np.float32]:
    return _silence(FIRST_SECONDS)


def _silence(seconds: float) -> NDArray[np.float32]:
    return np.zeros(round(seconds * RATE), np.float32)


def _seconds(pieces: Sequence[NDArray[np.float32]]) -> float:
    return sum(map(len, pieces)) / RATE


def _mono(samples: NDArray[np.float32]) -> NDArray[np.float32]:
    mean: NDArray[np.float32] = samples.mean(axis=1, dtype=np.float32)
    return mean
