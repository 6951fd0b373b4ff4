"""How high did a bend get, how quickly, and did it stay there?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lickwright.hear.fine import (
    BESIDE,
    SINGLE,
    STEP,
    FinePitch,
    fine_pitch,
    frames_between,
    stand_out,
)
from lickwright.hear.take import Take
from lickwright.hear.verdicts import BendHeard, BendVerdict, Unsure
from lickwright.hear.written import Voice

if TYPE_CHECKING:
    from numpy.typing import NDArray

IN_TUNE, NEARLY = 10.0, 25.0  # cents: measured in own trials; a third of a fret is about 30
FLAT_SLOPE = 1.6  # semitones a second under which a bend stands
TOP = 0.22  # semitones from its top within which it stands
PAST = 0.35  # of the way that must lie behind
LEAST_FLAT = 0.08  # seconds
REACHED = 0.15  # semitones
LATE = 0.03  # seconds by which `reach` reads long: measured in own trials
FRETTED = 4.0  # dB by which a fretted pitch must stand out over one a semitone below
_CLEAR = 8.0  # dB


@dataclass(frozen=True, slots=True)
class _Way:
    """MIDI numbers from which to which a bend goes."""

    origin: float
    target: float


def bend_heard(take: Take, index: int, voice: Voice, reference: float) -> BendHeard:
    """The first bend of a found note. `reference`: semitones that straight notes read high."""
    bend = voice.time.note.bend
    assert bend is not None
    way = _Way(voice.fretted, voice.fretted + float(bend.to))
    others = _others(take, index, voice)
    fine = follow(take, index, way.origin - 0.7, way.target + 1.0, others)
    midi = fine.midi - take.tuning / 100 - reference
    flat = _flat(fine, midi, way)
    written_reach, written_hold = _as_written(voice, way, take.pace, struck=bend.struck_bent)
    start = None if bend.struck_bent else _leaves(fine, midi, way)
    hold = float(flat.sum()) * STEP
    made = BendHeard(
        BendVerdict.CANNOT_TELL, way.target, None, start, None, hold, written_reach, written_hold
    )
    fretted = not bend.struck_bent and _heard_fretted(take, index, way, others)
    unsure = _unsure(hold, way, others, fretted=fretted)
    if unsure is not None:
        return _with(made, None, None, unsure)
    level = float(np.median(midi[flat]))
    reach = None if start is None else _reach(fine, midi, start, level)
    return _with(made, (level - way.target) * 100, reach, None, quarter=float(bend.to) < 1)


def _with(
    made: BendHeard,
    cents: float | None,
    reach: float | None,
    unsure: Unsure | None,
    quarter: bool = False,
) -> BendHeard:
    verdict = BendVerdict.CANNOT_TELL if cents is None else bend_word(cents, quarter=quarter)
    return BendHeard(
        verdict,
        made.target,
        cents,
        made.start,
        reach,
        made.hold,
        made.written_reach,
        made.written_hold,
        unsure,
    )


def bend_word(cents: float, *, quarter: bool) -> BendVerdict:
    """The word for a bend that is `cents` above (negative: below) its target."""
    if quarter:
        if abs(cents) <= NEARLY:
            return BendVerdict.IN_TUNE
        return BendVerdict.MORE if cents > 0 else BendVerdict.LESS
    if abs(cents) <= IN_TUNE:
        return BendVerdict.IN_TUNE
    if abs(cents) <= NEARLY:
        return BendVerdict.NEARLY
    return BendVerdict.SHARP if cents > 0 else BendVerdict.FLAT


def follow(
    take: Take, index: int, low: float, high: float, others: tuple[float, ...] = ()
) -> FinePitch:
    """The fine pitch of a note of a found event, within a range (MIDI, without the tuning)."""
    start, end = take.span(index)
    move = take.tuning / 100
    window = BESIDE if others else SINGLE
    frames = frames_between(take.heard.samples, start + 0.01, max(end - 0.02, start + 0.03), window)
    return fine_pitch(frames, low + move, high + move, tuple(o + move for o in others))


def _others(take: Take, index: int, voice: Voice) -> tuple[float, ...]:
    """MIDI numbers that sound beside a note, as written."""
    event = take.events[index]
    beside = [v.fretted for v in event.voices if v is not voice]
    return tuple(beside + [(low + high) / 2 for low, high in event.held])


def _flat(fine: FinePitch, midi: NDArray[np.float64], way: _Way) -> NDArray[np.bool_]:
    """Where a bend stands."""
    up = way.target - way.origin
    clear = (midi > way.origin - 0.3) & (fine.clear > _CLEAR)
    bent = clear & (midi > way.origin + PAST * up)
    slope = np.abs(np.convolve(midi, [1, 0, 0, 0, -1], "same")) / (4 * STEP)
    slope[:2] = slope[-2:] = np.inf
    standing = np.asarray(bent & (slope < FLAT_SLOPE))
    if not bent.any():  # hardly bent at all
        standing = clear & (slope < FLAT_SLOPE)
    if not standing.any():
        return standing
    top = float(np.percentile(midi[standing], 90))
    return np.asarray(standing & (np.abs(midi - top) < TOP))


def _unsure(hold: float, way: _Way, others: tuple[float, ...], *, fretted: bool) -> Unsure | None:
    if hold == 0:
        return Unsure.NO_FLAT_PART
    if hold < LEAST_FLAT:
        return Unsure.FLAT_PART_TOO_SHORT
    beside = any(abs(other - way.target) < 0.6 for other in others)
    return Unsure.START_NOT_HEARD if beside and not fretted else None


def _heard_fretted(take: Take, index: int, way: _Way, others: tuple[float, ...]) -> bool:
    """True if a string is heard at its fret before it is bent beside others."""
    start = take.span(index)[0]
    move = take.tuning / 100
    frames = frames_between(take.heard.samples, start + 0.01, start + 0.06, SINGLE)
    grid = way.origin + move + np.array([0.0, 0.2, -1.0, -1.3])
    scores = stand_out(frames, grid, tuple(o + move for o in others))
    there = scores[:, :2].max(axis=1) > scores[:, 2:].max(axis=1) + FRETTED
    return bool(there.sum() >= 2)


def _leaves(fine: FinePitch, midi: NDArray[np.float64], way: _Way) -> float | None:
    """Seconds at which the pitch leaves the fret for good."""
    up = way.target - way.origin
    below = np.flatnonzero(midi < way.origin + max(0.12, 0.12 * up))
    above = np.flatnonzero(midi > way.origin + 0.5 * up)
    if len(above) == 0:
        return None
    before = below[below < above[0]]
    return float(fine.seconds[before[-1]]) if len(before) else float(fine.seconds[0])


def _reach(fine: FinePitch, midi: NDArray[np.float64], start: float, level: float) -> float | None:
    there = np.flatnonzero((np.abs(midi - level) < REACHED) & (fine.seconds > start))
    if len(there) == 0:
        return None
    return max(0.0, float(fine.seconds[there[0]]) - start - LATE)


def _as_written(voice: Voice, way: _Way, pace: float, *, struck: bool) -> tuple[float, float]:
    """Seconds to reach the target and to stay there, as written, at the pupil's pace."""
    assert voice.curve is not None
    seconds = np.arange(voice.time.start, voice.time.end, 0.004)
    pitch = voice.curve.at(seconds)
    there = np.flatnonzero(np.abs(pitch - way.target) < REACHED)
    if len(there) == 0:
        return 0.0, 0.0
    moving = np.flatnonzero(pitch > way.origin + 0.12)
    reach = 0.0 if struck else float(there[0] - moving[0]) * 0.004
    return max(0.0, reach) * pace, len(there) * 0.004 * pace
