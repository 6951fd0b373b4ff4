"""How strokes, fingers, palms and muted strings compare, and when they sound."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from playing import LEAD, F, dry, level_db, note, onsets, part, phrase

from lickwright.phrase import (
    Entry,
    Link,
    LinkKind,
    Mark,
    SlideOff,
    Stroke,
    Timing,
    Trill,
    perform,
    run_curve,
)
from lickwright.sound.guitar import RATE
from lickwright.sound.layers import Touch, run_layers


def first_tenth(*notes):
    return level_db(part(dry(*notes), 0, 0.1))


def centroid(sound):
    power = np.abs(np.fft.rfft(sound * np.hanning(len(sound)))) ** 2
    return float(np.sum(power * np.fft.rfftfreq(len(sound), 1 / RATE)) / np.sum(power))


def test_strokes_are_heard_when_they_are_performed_within_two_milliseconds():
    counts = [F(0), F(1, 2), F(1), F(4, 3), F(5, 3), F(2), F(9, 4), F(11, 4), F(3)]
    strings = [6, 5, 4, 3, 2, 1, 6, 1, 3]
    notes = [
        note(c, c + F(1, 5), string=s, marks={Mark.STACCATO})
        for c, s in zip(counts, strings, strict=True)
    ]
    wanted = [time.begin for time in perform(phrase(*notes)).times]
    heard = onsets(dry(*notes), wanted)
    assert max(abs(h - w) for h, w in zip(heard, wanted, strict=True)) < 0.002


def test_slide_in_and_grace_and_rake_are_heard_when_performed():
    cases = [
        note(1, 2, entry=Entry.FROM_BELOW),
        note(1, 1, fret=0, dead=True, timing=Timing.GRACE, order=-1, marks={Mark.RAKE}),
        note(1, 1, fret=7, timing=Timing.GRACE, order=-1),
    ]
    for played in cases:
        begin = perform(phrase(played)).times[0].begin
        assert abs(onsets(dry(played), [begin])[0] - begin) < 0.002


def test_accents_are_louder_and_ghosts_softer_and_darker():
    accent = dry(note(0, 2, marks={Mark.ACCENT}))
    plain = dry(note(0, 2))
    ghost = dry(note(0, 2, ghost=True))
    loud, middle, soft = (level_db(part(s, 0, 0.3)) for s in (accent, plain, ghost))
    assert 1.5 < loud - middle < 5
    assert 4 < middle - soft < 12
    assert centroid(part(ghost, 0, 0.3)) < centroid(part(plain, 0, 0.3))


@pytest.mark.parametrize("kind", [LinkKind.HAMMER, LinkKind.PULL, LinkKind.TAP])
def test_fretted_strokes_are_softer_than_picked_ones(kind):
    goal = 8 if kind is LinkKind.PULL else 12
    link = Link(kind)
    legato = dry(note(0, 2), note(2, 4, fret=goal, link=link))
    picked = dry(note(0, 2), note(2, 4, fret=goal, link=link, stroke=Stroke.DOWN))
    difference = level_db(part(picked, 2, 2.3)) - level_db(part(legato, 2, 2.3))
    assert 2 < difference < 8


def test_a_slide_to_a_note_strikes_nothing_new():
    slid = dry(note(0, 2), note(2, 4, fret=12, link=Link(LinkKind.SLIDE_UP)))
    assert level_db(part(slid, 2.05, 2.3)) < level_db(part(slid, 1.5, 1.8))


def test_palm_muting_stops_the_ringing_early():
    muted = dry(note(0, 4, string=6, fret=3, marks={Mark.PALM_MUTE}))
    open_ = dry(note(0, 4, string=6, fret=3))
    assert level_db(part(muted, 0, 0.03)) > level_db(part(open_, 0, 0.03)) - 6
    fall = level_db(part(muted, 0, 0.05)) - level_db(part(muted, 0.5, 0.6))
    assert fall > 35
    assert level_db(part(open_, 0, 0.05)) - level_db(part(open_, 0.5, 0.6)) < 12


def test_a_muted_string_is_gone_at_once():
    dead = dry(note(0, 4, fret=0, dead=True))
    assert level_db(part(dead, 0, 0.05)) - level_db(part(dead, 0.15, 0.2)) > 40
    assert level_db(part(dead, 0, 0.05)) > first_tenth(note(0, 4)) - 15


def test_staccato_falls_silent_halfway():
    short = dry(note(0, 2, marks={Mark.STACCATO}))
    assert level_db(part(short, 0.5, 0.95)) > -40
    assert level_db(part(short, 1.05, 1.5)) < -150


def test_a_held_note_rings_on_under_the_next_string():
    held = dry(note(0, 4), note(1, 4, string=1, fret=8))
    cut = dry(note(0, 1), note(1, 4, string=1, fret=8))
    hz = 440 * 2 ** ((65 - 69) / 12)
    turn = np.exp(-2j * np.pi * hz * np.arange(RATE) / RATE) * np.hanning(RATE)
    amount = [abs(np.sum(part(s, 2, 3) * turn)) for s in (held, cut)]
    assert amount[0] > 100 * amount[1]


def test_trill_fingers_strike_in_turn():
    trilled = note(0, 2, gestures=(Trill(12),))
    performance = perform(phrase(trilled))
    layers = run_layers(performance.runs[0], run_curve(performance, performance.runs[0]))
    touches = [layer.touch for layer in layers]
    assert touches[0] is Touch.PICK
    assert touches[1::2] == [Touch.HAMMER] * len(touches[1::2])
    assert touches[2::2] == [Touch.PULL] * len(touches[2::2])
    assert len(layers) >= 15
    assert [layer.fret for layer in layers[:3]] == [10, 12, 10]
    assert all(a.end == b.start for a, b in itertools.pairwise(layers))


def test_tapped_entry_and_fingers_have_no_pick():
    def touch(**more):
        return run_layers(perform(phrase(note(0, 1, **more))).runs[0], None)[0].touch

    assert touch(entry=Entry.TAPPED) is Touch.TAP
    assert touch(stroke=Stroke.THUMB) is Touch.FINGER
    assert touch(stroke=Stroke.UP) is Touch.PICK


@pytest.mark.parametrize("string", [1, 3, 6])
def test_a_string_struck_again_does_not_click(string):
    counts = [F(k, 4) + F(k, 97) for k in range(12)]
    notes = [
        note(a, b, string=string, fret=5 + k % 3)
        for k, (a, b) in enumerate(itertools.pairwise(counts))
    ]
    steps = np.abs(np.diff(dry(*notes)))
    for played, time in zip(notes[1:], perform(phrase(*notes)).times[1:], strict=True):
        at = round((LEAD + time.begin) * RATE)
        old = steps[at - 2400 : at - 48].max()
        new = np.abs(np.diff(dry(played)))[at - 48 : at + 480].max()
        # An old tone cut off at once would jump by its size there, many times its steepest step.
        assert steps[at - 48 : at + 480].max() <= (old + new) * 1.02


@pytest.mark.parametrize(
    "ending", [{}, {"marks": {Mark.STACCATO}}, {"off": SlideOff(True)}, {"off": SlideOff(False)}]
)
def test_a_note_that_ends_does_not_click(ending):
    steps = np.abs(np.diff(dry(note(0, 2, **ending), bars=2)))
    stop = round((LEAD + perform(phrase(note(0, 2, **ending))).times[0].end) * RATE)
    before = steps[stop - 4800 : stop - 480].max()
    assert steps[stop - 480 : stop + 9600].max() <= before * 1.05


def test_double_stops_are_the_sum_of_their_strings():
    low, high = note(0, 2, string=3), note(0, 2, string=2)
    assert np.allclose(dry(low, high), dry(low) + dry(high), atol=1e-6)
