"""How does a string ring on after one stroke, whatever its pitch does meanwhile?

All partials share one phase u (cycles of the fundamental): s(u) = Σ a·exp(-d·u)·sin(2π·r·u),
r = k·sqrt((1 + B·k²) / (1 + B)). A bend, slide or vibrato only changes how fast u runs. Blocks of
s are one matrix product; where the pitch moves, s is made on an even grid of u and read at u(t).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from lickwright.sound.guitar import RATE

if TYPE_CHECKING:
    from numpy.typing import NDArray

_BLOCK = 256
_FINER = 1.5  # grid points of u a sample where the pitch is highest
_PAD = 4  # grid points before u = 0 and after the end, for the reading


@dataclass(frozen=True, slots=True)
class Partials:
    """The partials of one stroke, each array of shape (partials,).

    `ratio`: frequency over the fundamental's. `amplitude`: at the stroke. `decay`: nepers lost a
    cycle of the fundamental.
    """

    ratio: NDArray[np.float64]
    amplitude: NDArray[np.float64]
    decay: NDArray[np.float64]


def partial_ratios(count: int, stiffness: float) -> NDArray[np.float64]:
    """Frequencies of the first `count` partials over the first's, for inharmonicity B.

    Source: Fletcher 1964, f_k = k·f_0·sqrt(1 + B·k²).
    """
    k = np.arange(1, count + 1, dtype=np.float64)
    return k * np.sqrt((1 + stiffness * k * k) / (1 + stiffness))


def cycles_at(hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """Cycles since the first sample, at each sample of a frequency given in Hz."""
    steps = (hz[1:] + hz[:-1]) / (2 * RATE)
    return np.concatenate(([0.0], np.cumsum(steps)))


def ring(partials: Partials, hz: NDArray[np.float64]) -> NDArray[np.float32]:
    """Sound of a stroke at sample 0 on a string whose fundamental is `hz` (Hz at each sample)."""
    highest = float(np.max(hz))
    if float(np.min(hz)) == highest:
        return ring_steady(partials, highest, len(hz))
    cycles = cycles_at(hz)
    step = highest / (RATE * _FINER)
    count = ceil(cycles[-1] / step) + 1 + _PAD
    grid = np.concatenate((np.zeros(_PAD, np.float32), _on_grid(partials, step, count)))
    return _read(grid, cycles / step + _PAD)


def ring_steady(partials: Partials, hz: float, count: int) -> NDArray[np.float32]:
    """The same for `count` samples of a fundamental that stays at `hz`."""
    return _on_grid(partials, hz / RATE, count)


def _on_grid(partials: Partials, step: float, count: int) -> NDArray[np.float32]:
    """s(u) at `count` points, `step` cycles apart, from u = 0."""
    begins = _waves(partials, _BLOCK * step, ceil(count / _BLOCK))
    begins *= -1j * partials.amplitude
    inside = np.conj(_waves(partials, step, _BLOCK))
    # Re Σ b·c = Σ (Re b·Re c + Im b·Im c*): real rows of twice the length.
    left, right = (waves.astype(np.complex64).view(np.float32) for waves in (begins, inside))
    return (left @ right.T).ravel()[:count]


def _waves(partials: Partials, step: float, count: int) -> NDArray[np.complex128]:
    """exp((2πi·r - d)·u) at u = 0, `step`, 2·`step` …, shape (count, partials).

    All that is known, once more as far away as it reaches: one product instead of an exponential.
    """
    waves = np.ones((count, len(partials.ratio)), np.complex128)
    known = 1
    while known < count:
        away = known * step
        turn = np.exp(2j * np.pi * (partials.ratio * away % 1.0) - partials.decay * away)
        more = waves[known : 2 * known]
        np.multiply(waves[: len(more)], turn, out=more)
        known *= 2
    return waves


def _read(grid: NDArray[np.float32], places: NDArray[np.float64]) -> NDArray[np.float32]:
    """Values between grid points: Lagrange interpolation through six of them."""
    whole = np.floor(places).astype(np.int64)
    x = (places - whole).astype(np.float32)
    nodes = range(-2, 4)
    total = np.zeros(len(places), np.float32)
    for node in nodes:
        weight = np.ones_like(x)
        for other in nodes:
            if other != node:
                weight *= (x - other) / np.float32(node - other)
        total += weight * grid[whole + node]
    return total
