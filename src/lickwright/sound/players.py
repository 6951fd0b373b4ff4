"""What do all strings together send to the amplifier?"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from lickwright.phrase import Mark, NoteTime, Performance, PitchCurve, run_curve
from lickwright.phrase.moves import QUICK_SHARE, SLIDE_OFF_SECONDS
from lickwright.phrase.times import QUICK_MOVE_SECONDS
from lickwright.sound.guitar import RATE, Strings
from lickwright.sound.human import EXACT, Human
from lickwright.sound.layers import Layer, run_layers
from lickwright.sound.noise import finger_slide
from lickwright.sound.voice import CHANGE_SECONDS, LEVEL, fade, play, play_dead

if TYPE_CHECKING:
    from numpy.typing import NDArray

STOP_SECONDS = 0.03  # a finger lifts
STACCATO_SECONDS = 0.018
LAST_SECONDS = 0.22  # what rings to the end of the phrase is let go gently
_CURVE_STEP = 8  # samples between places where the pitch curve is worked out
_SLIDE_DB = -30.0  # of a finger's noise, against a plain stroke
_WOUND_BELOW = 55  # MIDI number of the open string


class _Mixdown:
    """A growing sum: one line of samples that sounds are added to."""

    def __init__(self, count: int) -> None:
        self.samples = np.zeros(count, np.float32)

    def add(self, at: int, sound: NDArray[np.float32]) -> None:
        skip = max(0, -at)
        room = max(0, len(self.samples) - at)
        part = sound[skip:room]
        self.samples[at + skip : at + skip + len(part)] += part


def string_sum(
    performance: Performance, strings: Strings, lead: float, count: int, human: Human = EXACT
) -> NDArray[np.float32]:
    """All strings dry, shape (count,); the phrase's first count is heard after `lead` seconds.

    Of a human player only the strength is applied here: see `humanised` for the times.
    """
    mix = _Mixdown(count)
    begins = {(run[0].note.string, run[0].begin) for run in performance.runs}
    for run in performance.runs:
        curve = run_curve(performance, run)
        last = _last_fade(performance, run, (run[0].note.string, run[-1].end) in begins)
        layers = run_layers(run, curve)
        for layer in layers:
            seconds = last if layer is layers[-1] else CHANGE_SECONDS
            sound = _sound(performance, layer, curve, strings, seconds)
            sound *= np.float32(human.stronger(layer.note.id))
            if layer is layers[-1] and run[-1].note.off is not None and curve is not None:
                _slide_off(performance, run[-1], layer, sound)
            mix.add(round((lead + layer.start) * RATE), sound)
        for at, noise in _slide_noises(performance, run, curve):
            mix.add(round((lead + at) * RATE), noise)
    return mix.samples


def _last_fade(performance: Performance, run: tuple[NoteTime, ...], struck_again: bool) -> float:
    if struck_again:
        return CHANGE_SECONDS
    if Mark.STACCATO in run[-1].note.marks:
        return STACCATO_SECONDS
    return LAST_SECONDS if run[-1].end >= performance.length - 1e-6 else STOP_SECONDS


def _sound(
    performance: Performance,
    layer: Layer,
    curve: PitchCurve | None,
    strings: Strings,
    last: float,
) -> NDArray[np.float32]:
    """One layer with its end faded."""
    phrase = performance.phrase
    tail = fade(last)
    count = round((layer.end - layer.start) * RATE) + len(tail)
    if curve is None:
        sound = play_dead(layer, strings, phrase.tuning, phrase.capo)[:count]
    else:
        midi = _pitches(curve, layer.start, count)
        sound = play(layer, midi, strings, phrase.tuning, phrase.capo)
    over = len(sound) - (count - len(tail))
    if over > 0:
        sound[-over:] *= tail[:over]
    return sound


def _pitches(curve: PitchCurve, start: float, count: int) -> NDArray[np.float64]:
    """MIDI number at each sample, read from the curve every few samples."""
    marks = np.arange(0, count + _CURVE_STEP, _CURVE_STEP)
    return np.interp(np.arange(count), marks, curve.at(start + marks / RATE))


def _slide_off(
    performance: Performance, time: NoteTime, layer: Layer, sound: NDArray[np.float32]
) -> None:
    """Slid off, a note loses its tone on the way."""
    first = round((_leaves(performance, time, time.end) - layer.start) * RATE)
    steps = max(1, round((time.end - layer.start) * RATE) - first)
    part = sound[max(0, first) :]
    part *= np.interp(np.arange(len(part)), [0, steps], [1.0, 0.25]).astype(np.float32)


def _slide_noises(
    performance: Performance, run: tuple[NoteTime, ...], curve: PitchCurve | None
) -> list[tuple[float, NDArray[np.float32]]]:
    """Where, in seconds, and how a finger is heard moving along the string."""
    if curve is None:
        return []
    phrase = performance.phrase
    wound = phrase.tuning.midi(run[0].note.string, 0) < _WOUND_BELOW
    level = np.float32(LEVEL * 10 ** (_SLIDE_DB / 20) * (2.0 if wound else 1.0))
    return [
        (begin, level * finger_slide(note_id, end - begin, wound))
        for note_id, begin, end in _slides(performance, run)
        if end - begin > 0.01
    ]


def _slides(
    performance: Performance, run: tuple[NoteTime, ...]
) -> Iterator[tuple[str, float, float]]:
    """Note id, begin and end (seconds) of every slide in a run."""
    for time in run:
        if time.begin < time.start:
            yield f"{time.note.id}in", time.begin, time.start
        if time.note.off is not None:
            yield f"{time.note.id}off", _leaves(performance, time, time.end), time.end
    for time, after in pairwise(run):
        if after.note.link is not None and after.note.link.slide:
            yield (
                after.note.id,
                _leaves(performance, time, after.start, after.note.link.start),
                after.start,
            )


def _leaves(
    performance: Performance, time: NoteTime, goal: float, counted: Fraction | None = None
) -> float:
    """Seconds at which a slide out of a note sets off, if it is over at `goal`."""
    counted = counted or (time.note.off.start if time.note.off is not None else None)
    if counted is not None:
        return min(max(time.start, performance.clock.seconds(counted)), goal)
    if time.note.off is not None:
        return goal - min(SLIDE_OFF_SECONDS, (goal - time.start) * QUICK_SHARE)
    return max(time.start, goal - QUICK_MOVE_SECONDS)
