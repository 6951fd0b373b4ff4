"""Loudness and true peak, measured by pyloudnorm and by an oversampler of the tests' own."""

from __future__ import annotations

import tracemalloc

import numpy as np
import pyloudnorm
import pytest
import scipy.signal
from playing import F, note, phrase

from lickwright.phrase import Bend, Mark
from lickwright.sound import loudness, normalise, render_phrase, true_peak

RATE = 48_000


def peak_dbtp(samples: np.ndarray) -> float:
    """True peak by Fourier resampling to 16 times the rate (the code uses a 4x filter)."""
    fine = scipy.signal.resample(samples.astype(np.float64), 16 * len(samples), axis=0)
    return float(20 * np.log10(np.abs(fine).max()))


def integrated(samples: np.ndarray) -> float:
    return float(pyloudnorm.Meter(RATE).integrated_loudness(samples.astype(np.float64)))


def sine(hz: float, size: float, seconds: float) -> np.ndarray:
    tone = size * np.sin(2 * np.pi * hz * np.arange(round(seconds * RATE)) / RATE + np.pi / 4)
    return np.stack([tone, tone], axis=1).astype(np.float32)


def licks():
    staccato = [note(k, k + 1, string=1 + k % 3, marks={Mark.STACCATO}) for k in range(4)]
    chord = [note(0, 4, string=s, fret=5) for s in range(1, 7)]
    short = [note(0, F(1, 16), marks={Mark.ACCENT})]
    bend = [note(0, 4, gestures=(Bend(F(2)),))]
    return [staccato, chord, short, bend]


@pytest.mark.parametrize("notes", licks(), ids=["staccato", "chord", "one short note", "bend"])
def test_a_phrase_comes_out_at_minus_16_lufs_under_minus_1_dbtp(notes):
    result = normalise(render_phrase(phrase(*notes)).samples, RATE)
    assert abs(integrated(result) + 16) < 0.3
    assert peak_dbtp(result) <= -1
    assert result.dtype == np.float32


def test_loudness_agrees_with_the_standard_tone():
    # Source: EBU Tech 3341, case 1: a stereo 1 kHz sine at -23 dBFS reads -23.0 LUFS, within 0.1.
    assert loudness(sine(1000, 10 ** (-23 / 20), 20), RATE) == pytest.approx(-23.0, abs=0.1)


def test_true_peak_finds_what_lies_between_samples():
    # A sine of a quarter of the rate, 45 degrees on: its samples stay 3.01 dB under its peak.
    tone = sine(RATE / 4, 0.5, 1) * scipy.signal.windows.tukey(RATE, 0.5)[:, np.newaxis]
    tone = tone.astype(np.float32)
    assert 20 * np.log10(np.abs(tone).max()) == pytest.approx(-9.03, abs=0.01)
    assert 20 * np.log10(true_peak(tone)) == pytest.approx(-6.02, abs=0.1)


def test_high_peaks_are_limited_without_a_corner_and_the_loudness_is_kept():
    tone = sine(220, 0.05, 4)
    knock = 0.9 * np.exp(-np.arange(2400) / 120) * np.sin(np.arange(2400) * 0.3)
    for at in (48_000, 96_000, 144_000):
        tone[at : at + 2400] += knock[:, np.newaxis].astype(np.float32)
    result = normalise(tone, RATE)
    assert abs(integrated(result) + 16) < 0.3
    assert peak_dbtp(result) <= -1
    gain = result[60_000:90_000] / np.where(tone[60_000:90_000] == 0, 1, tone[60_000:90_000])
    assert np.ptp(gain[np.abs(tone[60_000:90_000]) > 0.01]) < 1e-3  # untouched between the knocks


def test_a_sound_that_cannot_be_that_loud_keeps_its_peaks_down():
    click = np.zeros((RATE, 2), np.float32)
    click[1000] = 0.5
    result = normalise(click, RATE)
    assert peak_dbtp(result) <= -1
    assert np.all(np.isfinite(result))


def test_silence_and_very_short_sounds():
    silence = np.zeros((1000, 2), np.float32)
    assert np.array_equal(normalise(silence, RATE), silence)
    assert loudness(silence, RATE) == float("-inf")
    assert np.isfinite(loudness(sine(440, 0.1, 0.1), RATE))
    assert normalise(np.zeros((0, 2), np.float32), RATE).shape == (0, 2)


def test_the_input_is_left_alone():
    samples = sine(440, 0.9, 1)
    before = samples.copy()
    normalise(samples, RATE)
    assert np.array_equal(samples, before)


def test_another_loudness_can_be_asked_for():
    result = normalise(sine(440, 0.5, 2), RATE, lufs=-23.0)
    assert integrated(result) == pytest.approx(-23, abs=0.1)


@pytest.mark.parametrize("seconds", [41.0, 60.0, 61.37, 95.05])
def test_a_long_sound_measured_in_pieces_is_as_loud_as_in_one(seconds: float) -> None:
    # Source: pyloudnorm's own measurement of the whole (ITU-R BS.1770-4).
    rng = np.random.default_rng(4)
    count = round(seconds * 48_000)
    shape = np.interp(np.arange(count), np.linspace(0, count, 23), rng.uniform(0.0, 1.0, 23) ** 3)
    sound = (rng.normal(size=(count, 2)) * 0.1 * shape[:, np.newaxis]).astype(np.float32)
    sound[count // 3 : count // 2] = 0
    whole = pyloudnorm.Meter(48_000).integrated_loudness(sound.astype(np.float64))
    assert loudness(sound, 48_000) == pytest.approx(whole, abs=0.01)


def test_ten_minutes_need_little_memory_beyond_the_sound_itself() -> None:
    sound = np.full((600 * 48_000, 2), 0.01, np.float32)
    sound[::7] = -0.02
    tracemalloc.start()
    loudness(sound, 48_000)
    assert tracemalloc.get_traced_memory()[1] < 120 << 20
    tracemalloc.stop()
