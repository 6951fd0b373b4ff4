"""The band as sound: where things are heard, in pieces as whole, how loud, how much memory."""

from __future__ import annotations

import tracemalloc
from dataclasses import replace

import numpy as np
import pytest
import scipy.signal
from playing import F, level_db

from lickwright.band import (
    PLAYERS,
    BandError,
    Drum,
    Form,
    Keyboard,
    Player,
    chords_backing,
    form_backing,
    play,
)
from lickwright.phrase import Feel, Meter
from lickwright.sound import backing, loudness, normalise
from lickwright.sound.backing import backing_pieces, backing_sound, first_bar_seconds
from lickwright.sound.human import EXACT, HUMAN, Human
from lickwright.theory import NO_CHORD, parse_chord, parse_key

RATE = 48_000
SHUFFLE = Feel(F(2, 3))


def short(**more):
    plain = form_backing(Form.TWELVE_BAR, parse_key("A"))
    return replace(plain, **({"feel": SHUFFLE, "tempo": F(120), "choruses": 1} | more))


@pytest.fixture(scope="module")
def chorus() -> np.ndarray:
    return backing_sound(short())


def rises(sound: np.ndarray, low_hz: float, gap: float = 0.06) -> list[float]:
    """Seconds where the sound above `low_hz` sets in anew."""
    high = scipy.signal.butter(4, low_hz, "high", fs=RATE, output="sos")
    size = np.abs(scipy.signal.sosfilt(high, sound.mean(axis=1)))
    level = scipy.signal.lfilter([0.01], [1, -0.99], size)
    before = np.concatenate((np.full(480, 1e-4), level[:-480]))
    fresh = np.flatnonzero((size > 6 * np.maximum(before, 1e-4)) & (size > 0.006))
    found = [fresh[0]]
    for at in fresh[1:]:
        if at - found[-1] > gap * RATE:
            found.append(at)
    return [at / RATE for at in found]


@pytest.mark.parametrize("percent", [F(1, 2), F(3, 5), F(2, 3), F(3, 4)])
def test_the_swing_is_heard_at_its_ratio_within_two_milliseconds(percent):
    drums = short(feel=Feel(percent), players=(Player.DRUMS,), count_in=0, tempo=F(90))
    heard = np.array(rises(backing_sound(drums, EXACT)[: 8 * RATE], 6000))
    events = [e for e in play(drums) if e.sound is Drum.CLOSED_HAT]
    offs = [e.onset for e in events if e.onset % 1 == F(1, 2)][:8]
    assert len(offs) == 8
    for onset in offs:
        wanted = first_bar_seconds(drums) + float(onset - F(1, 2) + percent) * 60 / 90
        assert np.abs(heard - wanted).min() < 0.002


@pytest.mark.parametrize("tempo", [F(20), F(100), F(300)])
def test_the_count_in_is_heard_on_the_beats(tempo):
    counted = chords_backing([NO_CHORD])
    counted = replace(counted, tempo=tempo, choruses=1, ending=False, players=(), count_in=1)
    heard = rises(backing_sound(counted, EXACT), 1000)
    assert np.allclose(heard, 0.03 + np.arange(4) * 60 / float(tempo), atol=0.002)


def test_the_tempo_is_held_over_a_hundred_and_twenty_bars():
    long = short(choruses=10, tempo=F(240), players=(Player.DRUMS,), feel=Feel(), ending=True)
    sound = backing_sound(long, EXACT)
    last = first_bar_seconds(long) + 120 * 1.0  # four beats at 240 last a second
    heard = np.array(rises(sound[round((last - 0.2) * RATE) :], 3000))
    assert abs(heard[np.argmin(np.abs(heard - 0.2))] - 0.2) < 0.002


def test_it_is_the_same_in_pieces_of_any_length(monkeypatch, chorus):
    for seconds in (0.1, 0.7, 2.0, 3.7):
        monkeypatch.setattr(backing, "PIECE", round(seconds * RATE))
        other = backing_sound(short())
        assert other.shape == chorus.shape
        assert level_db(other - chorus) - level_db(chorus) < -60


def test_the_same_backing_gives_the_same_samples(chorus):
    np.random.seed(1)
    assert np.array_equal(backing_sound(short()), chorus)


def test_however_long_it_is_little_is_held_in_memory():
    steady = replace(chords_backing([parse_chord("E7")]), tempo=F(300), players=(Player.BASS,))

    def peak(choruses: int) -> int:
        tracemalloc.start()
        for piece in backing_pieces(replace(steady, choruses=choruses)):
            assert piece.dtype == np.float32
        most = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return most

    peak(32)  # fills what is kept of single notes
    assert peak(192) < 1.1 * peak(32)
    assert peak(32) < 100e6


def test_two_hundred_choruses_are_refused_as_one_sound_but_can_be_had_in_pieces():
    endless = short(choruses=200, tempo=F(60))
    with pytest.raises(BandError, match="at most 20 minutes of backing in one file, got 160") as no:
        backing_sound(endless)
    assert no.value.mend == "choruses: 24"
    first = next(iter(backing_pieces(endless)))
    assert first.shape == (backing.PIECE, 2)


@pytest.mark.parametrize("meter", [Meter(4, 4), Meter(7, 8), Meter(12, 8), Meter(3, 4)], ids=str)
def test_a_backing_comes_out_at_minus_16_lufs_under_minus_1_dbtp(meter):
    made = form_backing(Form.EIGHT_BAR, parse_key("G"), meter)
    made = replace(made, choruses=1, tempo=F(100), keyboard=Keyboard.ELECTRIC_PIANO)
    result = normalise(backing_sound(made), RATE)
    assert abs(loudness(result, RATE) + 16) < 0.3
    fine = scipy.signal.resample_poly(result.astype(np.float64), 8, 1, axis=0)
    assert 20 * np.log10(np.abs(fine).max()) <= -1


def test_no_player_hides_the_others():
    # Common practice, no source: none of four parts more than 8 LU over another.
    found = [loudness(backing_sound(short(players=(p,), count_in=0)), RATE) for p in PLAYERS]
    assert max(found) - min(found) < 8, found


def test_the_mix_is_neither_boomy_nor_dull(chorus):
    # A trial mix was bass-heavy: 2 to 4 kHz lay 14 dB under the loudest octave and more.
    power = np.abs(np.fft.rfft(chorus.mean(axis=1))) ** 2
    hz = np.fft.rfftfreq(len(chorus), 1 / RATE)
    octave = [
        10 * np.log10(power[(hz >= f) & (hz < 2 * f)].sum()) for f in 31.25 * 2 ** np.arange(9)
    ]
    against = np.array(octave) - max(octave)
    assert against[0] < -6  # 31 to 63 Hz
    assert against[6] > -14  # 2 to 4 kHz
    assert against[5] > -10  # 1 to 2 kHz


def test_a_band_of_nobody_is_silent_but_for_the_count():
    sound = backing_sound(short(players=()))
    begin = round(first_bar_seconds(short()) * RATE) + RATE
    assert np.abs(sound[:begin]).max() > 0.05
    assert np.abs(sound[begin:]).max() < 1e-6


def test_it_ends_in_silence_and_nothing_is_wrong_with_it(chorus):
    assert np.all(np.isfinite(chorus))
    assert np.abs(chorus[-240:]).max() < 1e-3
    assert chorus.shape[1] == 2
    assert abs(float(chorus.mean())) < 3e-3


def test_human_players_stray_a_little_and_always_alike():
    late = [HUMAN.late("bass", F(k)) for k in range(2000)]
    assert late == [HUMAN.late("bass", F(k)) for k in range(2000)]
    assert np.std(late) == pytest.approx(0.004, rel=0.06)
    assert max(map(abs, late)) <= 0.012
    assert abs(np.mean(late)) < 0.0004
    assert late != [Human(seed=1).late("bass", F(k)) for k in range(2000)]
    assert EXACT.late("bass", F(1)) == 0
    assert EXACT.stronger("bass", F(1)) == 1
    strong = [HUMAN.stronger("kick", F(k)) for k in range(2000)]
    assert np.std(strong) == pytest.approx(0.07, rel=0.06)


def test_human_feel_can_be_switched_off(chorus):
    exact = backing_sound(short(), EXACT)
    assert exact.shape == chorus.shape
    assert level_db(exact - chorus) > level_db(chorus) - 30


@pytest.mark.parametrize("keyboard", list(Keyboard))
@pytest.mark.parametrize("symbol", ["C13", "F#m7b5", "Eb/G", "B7#9", "Csus2"])
def test_any_chord_sounds(keyboard, symbol):
    made = replace(chords_backing([parse_chord(symbol)]), choruses=1, keyboard=keyboard)
    sound = backing_sound(replace(made, ending=False, tempo=F(200)))
    assert 0.05 < np.abs(sound).max() < 4
