"""Pitch of a string at every moment. Open G is MIDI 55, so fret 10 is 65 and fret 12 is 67.

A bend must sound like the fret it aims for. Source: equal temperament, one fret a semitone.
"""

from __future__ import annotations

from math import log2

import numpy as np
import pytest
from played import F, curve, note, pitch, played

from lickwright.phrase import (
    Bend,
    Entry,
    Link,
    LinkKind,
    Release,
    SlideOff,
    Timing,
    Trill,
    Vibrato,
    run_curve,
)

WHOLE = F(2)


def steady(line, first: float, last: float) -> float:
    """The one pitch that stands from `first` to `last` seconds."""
    found = line.at(np.linspace(first, last, 400))
    assert np.ptp(found) < 1e-9
    return float(found[0])


# The four count cases of a bend, from the lesson format: at once; waits, then bends; rises slowly
# and is there at its count; waits, then rises slowly.


def test_bend_uncounted_goes_up_at_once():
    line = curve(note(0, 4, gestures=(Bend(WHOLE),)))
    assert pitch(line, 0.0, 0.05, 0.1) == [65, 66, 67]
    assert steady(line, 0.1, 4.0) == 67
    assert [(t.seconds, t.midi) for t in line.targets] == [(0.1, 67)]


def test_bend_with_counted_sign_waits_then_bends():
    line = curve(note(0, 4, gestures=(Bend(WHOLE, start=F(2)),)))
    assert steady(line, 0.0, 2.0) == 65
    assert steady(line, 2.1, 4.0) == 67


def test_bend_with_counted_number_rises_slowly_until_there():
    line = curve(note(0, 4, gestures=(Bend(WHOLE, arrive=F(2)),)))
    rise = line.at(np.linspace(0.001, 1.999, 300))
    assert np.all(np.diff(rise) > 0)
    assert pitch(line, 0.0, 1.0, 2.0) == [65, 66, 67]
    assert steady(line, 2.0, 4.0) == 67


def test_bend_with_both_counted_waits_then_rises_slowly():
    line = curve(note(0, 4, gestures=(Bend(WHOLE, start=F(1), arrive=F(3)),)))
    assert steady(line, 0.0, 1.0) == 65
    assert pitch(line, 2.0, 3.0) == [66, 67]
    assert line.targets[0].seconds == pytest.approx(3.0)


def test_release_uncounted_comes_halfway_through_what_is_left():
    line = curve(note(0, 4, gestures=(Bend(WHOLE), Release())))
    assert steady(line, 0.1, 2.05) == 67
    assert steady(line, 2.15, 4.0) == 65


def test_release_with_a_counted_start_is_quick_there():
    line = curve(note(0, 4, gestures=(Bend(WHOLE), Release(start=F(3)))))
    assert steady(line, 0.1, 3.0) == 67
    assert steady(line, 3.1, 4.0) == 65


def test_release_from_one_count_to_another_is_slow():
    line = curve(note(0, 4, gestures=(Bend(WHOLE), Release(start=F(1), arrive=F(3)))))
    assert pitch(line, 1.0, 2.0, 3.0) == [67, 66, 65]


def test_release_may_stop_on_the_way():
    line = curve(note(0, 4, gestures=(Bend(F(3)), Release(to=F(1), start=F(2)))))
    assert steady(line, 2.1, 4.0) == 66


def test_bend_release_bend_again():
    gestures = (Bend(WHOLE), Release(start=F(1)), Bend(WHOLE, start=F(2)), Release(start=F(3)))
    line = curve(note(0, 4, gestures=gestures))
    assert pitch(line, 0.5, 1.5, 2.5, 3.5) == [67, 65, 67, 65]


def test_pre_bend_sounds_bent_from_the_stroke():
    line = curve(note(0, 4, gestures=(Bend(WHOLE, struck_bent=True), Release(start=F(2)))))
    assert steady(line, 0.0, 2.0) == 67
    assert steady(line, 2.1, 4.0) == 65


@pytest.mark.parametrize("steps", [F(1, 2), F(3, 2), F(1), F(3)])
def test_bends_of_any_size_reach_it(steps):
    line = curve(note(0, 4, gestures=(Bend(steps),)))
    assert steady(line, 0.2, 4.0) == 65 + float(steps)


def test_a_pre_bent_note_that_is_slid_into_ends_up_bent_and_releases_to_its_fret():
    gestures = (Bend(WHOLE, struck_bent=True), Release(start=F(2)))
    line = curve(note(1, 4, entry=Entry.FROM_BELOW, gestures=gestures))
    assert steady(line, 1.01, 2.0) == 67
    assert steady(line, 2.1, 4.0) == 65


def test_slide_in_from_below_and_above_starts_two_frets_away():
    below = curve(note(1, 2, entry=Entry.FROM_BELOW))
    above = curve(note(1, 2, entry=Entry.FROM_ABOVE))
    assert pitch(below, 0.91, 1.0) == [63, 65]
    assert pitch(above, 0.91, 1.0) == [67, 65]


def test_slide_in_from_below_never_starts_under_the_open_string():
    line = curve(note(1, 2, fret=1, entry=Entry.FROM_BELOW))
    assert pitch(line, line.begin, 1.0) == [55, 56]


def slid(link, onset, **second):
    return curve(note(0, 2), note(onset, 4, fret=14, link=link, **second))


def test_slide_uncounted_leaves_at_once():
    line = slid(Link(LinkKind.SLIDE_UP), 0, timing=Timing.QUICK, order=1)
    assert pitch(line, 0.0, 0.1) == [65, 69]


def test_slide_with_a_counted_sign_leaves_there_quickly():
    line = slid(Link(LinkKind.SLIDE_UP, F(2)), 2, timing=Timing.QUICK, order=1)
    assert steady(line, 0.0, 2.0) == 65
    assert steady(line, 2.1, 4.0) == 69


def test_slide_with_a_counted_number_leaves_late():
    line = slid(Link(LinkKind.SLIDE_UP), 2)
    assert steady(line, 0.0, 1.9) == 65
    assert steady(line, 2.0, 4.0) == 69


def test_slide_with_both_counted_is_slow_and_steps_over_every_fret():
    line = slid(Link(LinkKind.SLIDE_UP, F(1)), 2)
    assert steady(line, 0.0, 1.0) == 65
    assert pitch(line, 1.25, 1.5, 1.75, 2.0) == [66, 67, 68, 69]
    assert pitch(line, 1.26, 1.34) == [66, 66]  # it rests on the fret


def test_slide_down_between_two_notes():
    line = curve(note(0, 2), note(2, 4, fret=5, link=Link(LinkKind.SLIDE_DOWN)))
    assert pitch(line, 1.0, 2.0) == [65, 60]


@pytest.mark.parametrize(("up", "last"), [(True, 70), (False, 60)])
def test_slide_off_leaves_at_the_end_for_five_frets(up, last):
    line = curve(note(0, 2, off=SlideOff(up)))
    assert steady(line, 0.0, 1.84) == 65
    assert pitch(line, 2.0) == [last]


def test_hammer_on_and_pull_off_change_the_pitch_at_their_count():
    line = curve(
        note(0, 1, fret=10),
        note(1, 2, fret=12, link=Link(LinkKind.HAMMER)),
        note(2, 4, fret=10, link=Link(LinkKind.PULL)),
    )
    assert steady(line, 0.0, 1.0) == 65
    assert steady(line, 1.005, 2.0) == 67
    assert steady(line, 2.005, 4.0) == 65


def test_trill_alternates_at_a_players_speed():
    line = curve(note(0, 2, gestures=(Trill(12),)))
    edges = np.flatnonzero(np.diff(line.at(np.arange(0, 2, 0.001)) > 66)) / 1000
    assert {round(p) for p in line.at(np.arange(0.05, 2, 0.111))} == {65, 67}
    # Source: Aoki & Kinoshita 2001, two alternating fingers: 7.5 to 10.5 notes a second.
    assert 7.5 <= 1 / np.mean(np.diff(edges)) <= 10.5


def test_trill_with_a_counted_start_waits_for_it():
    line = curve(note(0, 3, gestures=(Trill(12, start=F(1)),)))
    assert steady(line, 0.0, 1.0) == 65
    assert np.ptp(line.at(np.linspace(1, 3, 999))) == pytest.approx(2)


def test_vibrato_on_a_fretted_note_only_rises():
    line = curve(note(0, 3, gestures=(Vibrato(),)))
    swing = line.at(np.linspace(0.15, 3, 2000))
    assert swing.min() == pytest.approx(65, abs=0.001)
    # Source: Timmers & Desain 2000: strings 0.2 to 0.35 semitones, 5.5 to 8 times a second.
    assert 0.2 <= np.ptp(swing) <= 0.3501
    peaks = np.sum((swing[1:-1] > swing[:-2]) & (swing[1:-1] >= swing[2:]))
    assert 5.5 <= peaks / 2.85 <= 8


def test_vibrato_on_a_bent_note_falls_from_the_target_and_never_under_the_fret():
    gestures = (Bend(WHOLE), Vibrato(wide=True), Release())
    swing = curve(note(0, 3, gestures=gestures)).at(np.linspace(0.2, 3, 3000))
    assert swing.max() <= 67.0001
    assert swing.min() >= 64.9999
    assert swing[-1] == pytest.approx(65)


def test_vibrato_ends_where_an_uncounted_release_begins():
    line = curve(note(0, 4, gestures=(Bend(WHOLE), Vibrato(), Release())))
    assert line.shakes[0].end == pytest.approx(line.moves[-1].start)
    assert steady(line, 2.2, 4.0) == 65


def test_a_release_after_a_counted_vibrato_comes_halfway_through_what_is_left_then():
    line = curve(note(0, 4, gestures=(Bend(WHOLE), Vibrato(start=F(2)), Release())))
    assert line.shakes[0].start == pytest.approx(2)
    assert line.moves[-1].start == pytest.approx(3)
    assert steady(line, 3.2, 4.0) == 65


# Source: partial n of a string sounds at n times its frequency, 12 * log2(n) semitones up.
@pytest.mark.parametrize(("fret", "number"), [(12, 2), (7, 3), (19, 3), (5, 4), (4, 5), (9, 5)])
def test_natural_harmonics_sound_their_partial(fret, number):
    line = curve(note(0, 4, fret=fret, harmonic=True))
    assert steady(line, 0, 4) == pytest.approx(55 + 12 * log2(number))


def test_a_capo_raises_everything():
    assert steady(curve(note(0, 4), capo=3), 0, 4) == 68


def test_a_muted_string_has_no_pitch():
    performance = played(note(0, 1, fret=0, dead=True))
    assert run_curve(performance, performance.runs[0]) is None


def test_targets_are_what_the_curve_reaches():
    gestures = (Bend(WHOLE, start=F(1), arrive=F(2)), Release(start=F(3)))
    line = curve(note(0, 4, gestures=gestures))
    assert [t.midi for t in line.targets] == [67, 65]
    for target in line.targets:
        assert pitch(line, target.seconds) == [target.midi]


def test_the_curve_never_jumps():
    line = curve(
        note(0, 1, entry=Entry.FROM_BELOW, gestures=(Bend(WHOLE), Release())),
        note(1, 2, fret=12, link=Link(LinkKind.SLIDE_UP, F(1, 2))),
        note(2, 4, fret=9, link=Link(LinkKind.PULL), gestures=(Vibrato(wide=True),)),
    )
    found = line.at(np.arange(line.begin, line.end, 1 / 48000))
    assert np.max(np.abs(np.diff(found))) < 0.05
