"""A whole phrase: where things are heard, that it is the same every time, that nothing clips."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest
from playing import F, level_db, note, phrase

from lickwright import sound
from lickwright.phrase import Bend, Clock, Entry, Feel, Meter, Vibrato, perform
from lickwright.sound import render_phrase
from lickwright.sound.click import count_in_beats


def lick():
    return phrase(
        note(0, 1, gestures=(Bend(F(2)),)),
        note(1, F(3, 2), string=2, fret=8),
        note(F(3, 2), 2, string=1, fret=8),
        note(2, 4, string=3, fret=10, gestures=(Vibrato(),)),
        feel=Feel(F(2, 3)),
        tempo=F(90),
    )


def clicks_heard(rendered) -> list[float]:
    """Where sound begins after silence, before the first count."""
    mono = np.abs(rendered.samples[: round(rendered.first_count_seconds * 48000) - 480, 0])
    loud = np.flatnonzero(mono > 0.01)
    gaps = np.flatnonzero(np.diff(loud) > 4800)
    return [loud[0] / 48000, *(loud[gaps + 1] / 48000)]


def test_one_bar_is_counted_in_at_the_tempo():
    heard = render_phrase(lick())
    found = clicks_heard(heard)
    assert len(found) == 4
    assert np.allclose(np.diff([*found, heard.first_count_seconds]), 60 / 90, atol=0.001)


def test_a_pickup_is_counted_in_through_its_own_bar():
    played = phrase(note(3, 4), note(4, 8), start=F(3), bars=2)
    assert count_in_beats(played) == tuple(range(-4, 3))
    heard = render_phrase(played)
    found = clicks_heard(heard)
    assert len(found) == 7
    assert np.allclose(np.diff([*found, heard.first_count_seconds]), 1.0, atol=0.001)


def test_a_pickup_between_beats_is_counted_up_to_it():
    assert count_in_beats(phrase(note(F(7, 2), 4), start=F(7, 2))) == tuple(range(-4, 4))


@pytest.mark.parametrize(
    ("meter", "clicks"), [(Meter(3, 4), 3), (Meter(12, 8), 4), (Meter(6, 8), 2), (Meter(7, 8), 7)]
)
def test_every_beat_of_the_meter_is_clicked(meter, clicks):
    assert len(render_phrase(phrase(note(0, 1), meter=meter)).clicks) == clicks


def test_the_one_of_the_count_in_is_louder_and_higher():
    heard = render_phrase(lick())
    first, second = (heard.samples[round(at * 48000) :][:2400, 0] for at in heard.clicks[:2])
    assert level_db(first) > level_db(second) + 2
    peaks = [np.argmax(np.abs(np.fft.rfft(s))) * 20 for s in (first, second)]
    assert peaks[0] > peaks[1] + 300


@pytest.mark.parametrize("tempo", [F(40), F(90), F(181, 2), F(300)])
@pytest.mark.parametrize("count_in", [True, False])
def test_times_are_those_of_the_performance(tempo, count_in):
    heard = render_phrase(lick(), tempo, count_in=count_in)
    performance = perform(lick(), lick().clock.at_tempo(tempo))
    for there, here in zip(performance.times, heard.times, strict=True):
        assert here.start - there.start == pytest.approx(heard.first_count_seconds)
        assert here.end - there.end == pytest.approx(heard.first_count_seconds)
    assert heard.tempo == tempo
    assert heard.end_seconds - heard.first_count_seconds == pytest.approx(float(4 * 60 / tempo))
    assert len(heard.samples) / 48000 >= heard.end_seconds + 1


def test_what_leads_into_the_first_count_is_not_cut_off():
    played = phrase(note(0, 4, entry=Entry.FROM_BELOW))
    heard = render_phrase(played, count_in=False)
    assert heard.first_count_seconds == pytest.approx(0.1)
    assert heard.times[0].begin == pytest.approx(0.01)
    assert np.max(np.abs(heard.samples[480:960])) > 0.01


def test_the_phrase_sets_in_where_the_first_count_is_said_to_be():
    heard = render_phrase(lick())
    at = round(heard.first_count_seconds * 48000)
    mono = np.abs(heard.samples[:, 0])
    assert mono[at - 4800 : at - 48].max() < 1e-4
    assert mono[at : at + 240].max() > 0.01  # within 5 ms, loudspeaker included


def test_the_same_phrase_gives_the_same_samples():
    np.random.seed(1)
    first = render_phrase(lick())
    np.random.seed(2)
    assert np.array_equal(first.samples, render_phrase(lick()).samples)


def test_shape_and_kind_of_the_samples():
    heard = render_phrase(lick())
    assert heard.samples.dtype == np.float32
    assert heard.samples.ndim == 2
    assert heard.samples.shape[1] == 2
    assert heard.rate == 48000


def test_nothing_clips_even_if_six_strings_are_struck_hard():
    chord = [
        note(0, 4, string=s, fret=f) for s, f in zip(range(1, 7), (3, 3, 4, 5, 5, 3), strict=True)
    ]
    heard = render_phrase(phrase(*chord)).samples
    assert np.all(np.isfinite(heard))
    assert np.abs(heard).max() < 1


def test_the_end_fades_into_silence():
    heard = render_phrase(lick()).samples
    assert np.abs(heard[-48:]).max() < 1e-5
    ends = [level_db(heard[-k - 4800 : len(heard) - k]) for k in (0, 12000, 24000, 36000)]
    assert ends == sorted(ends)


def test_the_room_is_around_the_guitar_and_softer():
    heard = render_phrase(lick()).samples
    middle, sides = heard.mean(axis=1), (heard[:, 0] - heard[:, 1]) / 2
    assert 10 < level_db(middle) - level_db(sides) < 30


def test_a_phrase_without_notes_is_only_counted_in():
    heard = render_phrase(phrase())
    after = heard.samples[round(heard.first_count_seconds * 48000) :]
    assert np.array_equal(after, np.zeros_like(after))


def test_clock_tempo_does_not_change_the_feel():
    slow = render_phrase(lick(), F(45))
    assert slow.times[2].start - slow.times[1].start == pytest.approx(
        Clock(F(45), Feel(F(2, 3))).seconds(F(1, 2))
    )


def test_public_names_of_the_room():
    assert sound.__all__ == [
        "ACOUSTIC",
        "CLEAN",
        "EXACT",
        "GUITARS",
        "HUMAN",
        "OVERDRIVEN",
        "RATE",
        "Amp",
        "AudioFormat",
        "Begins",
        "Body",
        "Guitar",
        "Human",
        "Placed",
        "Rendered",
        "Room",
        "Start",
        "Strings",
        "Tags",
        "Track",
        "backing_pieces",
        "backing_sound",
        "band_alone",
        "band_stem",
        "bend_reference",
        "chord_loop",
        "echo",
        "encode",
        "encode_under_ceiling",
        "ladder",
        "lead_stem",
        "loudness",
        "normalise",
        "open_strings",
        "over_band",
        "phrase_over_band",
        "playing_times",
        "render_phrase",
        "round_and_round",
        "true_peak",
    ]


def test_nothing_slow_is_imported_before_it_is_needed():
    code = "import sys, lickwright.sound; print(*sys.modules)"
    names = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert not {"scipy", "soundfile", "pyloudnorm"} & set(names.stdout.split())
