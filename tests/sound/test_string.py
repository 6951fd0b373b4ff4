"""The string against its own formula, summed partial by partial in double precision."""

from __future__ import annotations

import numpy as np
import pytest

from lickwright.sound.guitar import RATE
from lickwright.sound.string import Partials, cycles_at, partial_ratios, ring


def string(hz: float) -> Partials:
    count = int(8000 / hz)
    ratio = partial_ratios(count, 6e-5)
    return Partials(ratio, 1 / np.arange(1, count + 1), np.full(count, 2 / hz))


def summed(partials: Partials, cycles: np.ndarray) -> np.ndarray:
    return sum(
        a * np.exp(-d * cycles) * np.sin(2 * np.pi * r * cycles)
        for r, a, d in zip(partials.ratio, partials.amplitude, partials.decay, strict=True)
    )


def error_db(heard: np.ndarray, right: np.ndarray) -> float:
    return 10 * np.log10(np.mean((heard - right) ** 2) / np.mean(right**2))


@pytest.mark.parametrize("hz", [82.4, 246.9, 1046.5])
def test_a_steady_string_is_the_sum_of_its_partials(hz):
    partials = string(hz)
    cycles = np.arange(RATE) * hz / RATE
    assert error_db(ring(partials, np.full(RATE, hz)), summed(partials, cycles)) < -95


@pytest.mark.parametrize("hz", [82.4, 246.9, 1046.5])
def test_a_bent_string_is_the_same_sum_along_its_phase(hz):
    bend = hz * 2 ** (np.clip(np.linspace(-0.5, 1.5, RATE), 0, 1) * 2 / 12)
    partials = string(hz)
    assert error_db(ring(partials, bend), summed(partials, cycles_at(bend))) < -70


def test_cycles_are_the_integral_of_frequency():
    seconds = np.arange(RATE) / RATE
    # A chirp from 100 Hz up by 50 Hz a second has 100·t + 25·t² cycles after t seconds.
    assert np.allclose(cycles_at(100 + 50 * seconds), 100 * seconds + 25 * seconds**2, atol=1e-6)


def test_partials_of_a_string_without_stiffness_are_whole_multiples():
    assert partial_ratios(5, 0.0).tolist() == [1, 2, 3, 4, 5]


def test_stiffness_sharpens_the_upper_partials():
    # Source: Fletcher 1964, f_k = k·f_0·sqrt(1 + B·k²); for B = 1e-4 partial 10 is 8.5 cents sharp
    # of ten times partial 1 (1200·log2(sqrt(1.01 / 1.0001))).
    ratio = partial_ratios(10, 1e-4)
    assert 1200 * np.log2(ratio[9] / 10) == pytest.approx(8.527, abs=0.01)
