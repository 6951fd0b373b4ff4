"""Is an event that has a place in the take the written one, another one, or can none tell?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lickwright.hear.salience import at
from lickwright.hear.take import Take
from lickwright.hear.verdicts import Unsure, Verdict
from lickwright.hear.written import Entry, Event, Voice

if TYPE_CHECKING:
    from numpy.typing import NDArray

SLACK = 0.45  # semitones around the written range
ABOVE_NOISE = 8.0  # dB
RIGHT, OTHER = 0.85, 0.62  # share of the most salient pitch: surely there, surely not
# A pitch beside a written one is played in its place: share of the written one below, share of the
# other from, and how much more that is.
BESIDE, IN_A_BEND = (0.64, 0.64, 0.3), (0.8, 0.85, 0.15)
_NEAR = (-3, -2, -1, 1, 2, 3)  # semitones from a note of a double stop to one played by mistake
_OCTAVES = (12, 19, 24)
_FARTHEST = 13.0  # semitones: what seems further off is no note played by mistake
_EDGE = 0.02  # seconds left out at the beginning of an event


@dataclass(frozen=True, slots=True)
class Judged:
    """Verdict on one note of an event. `pitch`: the MIDI number heard as struck, if any."""

    verdict: Verdict
    evidence: float
    pitch: float | None
    unsure: Unsure | None = None


def judge_voice(take: Take, index: int, voice: Voice) -> Judged:
    """Verdict on a note of a found event."""
    event = take.events[index]
    place = take.alignment.places[index]
    assert place is not None
    strength = float(take.found.strength[place])
    if not event.pitched:
        verdict = Verdict.PLAYED if strength > 0.4 else Verdict.CANNOT_TELL
        return Judged(verdict, strength, None, None if strength > 0.4 else Unsure.WEAK_ENTRY)
    start, end = take.span(index)
    if take.level_at(start, end) < take.heard.noise + ABOVE_NOISE:
        return Judged(Verdict.CANNOT_TELL, 0.3, None, Unsure.TOO_QUIET)
    if len(event.voices) > 1 or event.held:
        return _among_others(take, place, event, voice)
    return _alone(take, index, voice)


def _alone(take: Take, index: int, voice: Voice) -> Judged:
    """A note that sounds by itself: the tracker decides if it is sure, else the partials."""
    place = take.alignment.places[index]
    start, end = take.span(index)
    stretch = take.pitch[take.frames(start + min(_EDGE, (end - start) / 3), end - 0.012)]
    real = stretch[np.isfinite(stretch)]
    share = _share(take.found.fresh[place], *_entered(voice))
    if len(real) < 2:
        return _by_partials(take, place or 0, voice)
    inside = (real > voice.low - SLACK) & (real < voice.high + SLACK)
    fits = float(inside.mean())
    if fits >= 0.5:
        pitch = _where_it_stands(real[inside], voice)
        return Judged(Verdict.PLAYED, min(1.0, 0.5 + fits / 2), pitch)
    other = float(np.median(real[~inside]))
    return _other(take, place or 0, voice, other, fits, share)


def _other(take: Take, place: int, voice: Voice, other: float, fits: float, share: float) -> Judged:
    """The tracker mostly hears `other`: an octave of it, the note before ringing on, or wrong?"""
    if _octave(other, voice):
        return Judged(Verdict.PLAYED, 0.6, _nearest(voice, other))
    own = _share(take.found.fresh[place], other - 0.3, other + 0.3)
    rings = abs(float(take.found.before[place]) - other) < 0.5
    if share >= RIGHT and (rings or share > own + 0.05):
        return Judged(Verdict.PLAYED, 0.55, _nearest(voice, voice.fretted))
    if own > share:
        return Judged(Verdict.WRONG, min(1.0, 0.5 + (own - share) + (0.5 - fits) / 2), other)
    return Judged(Verdict.CANNOT_TELL, 0.4, other, Unsure.UNCLEAR_PITCH)


def _by_partials(take: Take, place: int, voice: Voice) -> Judged:
    fresh = take.found.fresh[place]
    share = _share(fresh, *_entered(voice))
    top = _top(fresh)
    if share >= RIGHT or _octave(top, voice):
        return Judged(Verdict.PLAYED, share * 0.7, voice.fretted)
    if share < OTHER and take.clicks_at(float(take.found.seconds[place])):
        return Judged(Verdict.MISSED, 0.6, None)  # only the metronome
    if share < OTHER and take.found.strength[place] > 0.5 and abs(top - voice.fretted) < _FARTHEST:
        return Judged(Verdict.WRONG, 0.5 + (OTHER - share) / 2, top)
    return Judged(Verdict.CANNOT_TELL, 0.4, None, Unsure.UNCLEAR_PITCH)


def _among_others(take: Take, place: int, event: Event, voice: Voice) -> Judged:
    """A note of a double stop: are partials there that the others do not share?"""
    own = unshared(take, place, event, voice)
    share, pitch = _instead(take, place, event, voice)
    most, least, further = IN_A_BEND if _in_a_bend(event, voice) else BESIDE
    if own < most and share >= least and share > own + further:
        return Judged(Verdict.WRONG, 0.5 + (share - own) / 2, pitch)
    if own >= 0.5:
        return Judged(Verdict.PLAYED, 0.5 + own / 2, voice.fretted)
    if own >= 0.25:
        return Judged(Verdict.CANNOT_TELL, 0.4, None, Unsure.UNCLEAR_PITCH)
    return Judged(Verdict.MISSED, 1 - own, None)


def _instead(take: Take, place: int, event: Event, voice: Voice) -> tuple[float, float]:
    """The most salient pitch near a note of a double stop that is no other's, and its share."""
    others = [v for v in event.voices if v is not voice]
    if _in_a_bend(event, voice):  # what is bent to it stands elsewhere when both are struck
        taken = [(v.first, v.first) for v in others]
    else:
        taken = [(v.low, v.high) for v in others]
    taken += event.held
    near = [voice.first + step for step in _NEAR if not _shared(voice.first + step, taken)]
    fresh = take.found.fresh[place]
    return max(((_share(fresh, p - 0.3, p + 0.3), p) for p in near), default=(0.0, voice.first))


def _in_a_bend(event: Event, voice: Voice) -> bool:
    """True if another note struck with it is bent to its pitch or through it."""
    others = [(v.low, v.high) for v in event.voices if v is not voice]
    return any(low - 0.6 < voice.first < high + 0.6 for low, high in others)


def _shared(pitch: float, ranges: list[tuple[float, float]]) -> bool:
    """True if a pitch lies in one of the ranges, or among the first partials of one or under it."""
    steps = [0, *_OCTAVES, *(-step for step in _OCTAVES)]
    return any(low - 0.6 < pitch + step < high + 0.6 for low, high in ranges for step in steps)


def unshared(take: Take, place: int, event: Event, voice: Voice) -> float:
    """0 to 1: how salient a note is where the other notes of the event are not."""
    return _share(take.found.fresh[place], *_entered(voice))


def _entered(voice: Voice) -> tuple[float, float]:
    """Range in which a note's first pitch lies: bends may have begun."""
    return voice.first - 0.3, max(voice.first + 0.3, min(voice.high, voice.first + 1.0))


def _share(values: NDArray[np.float64], low: float, high: float) -> float:
    top = float(values.max())
    return at(values, low, high) / top if top > 0 else 0.0


def _top(values: NDArray[np.float64]) -> float:
    from lickwright.hear.salience import pitches  # noqa: PLC0415

    return float(pitches()[int(np.argmax(values))])


def _octave(pitch: float, voice: Voice) -> bool:
    """True if the pitch is a range's octave, octave and fifth, or second octave off."""
    return any(
        voice.low - 0.4 < pitch + sign * step < voice.high + 0.4
        for step in _OCTAVES
        for sign in (-1, 1)
    )


def _where_it_stands(inside: NDArray[np.float64], voice: Voice) -> float:
    """MIDI number where a note stands as struck; of bends and slides the frames near the fret."""
    near = inside[np.abs(inside - voice.first) < 0.6]
    return float(np.median(near)) if len(near) >= 2 else float(np.median(inside))


def _nearest(voice: Voice, pitch: float) -> float:
    return voice.fretted if abs(pitch - voice.fretted) > 6 else pitch


def entry_heard(take: Take, index: int) -> float:
    """0 to 1: how clearly a found event begins."""
    place = take.alignment.places[index]
    assert place is not None
    strength = float(take.found.strength[place])
    if take.events[index].entry in (Entry.LEGATO, Entry.SLIDE):
        return max(strength, 0.8 * bool(take.found.stepped[place]))
    return strength
