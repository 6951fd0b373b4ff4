"""Does a bend ask for the travel and force that the published model gives?"""

from __future__ import annotations

from math import atan, cos, sqrt

import pytest

from lickwright.neck import (
    EXTRA_LIGHT,
    LIGHT,
    MEDIUM,
    Direction,
    Guitar,
    bend_direction,
    bend_effort,
    widest_bend,
)
from lickwright.phrase import STANDARD, Tuning
from lickwright.theory import midi_to_hz, parse_pitch

SCALE = 647.7
NINES, TENS = Guitar(strings=EXTRA_LIGHT, scale_mm=SCALE), Guitar(strings=LIGHT, scale_mm=SCALE)
LOWERED = Tuning(tuple(map(parse_pitch, ("Eb4", "Bb3", "Gb3", "Db3", "Ab2", "Eb2"))))


# Source: the formulas of the module evaluated by another program with E = 200 GPa, L = 647.7 mm,
# fret 12. They check the code, not nature. Largest difference here: 0.1 % (string weights).
@pytest.mark.parametrize(
    ("guitar", "string", "cents", "travel_mm", "force"),
    [
        (NINES, 1, 100, 13.58, 5.50), (NINES, 1, 200, 19.80, 9.00), (NINES, 1, 300, 25.01, 12.76),
        (NINES, 2, 100, 10.15, 3.45), (NINES, 2, 200, 14.80, 5.64), (NINES, 2, 300, 18.69, 7.99),
        (NINES, 3, 100, 8.05, 3.64), (NINES, 3, 200, 11.73, 5.96), (NINES, 3, 300, 14.82, 8.45),
        (TENS, 1, 100, 13.58, 6.79), (TENS, 1, 200, 19.80, 11.11), (TENS, 1, 300, 25.01, 15.75),
        (TENS, 2, 100, 10.15, 4.82), (TENS, 2, 200, 14.80, 7.88), (TENS, 2, 300, 18.69, 11.17),
        (TENS, 3, 100, 8.05, 4.11), (TENS, 3, 200, 11.73, 6.73), (TENS, 3, 300, 14.82, 9.54),
    ],
)  # fmt: skip
def test_worked_values_at_the_twelfth_fret(
    guitar: Guitar, string: int, cents: int, travel_mm: float, force: float
) -> None:
    effort = bend_effort(guitar, string, 12, cents / 100)
    assert effort.travel_mm == pytest.approx(travel_mm, abs=0.02)
    assert effort.force == pytest.approx(force, rel=0.002)


# Source: as above, other frets of the .009 E4.
@pytest.mark.parametrize(
    ("fret", "cents", "travel_mm", "force", "tension"),
    [
        (5, 50, 8.160, 4.144, 61.878),
        (5, 100, 11.712, 6.295, 65.548),
        (5, 200, 17.070, 10.271, 73.551),
    ],
)
def test_worked_values_at_the_fifth_fret(
    fret: int, cents: int, travel_mm: float, force: float, tension: float
) -> None:
    effort = bend_effort(NINES, 1, fret, cents / 100)
    assert effort.travel_mm == pytest.approx(travel_mm, abs=0.01)
    assert effort.force == pytest.approx(force, rel=0.002)
    assert effort.tension == pytest.approx(tension, rel=0.002)


# Source: D. R. Grimes 2014, PLoS ONE 9(7): e102088:
# nu = (1 / 2L) sqrt((EA + cos(theta) (T - EA)) / mu0), theta the angle of a string pushed at L / 2.
@pytest.mark.parametrize("string", [1, 2, 3, 4, 5, 6])
@pytest.mark.parametrize("semitones", [0.5, 1, 2, 3, 4])
def test_the_midpoint_formula_gives_the_bent_pitch_at_fret_12(
    string: int, semitones: float
) -> None:
    wire, half = TENS.string(string), SCALE / 2
    theta = atan(bend_effort(TENS, string, 12, semitones).travel_mm / half)
    tension = TENS.tension(string)
    inner = wire.stiffness + cos(theta) * (tension - wire.stiffness)
    # The formula is for the whole string; the half behind the finger sounds an octave higher.
    nu = 2 * sqrt(inner / wire.density) / (2 * SCALE / 1000)
    wanted = midi_to_hz(STANDARD.midi(string, 12) + semitones)
    assert nu == pytest.approx(wanted, rel=1e-9)


# Source: I. Malone's own program, physicist's blog 2013: a whole-tone bend of the high E in the
# middle needs a tension of about 58 N at rest, 1.2 mm of stretch, 19.7 mm sideways.
def test_an_independent_worked_whole_tone() -> None:
    effort = bend_effort(NINES, 1, 12, 2)
    assert NINES.tension(1) == pytest.approx(58, abs=0.6)
    assert effort.travel_mm == pytest.approx(19.7, abs=0.2)
    stretch = 2 * sqrt((SCALE / 2) ** 2 + effort.travel_mm**2) - SCALE
    assert stretch == pytest.approx(1.2, abs=0.02)


def test_travel_does_not_depend_on_gauge_among_plain_strings_but_force_does() -> None:
    for string in (1, 2):
        light, heavy = (
            bend_effort(g, string, 10, 2) for g in (TENS, Guitar(strings=MEDIUM, scale_mm=SCALE))
        )
        assert heavy.travel_mm == pytest.approx(light.travel_mm, rel=1e-6)
        assert heavy.force > light.force * 1.1


@pytest.mark.parametrize("string", [1, 2, 3])
def test_travel_is_largest_near_fret_12_and_force_smallest(string: int) -> None:
    efforts = {fret: bend_effort(TENS, string, fret, 2) for fret in range(1, 21)}
    assert abs(max(efforts, key=lambda f: efforts[f].travel_mm) - 12) <= 1
    assert abs(min(efforts, key=lambda f: efforts[f].force) - 12) <= 1
    assert efforts[1].force > efforts[5].force > efforts[12].force


def test_the_g_string_needs_less_travel_than_b_and_b_less_than_e() -> None:
    one, two, three = (bend_effort(TENS, string, 10, 2).travel_mm for string in (1, 2, 3))
    assert three < two < one


def test_lower_tuning_makes_a_bend_softer_and_wider() -> None:
    usual, lowered = (bend_effort(g, 2, 10, 2) for g in (TENS, Guitar(LOWERED, scale_mm=SCALE)))
    assert lowered.force < usual.force
    assert lowered.travel_mm < usual.travel_mm  # a slack string gains more from the same stretch


def test_a_capo_shortens_what_is_stretched_and_so_hardens_the_bend() -> None:
    bare, capo = bend_effort(TENS, 2, 10, 2), bend_effort(Guitar(capo=5, scale_mm=SCALE), 2, 5, 2)
    assert capo.force > bare.force
    assert capo.travel_mm < bare.travel_mm


@pytest.mark.parametrize("semitones", [0.5, 1, 1.5, 2, 2.5, 3, 4])
def test_a_wider_bend_asks_for_more(semitones: float) -> None:
    less, more = bend_effort(TENS, 3, 7, semitones), bend_effort(TENS, 3, 7, semitones + 0.5)
    assert more.travel_mm > less.travel_mm
    assert more.force > less.force
    assert more.tension > less.tension


def test_outer_strings_go_inward_and_the_neck_is_wide_enough_for_usual_bends() -> None:
    assert bend_direction(1, 6) is Direction.TOWARD_BASS
    assert bend_direction(6, 6) is Direction.TOWARD_TREBLE
    assert bend_direction(1, 4) is Direction.TOWARD_BASS
    assert bend_direction(7, 7) is Direction.TOWARD_TREBLE
    for string in range(1, 7):
        assert bend_effort(TENS, string, 12, 2).fits
    wide = bend_effort(Guitar(Tuning(STANDARD.strings[:1]), LIGHT_ONE, scale_mm=SCALE), 1, 12, 2)
    assert not wide.fits


LIGHT_ONE = type(LIGHT)(LIGHT.strings[:1])


def test_the_widest_bend_within_a_force() -> None:
    reached = widest_bend(TENS, 1, 12, 11.2)
    assert reached == 2.0
    assert bend_effort(TENS, 1, 12, reached + 0.5).force > 11.2
    assert widest_bend(TENS, 1, 12, 0.1) == 0.0


def test_what_cannot_be_bent_is_said_in_words() -> None:
    with pytest.raises(ValueError, match="an open string cannot be bent: string 3"):
        bend_effort(TENS, 3, 0, 2)
    with pytest.raises(ValueError, match="a bend goes up"):
        bend_effort(TENS, 3, 5, 0)
    with pytest.raises(ValueError, match="no bend goes so far"):
        bend_effort(TENS, 1, 12, 30)
