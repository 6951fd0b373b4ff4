"""Amplifier, cabinet and filters against general-purpose ones."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import scipy.signal

from lickwright.sound.amp import _CABINET, amplify
from lickwright.sound.filters import Passing, convolve, drawn
from lickwright.sound.guitar import CLEAN, RATE
from lickwright.sound.rhythm import RHYTHM_AMP, rhythm_note
from lickwright.sound.room import in_room

SECONDS = np.arange(RATE) / RATE


def sine(hz: float, size: float = 0.5) -> np.ndarray:
    return (size * np.sin(2 * np.pi * hz * SECONDS)).astype(np.float32)


def test_convolve_agrees_with_scipy():
    dice = np.random.default_rng(3)
    sound = dice.standard_normal(50_000).astype(np.float32)
    answer = dice.standard_normal(3_000).astype(np.float32)
    right = scipy.signal.fftconvolve(sound, answer)[: len(sound)]
    assert np.abs(convolve(sound, answer) - right).max() < 1e-3 * np.abs(right).max()


def test_filters_passed_piece_by_piece_agree_with_scipy_on_the_whole():
    # Pieces shorter and longer than what rings on and than a block, one empty, one silent.
    dice = np.random.default_rng(4)
    sound = dice.standard_normal(30_000).astype(np.float32)
    sound[20_000:24_000] = 0
    answers = dice.standard_normal((2, 3_000)).astype(np.float32)
    passing, at, heard = Passing(answers, 8_192), 0, []
    for end in (5, 2_000, 12_000, 12_000, 20_000, 24_000, 30_000):
        heard.append(passing.through(sound[at:end]))
        at = end
    together = np.concatenate(heard, axis=1)
    for side, answer in zip(together, answers, strict=True):
        right = scipy.signal.oaconvolve(sound, answer)[: len(sound)]
        assert np.abs(side - right).max() < 1e-3 * np.abs(right).max()


@pytest.mark.parametrize(("hz", "db"), [(2600.0, 4.0), (5600.0, -10.0), (9000.0, -36.0)])
def test_cabinet_has_the_drawn_response(hz, db):
    response = drawn(_CABINET, 1024)
    _, gain = scipy.signal.freqz(response, worN=[hz], fs=RATE)
    assert 20 * np.log10(abs(gain[0])) == pytest.approx(db, abs=1.0)


def test_cabinet_is_minimum_phase():
    # Of all filters with one magnitude the minimum-phase one has its energy soonest.
    response = drawn(_CABINET, 1024).astype(np.float64)
    assert np.sum(response[:240] ** 2) > 0.97 * np.sum(response**2)


def test_blocks_leave_no_seam():
    # A steady tone must come out steady: nothing but its harmonics, block after block.
    out = amplify(sine(440.0), CLEAN.amp)[RATE // 2 :]
    spectrum = np.abs(np.fft.rfft(out * np.blackman(len(out)))) ** 2
    hz = np.fft.rfftfreq(len(out), 1 / RATE)
    near = np.abs(hz / 440 - np.round(hz / 440)) * 440 < 12
    assert 10 * np.log10(spectrum[~near].sum() / spectrum.sum()) < -75


def test_the_curve_folds_almost_nothing_back():
    hard = replace(CLEAN.amp, drive=4.0, curve_rate=4.0)
    out = amplify(sine(3110.0), hard)[RATE // 4 :]
    spectrum = np.abs(np.fft.rfft(out * np.blackman(len(out)))) ** 2
    hz = np.fft.rfftfreq(len(out), 1 / RATE)
    near = np.abs(hz / 3110 - np.round(hz / 3110)) * 3110 < 20
    assert 10 * np.log10(spectrum[~near].sum() / spectrum.sum()) < -60


def test_the_clean_voice_is_nearly_clean():
    out = amplify(sine(220.0, 0.2), CLEAN.amp)[RATE // 2 :]
    spectrum = np.abs(np.fft.rfft(out * np.hanning(len(out))))
    size = [spectrum[round(220 * k * len(out) / RATE)] for k in (1, 2, 3)]
    assert 20 * np.log10(size[1] / size[0]) < -20
    assert 20 * np.log10(size[2] / size[0]) < -30


def test_half_the_rate_is_enough_for_the_rhythm_guitar():
    # Five strings, struck hard together.
    notes = [rhythm_note(6 - n, midi, 1.0, 1.0, 0) for n, midi in enumerate((45, 52, 57, 61, 64))]
    chord = sum(note[:RATE] for note in notes)
    fine = amplify(chord, replace(RHYTHM_AMP, curve_rate=4.0))
    error = amplify(chord, RHYTHM_AMP) - fine
    assert 10 * np.log10(np.sum(error**2) / np.sum(fine**2)) < -90


def test_silence_stays_silence():
    silence = np.zeros(30_000, np.float32)
    assert not np.any(amplify(silence, CLEAN.amp))
    assert not np.any(in_room(silence, CLEAN.room))


def test_the_room_dies_away_at_its_time():
    # RT60 by Schroeder's backward integration (ISO 3382-1), from -5 to -25 dB.
    knock = np.zeros(RATE, np.float32)
    knock[0] = 1
    answer = in_room(knock, CLEAN.room)[500:, 0].astype(np.float64)
    fall = 10 * np.log10(np.cumsum(answer[::-1] ** 2)[::-1] + 1e-30)
    fall -= fall[0]
    first, last = np.argmax(fall < -5), np.argmax(fall < -25)
    assert 3 * (last - first) / RATE == pytest.approx(CLEAN.room.seconds, rel=0.3)
