"""Do the strings weigh and pull what the makers' handbook says?"""

from __future__ import annotations

from math import pi

import pytest

from lickwright.neck import (
    EXTRA_LIGHT,
    LIGHT,
    Guitar,
    GuitarString,
    StringSet,
    guitar_for,
    string_set,
    usual_strings,
)
from lickwright.phrase import STANDARD, Tuning
from lickwright.theory import parse_pitch

from .made import n, phrase

INCH = 25.4
NEWTONS = 4.4482216  # in a pound-force
SEVEN = Tuning((*STANDARD.strings, parse_pitch("B1")))


# Source: D'Addario string tension handbook, unit weights in lb/in; most of three transcriptions.
@pytest.mark.parametrize(
    ("gauge", "unit_weight"),
    [(7, 0.00001085), (9, 0.00001794), (10, 0.00002215), (11, 0.00002680), (13, 0.00003744),
     (16, 0.00005671), (17, 0.00006402), (18, 0.00007177), (20, 0.00008861), (26, 0.00014975)],
)  # fmt: skip
def test_plain_strings_weigh_what_the_handbook_says(gauge: int, unit_weight: float) -> None:
    density = unit_weight * 0.45359237 / 0.0254
    assert GuitarString(gauge, wound=False).density == pytest.approx(density, rel=0.001)


# Source: as above, linear density in g/m.
@pytest.mark.parametrize(
    ("gauge", "grams"),
    [(17, 0.9865), (24, 1.9388), (26, 2.2628), (32, 3.4550), (36, 4.2795), (42, 5.7644),
     (46, 6.8246), (49, 7.6814), (52, 8.5913), (56, 10.2858)],
)  # fmt: skip
def test_wound_strings_weigh_what_the_handbook_says(gauge: int, grams: float) -> None:
    assert GuitarString(gauge, wound=True).density * 1000 == pytest.approx(grams, rel=1e-4)


@pytest.mark.parametrize("gauge", [18.5, 25, 33, 43, 47, 53, 60, 70])
def test_gauges_between_the_rows_lie_between_them(gauge: float) -> None:
    below, own, above = (GuitarString(g, wound=True).density for g in (gauge - 1, gauge, gauge + 1))
    assert below < own < above


# Source: T = mu (2 L f) ** 2 on 25.5 in at standard pitch, with the handbook's weights; the printed
# tables of the two sets (from memory) agree to 0.1 lb.
@pytest.mark.parametrize(
    ("strings", "pounds"),
    [
        (EXTRA_LIGHT, [13.12, 11.00, 14.66, 15.76, 15.76, 14.76]),
        (LIGHT, [16.20, 15.37, 16.55, 18.39, 19.52, 17.47]),
    ],
)
def test_tension_of_two_usual_sets(strings: StringSet, pounds: list[float]) -> None:
    found = [newtons / NEWTONS for newtons in strings.tensions(STANDARD, 25.5 * INCH)]
    assert found == pytest.approx(pounds, rel=0.0015)


def test_tension_follows_the_square_of_pitch_and_length() -> None:
    string = GuitarString(10, wound=False)
    base = string.tension(330, 648)
    assert string.tension(660, 648) == pytest.approx(4 * base)
    assert string.tension(330, 324) == pytest.approx(base / 4)


def test_a_capo_leaves_the_tension_and_lower_tuning_slackens_it() -> None:
    usual, capo = Guitar(), Guitar(capo=3)
    lowered = Guitar(Tuning(tuple(map(parse_pitch, ("D4", "A3", "F3", "C3", "G2", "D2")))))
    for string in range(1, 7):
        assert capo.tension(string) == pytest.approx(usual.tension(string))
        assert lowered.tension(string) / usual.tension(string) == pytest.approx(2 ** (-4 / 12))


def test_what_is_wound_goes_by_thickness_unless_said() -> None:
    assert [s.wound for s in LIGHT.strings] == [False] * 3 + [True] * 3
    assert [s.wound for s in string_set(12, 16, 24, 32, 42, 53).strings] == [False] * 2 + [True] * 4
    assert [s.wound for s in string_set(11, 14, 18, 28, 38, 49, wound=4).strings][2]
    assert str(LIGHT) == "10 13 17 26w 36w 46w"


def test_a_plain_string_is_all_core() -> None:
    string = GuitarString(10, wound=False)
    assert string.core_mm == string.diameter_mm == pytest.approx(0.254)
    assert string.stiffness == pytest.approx(10134, rel=0.001)  # Source: E = 200 GPa by arithmetic


@pytest.mark.parametrize("gauge", [17, 24, 26, 32, 36, 42, 46, 49, 52, 56])
def test_the_core_and_its_wrap_weigh_what_the_wound_string_weighs(gauge: int) -> None:
    """Core plus a helix of touching turns, added up turn by turn, gives the density again."""
    string = GuitarString(gauge, wound=True)
    core, wire = string.core_mm, (string.diameter_mm - string.core_mm) / 2
    turns = 1000 / wire  # in a metre
    volume = pi / 4 * core**2 * 1000 + turns * pi * (core + wire) * pi / 4 * wire**2  # mm3
    assert 7807 * volume * 1e-9 == pytest.approx(string.density, rel=0.01)
    assert 0.3 < core / string.diameter_mm < 0.78


def test_seven_strings_get_a_thicker_one() -> None:
    seven = usual_strings(7)
    assert seven.strings[:6] == LIGHT.strings
    assert seven.strings[6].gauge > 46
    assert seven.strings[6].wound
    assert len(usual_strings(4)) == 4


def test_the_guitar_for_a_phrase_has_its_strings_capo_and_enough_frets() -> None:
    guitar = guitar_for(phrase([n(1, 24, 0, 1)], tuning=SEVEN, capo=2))
    assert (len(guitar.strings), guitar.capo, guitar.frets) == (7, 2, 26)
    assert guitar_for(phrase([n(1, 5, 0, 1)])).frets == 22


def test_wrong_strings_are_refused() -> None:
    with pytest.raises(ValueError, match="thousandths"):
        GuitarString(0.010, wound=False)
    with pytest.raises(ValueError, match="6 strings are given for a tuning of 7"):
        Guitar(SEVEN)
