"""Are the sounds of the page's player where its times say, and does the band go round?"""

from __future__ import annotations

import io
from fractions import Fraction

import numpy as np
import pyloudnorm
import pytest
import soundfile
from playing import F, note, phrase

from lickwright.band import phrase_backing
from lickwright.phrase import Bend, Clock, perform
from lickwright.sound import RATE, AudioFormat, Begins, Tags, band_stem, encode, lead_stem
from lickwright.sound.stems import AROUND_SECONDS, MARK_SECONDS


def lick(**more):
    return phrase(note(0, 1, fret=5), note(1, 2, string=2, fret=5), note(2, 4, fret=7), **more)


def level(samples: np.ndarray, begin: float, end: float) -> float:
    piece = samples[round(begin * RATE) : round(end * RATE)]
    return float(np.sqrt((piece.astype(float) ** 2).mean()))


@pytest.mark.parametrize("tempos", [(F(60), F(90), F(133)), (F(300),)])
def test_each_pass_begins_where_it_is_said_to(tempos) -> None:
    made = lead_stem(lick(), tempos)
    passes = [start for start in made.starts if start.begins is Begins.PASS]
    assert [start.tempo for start in passes] == list(tempos)
    for start in passes:
        for time in perform(lick(), lick().clock.at_tempo(start.tempo)).times:
            at = start.seconds + time.start
            bright = np.diff(made.samples[:, 0].astype(float), 2)  # the pick, not what rings
            before = level(bright, at - 0.02, at - 0.002)
            assert level(bright, at, at + 0.018) > 1.6 * before, (
                "the stroke is heard at its time and not before"
            )


def test_targets_of_bends_are_heard_where_they_are_said_to_be() -> None:
    bent = phrase(note(0, 2, fret=7, gestures=(Bend(F(2)),)), note(2, 4, fret=5))
    made = lead_stem(bent, (F(90),), (bent.notes[0].id,))
    target = next(start for start in made.starts if start.begins is Begins.TARGET)
    piece = made.samples[round((target.seconds + 0.1) * RATE) :][: RATE // 2, 0]
    spectrum = np.abs(np.fft.rfft(piece * np.hanning(len(piece)), 8 * len(piece)))
    low = 8 * len(piece) * 270 // RATE
    peak = (np.argmax(spectrum[low : 3 * low // 2]) + low) * RATE / (8 * len(piece))
    # equal temperament, A = 440 Hz (ISO 16): string 3 at fret 9 is E4, 329.63 Hz
    assert 1200 * np.log2(peak / 329.63) == pytest.approx(0, abs=10)


def test_a_decoder_finds_the_mark_and_with_it_every_time() -> None:
    made = lead_stem(lick(), (F(90),))
    mp3 = encode(made.samples, made.rate, AudioFormat.MP3, Tags("t", "a", "l", "c", 0))
    decoded, _ = soundfile.read(io.BytesIO(mp3), always_2d=True)
    mark = np.abs(decoded[: RATE // 4, 0]).argmax()
    start = next(s for s in made.starts if s.begins is Begins.PASS)
    shift = mark - round(MARK_SECONDS * RATE)
    at = round(start.seconds * RATE)
    sent = made.samples[at : at + RATE, 0].astype(float)
    lags = range(-200, 201)
    likeness = [float(sent @ decoded[at + shift + lag :, 0][:RATE]) for lag in lags]
    assert abs(lags[int(np.argmax(likeness))]) <= 2, "to the sample, or nearly"


def test_the_band_goes_round_and_stands_where_it_is_said_to() -> None:
    backing = phrase_backing(lick(tempo=F(120)))
    made = band_stem(backing, (F(90), F(120)))
    around = round(AROUND_SECONDS * RATE)
    for start in made.starts:
        begin = round(start.seconds * RATE)
        length = round(4 * 60 / float(start.tempo) * RATE)
        mono = made.samples[:, 0]
        last, after = mono[begin + length - around :][:around], mono[begin + length :][:around]
        assert np.allclose(mono[begin - around : begin], last, atol=1e-4)
        # the limiter may hold one of the two a little lower
        assert np.allclose(mono[begin:][:around], after, atol=0.01)


def test_lead_and_band_together_are_as_loud_as_any_other_track() -> None:
    # Source of the measure: ITU-R BS.1770 as in pyloudnorm
    tempo = Fraction(100)
    lead, band = lead_stem(lick(), (tempo,)), band_stem(phrase_backing(lick()), (tempo,))
    length = round(Clock(tempo).seconds(Fraction(4)) * RATE)
    both = sum(
        each.samples[round(each.starts[0].seconds * RATE) :][:length].astype(float)
        for each in (lead, band)
    )
    assert pyloudnorm.Meter(RATE).integrated_loudness(both) == pytest.approx(-16, abs=1.5)
    assert np.abs(both).max() < 1.0
