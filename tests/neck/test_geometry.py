"""Are frets and strings where they are on a real neck?"""

from __future__ import annotations

import pytest

from lickwright.neck import Neck, fret_distance, fret_position


# Source: equal temperament, L * (1 - 2 ** (-n / 12)); the 12th fret halves the string.
@pytest.mark.parametrize(
    ("fret", "mm"),
    [(0, 0), (1, 36.369), (2, 70.698), (3, 103.099), (5, 162.549), (7, 215.512), (12, 324.0),
     (17, 405.274), (22, 466.161), (24, 486.0)],
)  # fmt: skip
def test_fret_position_on_a_648_mm_scale(fret: int, mm: float) -> None:
    assert fret_position(fret) == pytest.approx(mm, abs=0.0006)


# Source: M. Koch, Building Electric Guitars: each fret takes the 17.817th part of what is left.
def test_each_fret_takes_the_same_part_of_what_is_left() -> None:
    for fret in range(24):
        left = 648 - fret_position(fret)
        assert left / fret_distance(fret, fret + 1) == pytest.approx(17.817, abs=0.0005)


# Source: a published table for a 25 inch scale, fret to bridge in inches.
@pytest.mark.parametrize(
    ("fret", "inches"),
    [(1, 23.597), (3, 21.022), (4, 19.843), (5, 18.729), (7, 16.685), (9, 14.865)],
)
def test_published_table_for_25_inches(fret: int, inches: float) -> None:
    assert Neck(scale_mm=635.0).sounding_mm(fret) / 25.4 == pytest.approx(inches, abs=0.002)


@pytest.mark.parametrize("capo", [0, 2, 7])
def test_frets_count_from_the_capo(capo: int) -> None:
    neck, bare = Neck(capo=capo), Neck()
    assert neck.position(0) == bare.position(capo)
    assert neck.distance(3, 5) == pytest.approx(bare.distance(3 + capo, 5 + capo))
    assert neck.distance(5, 3) == neck.distance(3, 5)
    assert neck.open_mm == pytest.approx(bare.sounding_mm(capo))
    assert neck.highest == 22 - capo


def test_strings_fan_out_from_35_mm_at_the_nut_to_52_at_the_bridge() -> None:
    neck = Neck()
    assert neck.spacing(0) * 5 == pytest.approx(35)
    assert neck.spacing(12) * 5 == pytest.approx((35 + 52) / 2)
    assert neck.across(1, 6, 0) == neck.across(6, 1, 0) == pytest.approx(35)
    assert neck.across(3, 3, 5) == 0


def test_an_outer_string_has_room_inward_only() -> None:
    neck = Neck()
    assert neck.room(1, 12, toward_bass=False) == neck.edge_mm
    assert neck.room(6, 12, toward_bass=True) == neck.edge_mm
    assert neck.room(1, 12, toward_bass=True) == pytest.approx(43.5 + 3.5)
    both = neck.room(3, 12, toward_bass=True) + neck.room(3, 12, toward_bass=False)
    assert both == pytest.approx(43.5 + 7)


@pytest.mark.parametrize("wrong", [{"scale_mm": 30}, {"capo": 22}, {"capo": -1}, {"frets": 99}])
def test_impossible_necks_are_refused(wrong: dict[str, int]) -> None:
    with pytest.raises(ValueError, match=r"guitar's scale|does not fit"):
        Neck(**wrong)  # type: ignore[arg-type]
