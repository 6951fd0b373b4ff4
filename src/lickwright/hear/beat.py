"""Which beat does the pupil keep? A line, slightly bent, from written to played seconds.

The line is found by the best pair of notes, then by regression with Tukey's bisquare weights
(Beaton & Tukey 1974); the bend is held back by a weak ridge.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

CAP = 0.06  # seconds: no note counts as further off than this while pairs are compared
WIDE = 0.08  # seconds: a note this far off has no weight
RIDGE = 0.006
_SLOWEST, _QUICKEST = 0.35, 2.2  # times the written tempo
_PAIRS = 4000


@dataclass(frozen=True, slots=True)
class Beat:
    """Played seconds = start + pace * written + bow * written * (written - span).

    `pace`: played seconds a written second, on average. `span`: written seconds of the phrase.
    `certain`: enough notes lie on it.
    """

    start: float
    pace: float
    bow: float
    span: float
    certain: bool

    def seconds(self, written: float) -> float:
        """Seconds of the take at which what is written at `written` seconds is due."""
        return self.start + self.pace * written + self.bow * written * (written - self.span)

    def pace_at(self, written: float) -> float:
        """Played seconds a written second just there."""
        return self.pace + self.bow * (2 * written - self.span)

    @property
    def drift(self) -> float:
        """Percent by which the end is quicker than the beginning."""
        return (self.pace_at(0.0) / max(self.pace_at(self.span), 1e-3) - 1) * 100


def fit_beat(
    written: NDArray[np.float64],
    played: NDArray[np.float64],
    weights: NDArray[np.float64],
    span: float,
) -> Beat | None:
    """Fit a beat to onsets (seconds) with weights 0 to 1; None if there are fewer than two."""
    if len(written) < 2 or np.ptp(written) <= 0:
        return None
    line = _best_pair(written, played, weights)
    if line is None:
        return None
    start, pace = line
    coefficients = np.array([start, pace, 0.0])
    columns = np.stack([np.ones_like(written), written, written * (written - span)], axis=1)
    for _ in range(12):
        away = played - columns @ coefficients
        near = np.maximum(0, 1 - (away / _width(away, weights)) ** 2) ** 2 * weights
        coefficients = _solve(columns, played, near, span)
    away = np.abs(played - columns @ coefficients)
    within = float(weights[away < 0.04].sum() / max(weights.sum(), 1e-9))
    certain = len(written) >= 6 and within >= 2 / 3
    start, pace, bow = (float(c) for c in coefficients)
    return Beat(start, pace, bow, span, certain)


def _width(away: NDArray[np.float64], weights: NDArray[np.float64]) -> float:
    """Bisquare width: 6 times the usual distance, but between 45 and 80 ms."""
    usual = float(np.median(np.abs(away[weights > 0.3]))) if (weights > 0.3).any() else WIDE
    return float(np.clip(6 * usual, 0.045, WIDE))


def _solve(
    columns: NDArray[np.float64],
    played: NDArray[np.float64],
    near: NDArray[np.float64],
    span: float,
) -> NDArray[np.float64]:
    normal = columns.T @ (columns * near[:, None])
    # The ridge stands for notes that lie half as many as the real ones on the straight line.
    size = (span**2 / 4) ** 2
    normal[2, 2] += RIDGE * size * max(len(played), 6)
    normal += np.eye(3) * 1e-9
    return np.asarray(np.linalg.solve(normal, columns.T @ (near * played)))


def _best_pair(
    written: NDArray[np.float64], played: NDArray[np.float64], weights: NDArray[np.float64]
) -> tuple[float, float] | None:
    pairs = np.array(list(combinations(range(len(written)), 2))[:200_000])
    if len(pairs) > _PAIRS:
        pairs = pairs[:: len(pairs) // _PAIRS + 1]
    first, second = pairs.T
    gap = written[second] - written[first]
    wide = gap > max(0.3 * np.ptp(written), 1e-6)
    first, second, gap = first[wide], second[wide], gap[wide]
    pace = (played[second] - played[first]) / gap
    sane = (pace > _SLOWEST) & (pace < _QUICKEST)
    if not sane.any():
        return None
    first, pace = first[sane], pace[sane]
    start = played[first] - pace * written[first]
    away = np.abs(played[None, :] - start[:, None] - pace[:, None] * written[None, :])
    cost = (np.minimum(away, CAP) * weights).sum(axis=1)
    best = int(np.argmin(cost))
    return float(start[best]), float(pace[best])
