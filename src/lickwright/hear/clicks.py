"""Does a metronome click in the microphone, and what would be heard without it?

Clicks are short, they come at strictly equal distances, and they all have the same spectrum. What
a click covers is set back to the level before it; a note that begins with it stands out of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lickwright.hear.strength import STEP, rises

if TYPE_CHECKING:
    from numpy.typing import NDArray

SHORTEST, LONGEST = 0.24, 2.1  # seconds between clicks: 250 to 29 a minute
STRICT = 0.006  # seconds by which a click may seem off
LEAST = 4  # clicks heard by themselves
MOST_OFF = 0.4  # share of the short sounds that may be none of the clicks
PRESENT = 0.7  # share of the places at which a click must be heard
_BEFORE, _AFTER = 5, 30  # steps around a click that are looked at
_GONE = 20  # steps after which a click by itself has died away
_SHORT = 8.0  # dB that a band rises and falls by
_BANDS_TRIED = 3
_FIRSTS = 12  # short sounds from which a pulse is tried
_COVERS = 3.0  # dB that a click lifts a band at least
_TOLERANCE = 5.0  # dB above the usual click within which nothing else is heard


@dataclass(frozen=True, slots=True)
class Pulse:
    """Equal distances: clicks fall on first + n * period, in steps of 4 ms."""

    first: float
    period: float


def without_clicks(
    levels: NDArray[np.float32], rise: NDArray[np.float64]
) -> tuple[NDArray[np.float32], NDArray[np.float64], tuple[float, ...]]:
    """Levels and rises without a metronome's clicks, and the seconds at which it clicks.

    `levels`, `rise`: as in strength. Both come back unchanged, with no clicks, if there is none.
    """
    short, pulse = _clicking(levels)
    if pulse is None:
        return levels, rise, ()
    places = _places(pulse, len(levels))
    shape = _shape(levels, places)
    present = [p for p in places if _is_there(levels, p, shape)]
    if len(present) < max(LEAST, PRESENT * len(_within(places, short))):
        return levels, rise, ()
    cleaned = levels.copy()
    for place in present:
        _take_off(cleaned, place, shape)
    return cleaned, rises(cleaned), tuple(p * STEP for p in present)


def _clicking(levels: NDArray[np.float32]) -> tuple[NDArray[np.float64], Pulse | None]:
    """Steps (with fractions) at which a band rises and at once dies away, and their pulse.

    Of all bands the one is taken whose short sounds come at the most equal distances: a click is
    short in its own band even where a note begins with it.
    """
    count = len(levels)
    none: tuple[NDArray[np.float64], Pulse | None] = (np.zeros(0), None)
    if count < _BEFORE + _GONE + 2:
        return none
    now = levels[_BEFORE : count - _GONE]
    short = (now - levels[: count - _GONE - _BEFORE] > _SHORT) & (
        now - levels[_BEFORE + _GONE :] > _SHORT
    )
    begins = short & ~np.vstack([np.zeros_like(short[:1]), short[:-1]])
    regular = [_regular(begins[:, band]) for band in range(levels.shape[1])]
    strongest = sorted(range(levels.shape[1]), key=lambda b: -regular[b][0])
    for band in strongest[:_BANDS_TRIED]:
        steps = np.flatnonzero(begins[:, band]) + _BEFORE
        if len(steps) >= LEAST:
            found = np.array([_exact(levels[:, band], int(step)) for step in steps])
            pulse = find_pulse(found, regular[band][1])
            if pulse is not None:
                return found, pulse
    return none


def _regular(begins: NDArray[np.bool_]) -> tuple[float, float]:
    """How many pairs of short sounds are equally far apart, by autocorrelation; how far (steps)."""
    if begins.sum() < LEAST:
        return 0.0, 0.0
    size = 1 << (2 * len(begins)).bit_length()
    spread = np.convolve(begins.astype(float), (0.5, 1.0, 0.5), "same")
    auto = np.fft.irfft(np.abs(np.fft.rfft(spread, size)) ** 2, size)
    low, high = round(SHORTEST / STEP), min(round(LONGEST / STEP), len(begins) - 1)
    if high <= low:
        return 0.0, 0.0
    best = low + int(np.argmax(auto[low:high]))
    return float(auto[best] / auto[0] * begins.sum() ** 0.5), float(best)


def _exact(level: NDArray[np.float32], step: int) -> float:
    """Step at which a band's level passes the middle between before and its top (dB)."""
    part = level[max(0, step - _BEFORE) : step + 8]
    middle = (float(part[0]) + float(part.max())) / 2
    at = int(np.argmax(part > middle))
    if at == 0:
        return float(step)
    slope = float(part[at] - part[at - 1])
    return max(0, step - _BEFORE) + at - 1 + (middle - float(part[at - 1])) / max(slope, 1e-6)


def find_pulse(short: NDArray[np.float64], distance: float) -> Pulse | None:
    """The equal distances on which most short sounds fall (steps); None if there are none.

    `distance`: what many of them have (steps); it, its half, third, or double may be the clicks'.
    """
    if len(short) < LEAST:
        return None
    best: tuple[float, Pulse] | None = None
    near = [distance * share for share in (1.0, 0.5, 1 / 3, 2.0)]
    tried = [p for p in _periods(short) if any(abs(p - n) < 2.5 for n in near)]
    for period in tried:
        firsts, periods = _fitted(short, short[:_FIRSTS], period)
        for score, *pulse in zip(_scores(short, firsts, periods), firsts, periods, strict=True):
            if score > 0 and (best is None or score > best[0] + 0.3):
                best = (score, Pulse(*map(float, pulse)))
    return None if best is None else best[1]


def _scores(
    short: NDArray[np.float64], firsts: NDArray[np.float64], periods: NDArray[np.float64]
) -> NDArray[np.float64]:
    """How many places of each pulse have a short sound, fewer if gappy; 0 if it is no metronome."""
    number, off = _numbered(short, firsts, periods)
    on = off * STEP < STRICT
    ordered = np.sort(np.where(on, number, np.inf), axis=1)
    follows = (ordered[:, 1:] != ordered[:, :-1]) & np.isfinite(ordered[:, 1:])
    different = follows.sum(axis=1) + on.any(axis=1)
    last = np.where(on, number, -np.inf).max(axis=1)
    enough = (different >= LEAST) & (on.mean(axis=1) >= 1 - MOST_OFF)
    span = np.where(enough, last - ordered[:, 0] + 1, 1.0)
    return np.where(enough, different * (0.5 + 0.5 * different / span), 0.0)


def _periods(short: NDArray[np.float64]) -> list[float]:
    gaps = {round(float(b - a) / k, 1) for i, a in enumerate(short[:24])
            for b in short[i + 1 : i + 9] for k in (1, 2, 3, 4)}  # fmt: skip
    inside = sorted((g for g in gaps if SHORTEST <= g * STEP <= LONGEST), reverse=True)
    apart: list[float] = []
    for gap in inside:
        if not apart or apart[-1] - gap > 0.4:
            apart.append(gap)
    return apart


def _fitted(
    short: NDArray[np.float64], firsts: NDArray[np.float64], period: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Pulses (first, period) moved to fit what falls near them, from each of `firsts` outwards.

    The straight lines with the least squares. Fewer than `firsts` where nothing fits.
    """
    periods = np.full(len(firsts), period)
    for reach in (4, 16, 1000):
        number, off = _numbered(short, firsts, periods)
        near = (np.abs(number) <= reach) & (off * STEP < 2 * STRICT)
        lowest = np.where(near, number, np.inf).min(axis=1)
        some = np.where(near, number, -np.inf).max(axis=1) > lowest
        number, near = number[some], near[some]
        count = near.sum(axis=1, keepdims=True)
        middle = np.where(near, number, 0).sum(axis=1, keepdims=True) / count
        away = np.where(near, number - middle, 0)
        slope = (away * short).sum(axis=1) / (away**2).sum(axis=1)
        start = (near * short).sum(axis=1) / count[:, 0] - slope * middle[:, 0]
        inside = (slope * STEP >= SHORTEST) & (slope * STEP <= LONGEST)
        firsts, periods = start[inside], slope[inside]
    return firsts, periods


def _numbered(
    short: NDArray[np.float64], firsts: NDArray[np.float64], periods: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The click that each short sound is nearest to and its distance (steps): (pulses, sounds)."""
    away = short - firsts[:, np.newaxis]
    number = np.rint(away / periods[:, np.newaxis])
    return number, np.abs(away - number * periods[:, np.newaxis])


def _places(pulse: Pulse, count: int) -> list[int]:
    start = pulse.first % pulse.period
    places = np.rint(np.arange(start, count - _AFTER - 1, pulse.period)).astype(int)
    return [int(p) for p in places if p > _BEFORE]


def _within(places: list[int], short: NDArray[np.float64]) -> list[int]:
    """Places between the first and the last short sound."""
    return [p for p in places if short.min() - 3 < p < short.max() + 3]


def _shape(levels: NDArray[np.float32], places: list[int]) -> NDArray[np.float32]:
    """Level of the usual click by step and band, -inf where it covers nothing."""
    stacked = np.stack([levels[p - _BEFORE : p + _AFTER] for p in places])
    usual = np.percentile(stacked, 30, axis=0)
    wide = usual.copy()
    wide[1:] = np.maximum(wide[1:], usual[:-1])
    wide[:-1] = np.maximum(wide[:-1], usual[1:])
    return np.where(wide - usual[0] > _COVERS, wide, -np.inf).astype(np.float32)


def _is_there(levels: NDArray[np.float32], place: int, shape: NDArray[np.float32]) -> bool:
    """True if the click's own bands rise at a place, or are above the click anyway."""
    part = levels[place - _BEFORE : place + _AFTER]
    covered = np.isfinite(shape)
    if not covered.any():
        return False
    low = float(shape[covered].min())
    peak = int(np.argmax(np.where(covered, shape - low, 0).sum(axis=1)))
    bands = np.isfinite(shape[peak])
    if bands.sum() < 3:
        return False
    reached = part[peak, bands] > shape[peak, bands] - 6
    return bool(reached.mean() > 0.7)


def _take_off(levels: NDArray[np.float32], place: int, shape: NDArray[np.float32]) -> None:
    """Set what a click covers back to the level before it, or to what a note has after it."""
    part = levels[place - _BEFORE : place + _AFTER]
    covered = part < shape + _TOLERANCE
    before, after = part[0], levels[min(place + _AFTER, len(levels) - 1)]
    steps = np.arange(len(part))[:, None] > _BEFORE + 1
    stays = np.where(steps & (after > before + 3), after, before)
    part[covered] = np.minimum(part, np.broadcast_to(stays, part.shape))[covered]
