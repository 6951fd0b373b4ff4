"""Is every string that may ring found, and kept quiet by something that can reach it?"""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from math import log2

import pytest
from tests.neck.every_way import random_chords, random_line
from tests.neck.made import grace, line, n, phrase

from lickwright.neck.fingering import finger
from lickwright.neck.guitar import guitar_for
from lickwright.neck.quiet import Damper, Damping, Quiet, Risk, damping
from lickwright.neck.quiet_words import damping_words
from lickwright.phrase import STANDARD, Bend, Finger, Mark, Phrase
from lickwright.theory import midi_to_hz


def damped(made: Phrase) -> tuple[Damping, ...]:
    return damping(finger(made, guitar_for(made)))


def quiet(made: Phrase, at: int) -> dict[int, Quiet]:
    return {each.string: each for each in damped(made)[at].quiet}


# Common practice, no source: the strings beside a bent one are pushed along by the fingertip.
def test_a_bend_keeps_the_string_it_pushes_quiet_with_its_own_tip() -> None:
    found = quiet(phrase([n(3, 7, 0, 1, gestures=(Bend(Fraction(2)),))]), 0)
    assert found[4].damper is Damper.TIP
    assert found[4].finger is Finger.THIRD
    assert Risk.BENT in found[4].risks
    assert found[2].damper is Damper.FLAT


# Common practice, no source: idle strings are damped by the picking hand across a rake.
def test_raked_strings_are_kept_quiet_by_the_picking_hand() -> None:
    rake = {"dead": True, "marks": (Mark.RAKE,)}
    made = phrase([grace(5, 0, 0, -2, **rake), grace(4, 0, 0, -1, **rake), n(3, 7, 0, 1)])
    muted = [each for each in damped(made) if each.quiet[0].risks == (Risk.RAKED,)]
    assert [each.quiet[0].string for each in muted] == [5, 4]
    assert {each.quiet[0].damper for each in muted} == {Damper.PALM}
    said = damping_words(damped(made), STANDARD)
    assert "Across the rake it keeps the D and A strings quiet as well." in said


def test_a_muted_string_that_is_no_rake_is_the_fretting_hands() -> None:
    found = damped(phrase([n(5, 0, 0, 1, dead=True)]))
    assert found[0].quiet == (Quiet(5, (Risk.RAKED,), Damper.RESTING),)


def test_an_open_string_that_should_be_silent_is_stopped() -> None:
    found = quiet(phrase([n(6, 0, 0, 1), n(4, 2, 1, 2)]), 1)
    assert Risk.ENDED in found[6].risks
    assert found[6].damper is Damper.PALM
    found = quiet(phrase([n(1, 0, 0, 1), n(4, 2, 1, 2)]), 1)
    assert Risk.ENDED in found[1].risks
    assert found[1].damper is Damper.FLAT


def test_a_string_between_two_that_are_struck_together_is_crossed() -> None:
    found = quiet(phrase([n(5, 5, 0, 1), n(3, 5, 0, 1)]), 0)
    assert Risk.BETWEEN in found[4].risks
    assert found[4].damper in (Damper.TIP, Damper.FLAT)
    both_open = quiet(phrase([n(5, 0, 0, 1), n(3, 0, 0, 1)]), 0)
    assert both_open[4].damper is Damper.NOTHING


# Source: physics of the ideal string, partial k at k times the frequency of the open string.
@pytest.mark.parametrize("string", [1, 2, 3, 4, 5, 6])
def test_a_string_answers_a_pitch_that_is_one_of_its_first_partials(string: int) -> None:
    for fret in range(13):
        made = phrase([n(string, fret, 0, 1)])
        hz = midi_to_hz(STANDARD.midi(string, fret))
        for each in damped(made)[0].quiet:
            partials = [midi_to_hz(STANDARD.midi(each.string, 0)) * k for k in (1, 2, 3, 4)]
            close = any(abs(1200 * log2(hz / p)) < 5 for p in partials)
            assert (Risk.SYMPATHY in each.risks) == close


@pytest.mark.parametrize("make", [random_line, random_chords])
def test_what_keeps_a_string_quiet_can_reach_it_and_touches_no_string_that_sounds(
    make: object,
) -> None:
    dice = random.Random(50)
    for _ in range(60):
        made: Phrase = make(dice, 5)  # type: ignore[operator]
        fingering = finger(made, guitar_for(made))
        found = damping(fingering)
        assert [each.note_ids for each in found] == [rest.note_ids for rest in fingering.rests]
        for each, state in zip(found, fingering.way, strict=True):
            sounding = {hold.string for hold in state.holds}
            assert set(each.sounding) == sounding
            strings = [q.string for q in each.quiet]
            assert strings == sorted(set(strings))
            assert not sounding & set(strings)
            held = {hold.string: hold.finger for hold in state.holds if hold.finger >= 0}
            for q in each.quiet:
                assert q.risks
                match q.damper:
                    case Damper.PALM:
                        assert q.string > max(sounding)
                    case Damper.TIP if Risk.BENT not in q.risks:
                        assert q.string - 1 in held
                    case Damper.FLAT:
                        assert q.finger is not None
                        assert q.string + 1 in held or q.string < min(sounding)
                    case Damper.RESTING:
                        assert q.string < min(sounding)
                    case Damper.NOTHING:
                        assert min(sounding) < q.string < max(sounding)
                    case _:
                        assert any(note.bend for note in made.notes)


def test_every_string_that_has_just_ended_is_looked_after() -> None:
    dice = random.Random(51)
    for _ in range(60):
        made = random_chords(dice, 5)
        fingering = finger(made, guitar_for(made))
        found = damping(fingering)
        for before, now, each in zip(fingering.way, fingering.way[1:], found[1:], strict=False):
            gone = {h.string for h in before.holds} - {h.string for h in now.holds}
            assert gone <= {q.string for q in each.quiet if Risk.ENDED in q.risks}


def test_the_words_for_a_line_with_a_bend() -> None:
    made = phrase([n(3, 7, 0, 1, gestures=(Bend(Fraction(2)),)), n(2, 5, 1, 2), n(3, 5, 2, 3)])
    # E4 at fret 5 of the B string is partial 3 of the open A and partial 4 of the open E string.
    assert damping_words(damped(made), STANDARD) == (
        "The heel of the picking hand lies on the A and E strings. "
        "The fingers lie flat enough to keep the e and B strings quiet. "
        "The fingertips touch the next thicker string: G and D. "
        "In the bend the D string is pushed along by the fingertip."
    )


def test_the_words_for_open_strings_and_none_at_all() -> None:
    made = phrase([n(6, 0, 0, 1), n(1, 0, 1, 2)])
    assert damping_words(damped(made), STANDARD) == (
        "The heel of the picking hand follows: it lies on every thicker string. "
        "The fretting hand rests lightly on the A string."
    )
    assert damping_words((), STANDARD) == ""


def test_a_seven_string_neck_and_a_single_string() -> None:
    one = replace(line((1, 3), (1, 5)), tuning=type(STANDARD)(STANDARD.strings[:1]))
    assert all(each.quiet == () for each in damped(one))
