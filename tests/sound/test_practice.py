"""Practice audio: what begins where, what is heard there, and how loud it is."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import parselmouth
import pytest
import scipy.signal
from playing import F, heard_midi, level_db, note, phrase

from lickwright.band import BandError, Form, chords_backing, form_backing, phrase_backing
from lickwright.phrase import Bend, ChordAt, Feel, Meter, Release
from lickwright.sound import loop, loudness, true_peak
from lickwright.sound.guitar import ACOUSTIC, CLEAN, OVERDRIVEN
from lickwright.sound.human import EXACT
from lickwright.sound.loop import chord_loop, round_and_round
from lickwright.sound.practice import (
    Placed,
    band_alone,
    echo,
    ladder,
    over_band,
    phrase_over_band,
)
from lickwright.sound.reference import bend_reference, open_strings
from lickwright.sound.track import Begins, Track
from lickwright.theory import parse_chord, parse_key

RATE = 48_000
SHUFFLE = Feel(F(2, 3))
A7 = (ChordAt(F(0), parse_chord("A7")),)


def lick(**more):
    notes = (
        note(0, 1, string=3, fret=7, gestures=(Bend(F(2)),)),
        note(1, F(3, 2), string=2, fret=5),
        note(F(3, 2), 2, string=1, fret=5),
        note(2, 4, string=3, fret=7),
    )
    return phrase(*notes, **({"feel": SHUFFLE, "tempo": F(120), "chords": A7} | more))


def nobody(played):
    """A backing of silence under a phrase: only the count and the lead are heard."""
    return replace(phrase_backing(played), players=())


def check(track: Track) -> None:
    assert abs(loudness(track.samples, RATE) + 16) < 0.3
    assert 20 * np.log10(true_peak(track.samples)) <= -1
    assert track.samples.dtype == np.float32
    assert track.samples.shape[1] == 2
    seconds = [start.seconds for start in track.starts]
    assert seconds == sorted(seconds)
    assert 0 <= seconds[0] < seconds[-1] < len(track.samples) / RATE


def sets_in(track: Track, second: float) -> float:
    """Where, near a second, something sets in after silence."""
    first = max(0, round((second - 0.15) * RATE))
    part = np.abs(track.samples[first : first + round(0.3 * RATE), 0])
    return (first + int(np.argmax(part > 0.1 * part.max()))) / RATE


def test_a_phrase_over_the_band_at_its_tempo():
    track = phrase_over_band(lick())
    check(track)
    assert track.seconds_of(Begins.BAR) == pytest.approx((2.03,))
    assert track.seconds_of(Begins.PASS) == pytest.approx((2.03,))
    assert track.seconds_of(Begins.COUNT_IN) == pytest.approx((0.03,))
    slow = phrase_over_band(lick(), F(60))
    assert slow.seconds_of(Begins.BAR) == pytest.approx((4.03,))
    assert {start.tempo for start in slow.starts} == {60}


def test_the_lead_sets_in_where_the_pass_is_said_to_begin():
    track = phrase_over_band(lick(), F(80), nobody(lick()), human=EXACT)
    begins = track.seconds_of(Begins.PASS)[0]
    assert abs(sets_in(track, begins) - begins) < 0.005


def test_the_lead_stands_a_little_over_the_band():
    with_lead = phrase_over_band(lick())
    alone = phrase_over_band(phrase(tempo=F(120), feel=SHUFFLE, chords=A7))
    # Bring the band to one loudness in both by its count-in, then see what the lead adds.
    count = slice(0, round(1.9 * RATE))
    same = level_db(with_lead.samples[count]) - level_db(alone.samples[count])
    bar = slice(round(2.1 * RATE), round(4.0 * RATE))
    added = level_db(with_lead.samples[bar]) - same - level_db(alone.samples[bar])
    assert 1.5 < added < 7


def test_the_lead_sounds_the_same_under_every_guitar():
    for guitar in (CLEAN, OVERDRIVEN, ACOUSTIC):
        check(phrase_over_band(lick(), guitar=guitar))


def test_a_pickup_leads_into_the_first_bar_of_the_band():
    led = phrase(
        note(3, 4, fret=8), note(4, 8, fret=10), start=F(3), bars=2, tempo=F(120), chords=A7
    )
    track = phrase_over_band(led, human=EXACT)
    assert track.seconds_of(Begins.BAR) == pytest.approx((2.03,))
    assert track.seconds_of(Begins.PASS) == pytest.approx((1.53,))


def test_nothing_is_cut_off_where_there_is_no_count_in():
    led = phrase(note(3, 4, fret=8), note(4, 8), start=F(3), bars=2, tempo=F(120), chords=A7)
    bare = replace(phrase_backing(led), count_in=0)
    track = phrase_over_band(led, None, bare, human=EXACT)
    begins = track.seconds_of(Begins.PASS)[0]
    assert 0.005 < begins < 0.05
    assert abs(sets_in(track, begins) - begins) < 0.005
    assert track.seconds_of(Begins.BAR)[0] == pytest.approx(begins + 0.5)
    assert track.seconds_of(Begins.COUNT_IN) == ()


def test_a_phrase_on_a_bar_of_a_form():
    blues = replace(form_backing(Form.TWELVE_BAR, parse_key("A")), choruses=1, tempo=F(120))
    track = over_band((Placed(lick()), Placed(lick(), 5), Placed(lick(), 9)), blues)
    check(track)
    assert track.seconds_of(Begins.PASS) == pytest.approx((2.03, 10.03, 18.03))
    assert len(track.seconds_of(Begins.BAR)) == 13
    with pytest.raises(BandError, match="wanted a bar from 1 to 13, got 14"):
        over_band((Placed(lick(), 14),), blues)
    with pytest.raises(BandError, match="the phrase t is in 3/4, the band plays 4/4"):
        over_band((Placed(phrase(note(0, 1), meter=Meter(3, 4))),), blues)


def test_the_ladder_counts_in_at_each_tempo():
    tempos = [F(100), F(110), F(120)]
    track = ladder(lick(), tempos, passes=2)
    check(track)
    counts = track.seconds_of(Begins.COUNT_IN)
    bars = [240 / float(tempo) for tempo in tempos]
    assert counts == pytest.approx((0.03, 0.06 + 3 * bars[0], 0.09 + 3 * (bars[0] + bars[1])))
    passes = [start for start in track.starts if start.begins is Begins.PASS]
    assert [start.number for start in passes] == [1, 2, 3, 4, 5, 6]
    assert [start.tempo for start in passes] == [100, 100, 110, 110, 120, 120]
    for index, start in enumerate(passes):
        bar = bars[index // 2]
        assert start.seconds == pytest.approx(counts[index // 2] + bar * (1 + index % 2))


def test_what_the_ladder_says_is_what_is_heard():
    short = phrase(note(0, 1), note(1, 2, fret=7))
    track = ladder(short, [F(100), F(150)], 1, nobody(short), human=EXACT)
    for begins in (Begins.COUNT_IN, Begins.PASS):
        for second in track.seconds_of(begins):
            assert abs(sets_in(track, second) - second) < 0.006


def test_a_ladder_needs_tempos_and_an_end():
    with pytest.raises(BandError, match="wanted 1 to 60 tempos, got 0"):
        ladder(lick(), [])
    with pytest.raises(BandError, match="at most 20 minutes"):
        ladder(lick(), [F(20)] * 60, passes=9)


def test_an_echo_leaves_as_much_room_as_the_phrase_took():
    track = echo(lick(), rounds=3)
    check(track)
    assert track.seconds_of(Begins.PASS) == pytest.approx((2.03, 6.03, 10.03))
    assert track.seconds_of(Begins.YOUR_TURN) == pytest.approx((4.03, 8.03, 12.03))


def test_the_lead_is_silent_when_it_is_the_pupils_turn():
    track = echo(lick(), None, 2, nobody(lick()))
    for played, turn in zip(
        track.seconds_of(Begins.PASS), track.seconds_of(Begins.YOUR_TURN), strict=True
    ):
        lead, room = (
            level_db(track.samples[round((s + 0.9) * RATE) : round((s + 1.9) * RATE)])
            for s in (played, turn)
        )
        assert room < lead - 35


def test_the_band_goes_on_when_it_is_the_pupils_turn():
    track = echo(lick(), rounds=1)
    turn = track.seconds_of(Begins.YOUR_TURN)[0]
    part = track.samples[round(turn * RATE) : round((turn + 2) * RATE)]
    assert loudness(part, RATE) > -26


def test_the_band_alone():
    blues = replace(form_backing(Form.EIGHT_BAR, parse_key("C")), choruses=1, tempo=F(150))
    track = band_alone(blues)
    check(track)
    assert len(track.seconds_of(Begins.BAR)) == 9
    assert track.seconds_of(Begins.BAR)[8] == pytest.approx(1.63 + 8 * 1.6)


@pytest.mark.parametrize("symbol", ["A7", "Dm7"])
@pytest.mark.parametrize(("tempo", "bars"), [(F(97), 2), (F(120), 4)])
def test_a_chord_loop_closes_to_the_sample(symbol, tempo, bars):
    like = replace(chords_backing([parse_chord("C")]), tempo=tempo, feel=SHUFFLE)
    track = chord_loop(parse_chord(symbol), like, bars)
    once = track.samples.astype(np.float64)
    assert len(once) == round(bars * 240 / float(tempo) * RATE)
    twice = np.concatenate((once, once))
    # A click is a jump in the sound or in its slope: no bigger at the seam than elsewhere.
    for order in (1, 2, 3):
        steps = np.abs(np.diff(twice, order, axis=0)).max(axis=1)
        seam = steps[len(once) - 4 : len(once) + 4].max()
        assert seam < np.percentile(steps, 99), order
    assert abs(loudness(np.tile(track.samples, (3, 1)), RATE) + 16) < 0.3
    assert 20 * np.log10(true_peak(np.tile(track.samples, (2, 1)))) <= -1
    assert len(track.seconds_of(Begins.BAR)) == bars


def test_what_rings_on_is_folded_to_the_beginning_and_what_is_early_to_the_end(monkeypatch):
    once = replace(chords_backing([parse_chord("A7")] * 2), tempo=F(120))
    count, origin = 4 * RATE, round(0.03 * RATE)
    sound = np.zeros((origin + count + RATE, 2), np.float32)
    tone = np.sin(np.arange(RATE) * 0.1).astype(np.float32)
    sound[origin + count : origin + count + RATE, 0] = 0.1 * tone  # rings on after the end
    sound[origin - 600 : origin, 1] = 0.1 * tone[:600]  # begins before the beginning
    monkeypatch.setattr(loop, "backing_sound", lambda backing, human: sound)
    made = round_and_round(once).samples
    assert np.corrcoef(made[:RATE, 0], tone)[0, 1] > 0.999
    assert np.corrcoef(made[count - 600 :, 1], tone[:600])[0, 1] > 0.999


def test_a_bend_and_its_target():
    track = bend_reference(lick(), lick().notes[0].id, times=2)
    check(track)
    target, bend = track.seconds_of(Begins.TARGET), track.seconds_of(Begins.BEND)
    assert target == pytest.approx((0.05, 8.05))
    assert bend == pytest.approx((3.05, 11.05))
    mono = track.samples.mean(axis=1)

    def heard(first, last, midi):
        return heard_midi(mono[round(first * RATE) : round(last * RATE)], midi)

    # G string, fret 7 is D4 (62); a whole step up it is E4 (64), fret 9.
    for a, b in zip(target, bend, strict=True):
        plain = heard(a + 0.5, a + 2.3, 64)
        assert abs(plain - 64) < 0.05
        assert abs(heard(b + 0.2, b + 0.9, 62) - 62) < 0.05
        assert abs(heard(b + 1.5, b + 4.2, 64) - plain) < 0.02


def test_a_quarter_bend_has_a_target_between_the_frets():
    bent = phrase(note(0, 2, fret=8, gestures=(Bend(F(1, 2)), Release())))
    track = bend_reference(bent, bent.notes[0].id, times=1)
    mono = track.samples.mean(axis=1)
    assert abs(heard_midi(mono[round(0.5 * RATE) : round(2.3 * RATE)], 63.5) - 63.5) < 0.05


def test_a_slow_bend_stays_slow():
    slow = phrase(note(0, 4, fret=8, gestures=(Bend(F(2), start=F(1), arrive=F(3)),)))
    mono = bend_reference(slow, slow.notes[0].id, times=1).samples.mean(axis=1)
    at = 3.05 + 2
    middle = heard_midi(mono[round((at - 0.05) * RATE) : round((at + 0.05) * RATE)], 64)
    assert middle == pytest.approx(64, abs=0.1)


def test_only_a_bend_has_a_target():
    with pytest.raises(ValueError, match="is no note of t that is bent"):
        bend_reference(lick(), lick().notes[3].id)


def test_open_strings_to_tune_by():
    track = open_strings(times=1)
    check(track)
    starts = [s for s in track.starts if s.begins is Begins.STRING]
    assert [s.number for s in starts] == [6, 5, 4, 3, 2, 1]
    mono = track.samples.mean(axis=1)
    # Standard tuning E2 A2 D3 G3 B3 E4 at A4 = 440 Hz (ISO 16:1975).
    hz = [82.4069, 110.0, 146.8324, 195.9977, 246.9417, 329.6276]
    for start, wanted in zip(starts, hz, strict=True):
        part = mono[round((start.seconds + 1) * RATE) : round((start.seconds + 3.8) * RATE)]
        low = scipy.signal.butter(6, 1.4 * wanted, fs=RATE, output="sos")
        sound = parselmouth.Sound(scipy.signal.sosfiltfilt(low, part.astype(np.float64)), RATE)
        track_hz = sound.to_pitch_ac(None, wanted / 1.3, pitch_ceiling=wanted * 1.3)
        heard = np.median([f for f in track_hz.selected_array["frequency"] if f > 0])
        assert abs(1200 * np.log2(heard / wanted)) < 2
