"""Does the guitar sound at the pitch of the curve, to an ear that knows nothing of it?"""

from __future__ import annotations

import numpy as np
import pytest
from playing import F, dry, fundamental_only, heard_midi, note, part, phrase, stretch

from lickwright.phrase import (
    STANDARD,
    Bend,
    Entry,
    Link,
    LinkKind,
    Release,
    Stroke,
    Vibrato,
    perform,
    run_curve,
)
from lickwright.sound import CLEAN, render_phrase
from lickwright.sound.layers import run_layers
from lickwright.sound.voice import stroke_partials

CASES = [
    (6, 0, 40),
    (6, 12, 52),
    (5, 0, 45),
    (4, 2, 52),
    (3, 0, 55),
    (2, 5, 64),
    (1, 8, 72),
    (1, 17, 81),
]


def predicted_stretch(played, midi: float) -> float:
    run = perform(phrase(played)).runs[0]
    layer = run_layers(run, None)[0]
    hz = np.full(10, 440 * 2 ** ((midi - 69) / 12))
    partials = stroke_partials(layer, hz, CLEAN.strings, STANDARD, 0)
    half = partials.amplitude * np.exp(-partials.decay * hz[0] * 1.0)  # one second after the stroke
    return stretch(partials.ratio, half)


# Source of the MIDI numbers: standard tuning E2 A2 D3 G3 B3 E4 = 40 45 50 55 59 64, a fret each
# a semitone; A4 = 440 Hz is ISO 16:1975.
@pytest.mark.parametrize(("string", "fret", "midi"), CASES)
def test_fundamental_of_a_steady_note_is_within_a_cent(string, fret, midi):
    sound = part(dry(note(0, 4, string=string, fret=fret)), 0.2, 2.0)
    heard = heard_midi(fundamental_only(sound, midi), midi)
    assert abs(heard - midi) * 100 < 1


@pytest.mark.parametrize(("string", "fret", "midi"), CASES)
def test_whole_steady_note_is_within_a_cent_of_the_stretched_pitch(string, fret, midi):
    played = note(0, 4, string=string, fret=fret)
    heard = heard_midi(part(dry(played), 0.5, 1.5), midi)
    assert abs((heard - midi) * 100 - predicted_stretch(played, midi)) < 1


@pytest.mark.parametrize("semitones", [F(1, 2), F(1), F(3, 2), F(2), F(3)])
@pytest.mark.parametrize("string", [2, 3])
def test_a_bend_sounds_at_its_target_within_two_cents(semitones, string):
    fretted = STANDARD.midi(string, 10)
    sound = part(dry(note(0, 4, string=string, gestures=(Bend(semitones),))), 0.3, 2.0)
    target = fretted + float(semitones)
    assert abs(heard_midi(sound, target) - target) * 100 < 2


def test_bend_and_fret_it_aims_for_sound_alike():
    bent = part(dry(note(0, 4, gestures=(Bend(F(2)),))), 0.3, 2)
    fretted = part(dry(note(0, 4, fret=12)), 0.3, 2)
    assert abs(heard_midi(bent, 67) - heard_midi(fretted, 67)) * 100 < 1


def test_a_release_comes_back_and_a_pre_bend_starts_bent():
    sound = dry(note(0, 4, gestures=(Bend(F(2), struck_bent=True), Release(start=F(2)))))
    assert abs(heard_midi(part(sound, 0.05, 1.9), 67) - 67) * 100 < 2
    assert abs(heard_midi(part(sound, 2.2, 3.8), 65) - 65) * 100 < 2


def test_a_slow_bend_is_on_the_curve_all_the_way():
    bent = note(0, 4, gestures=(Bend(F(2), start=F(1), arrive=F(3)),))
    performance = perform(phrase(bent))
    curve = run_curve(performance, performance.runs[0])
    assert curve is not None
    sound = dry(bent)
    for second in (1.25, 1.5, 2.0, 2.5, 2.75):
        wanted = float(curve.at(np.array(second)))
        # Praat's window spans tens of milliseconds, so it is centred on the moment asked for.
        assert abs(heard_midi(part(sound, second - 0.05, second + 0.05), wanted) - wanted) < 0.03


@pytest.mark.parametrize(("second", "midi"), [(0.5, 65), (1.5, 67), (2.5, 65), (3.5, 72)])
def test_hammer_on_pull_off_and_tap(second, midi):
    sound = dry(
        note(0, 1),
        note(1, 2, fret=12, link=Link(LinkKind.HAMMER)),
        note(2, 3, fret=10, link=Link(LinkKind.PULL)),
        note(3, 4, fret=17, link=Link(LinkKind.TAP)),
    )
    assert abs(heard_midi(part(sound, second - 0.4, second + 0.4), midi) - midi) * 100 < 2


def test_slide_in_arrives():
    sound = dry(note(1, 4, entry=Entry.FROM_BELOW))
    assert abs(heard_midi(part(sound, 1.05, 3), 65) - 65) * 100 < 2


def test_slide_between_notes_arrives_on_the_count():
    sound = dry(note(0, 2), note(2, 4, fret=14, link=Link(LinkKind.SLIDE_UP)))
    assert abs(heard_midi(part(sound, 0.1, 1.85), 65) - 65) * 100 < 2
    assert abs(heard_midi(part(sound, 2.03, 3.9), 69) - 69) * 100 < 2


def test_mean_of_a_vibrato_is_half_its_depth_above():
    sound = dry(note(0, 4, gestures=(Vibrato(start=F(1)),)))
    heard = heard_midi(part(sound, 1, 3.8), 65.175)
    assert abs(heard - 65.175) < 0.05


# Source: partial n of the open G (MIDI 55) is 12·log2(n) semitones above it.
@pytest.mark.parametrize(("fret", "number"), [(12, 2), (7, 3), (5, 4)])
def test_a_natural_harmonic_sounds_its_partial_and_nothing_below(fret, number):
    midi = 55 + 12 * np.log2(number)
    sound = part(dry(note(0, 4, fret=fret, harmonic=True)), 0.2, 2.2)
    assert abs(heard_midi(sound, midi) - midi) * 100 < 2
    spectrum = np.abs(np.fft.rfft(sound * np.hanning(len(sound))))
    hz = np.fft.rfftfreq(len(sound), 1 / 48000)
    open_hz = 440 * 2 ** ((55 - 69) / 12)
    size = [spectrum[np.abs(hz - k * open_hz) < 5].max() for k in range(1, 2 * number + 1)]
    nodes = [size[number - 1], size[2 * number - 1]]
    others = [s for k, s in enumerate(size, 1) if k % number]
    assert max(others) < max(nodes) / 1000


def test_a_finger_picked_note_through_amp_and_room_stays_in_tune():
    played = phrase(note(0, 4, string=1, fret=5, stroke=Stroke.INDEX))
    heard = render_phrase(played, count_in=False)
    sound = heard.samples[24000:96000, 0]
    assert abs(heard_midi(sound, 69) - 69) * 100 < 1
