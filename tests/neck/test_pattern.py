"""Do the five patterns of the minor pentatonic come out as they are taught?

Where a test says "trade", the expected value is common practice among teachers, no source.
"""

from __future__ import annotations

import itertools
from types import SimpleNamespace

import pytest

from lickwright.neck import Pattern, Place, best_pattern, patterns, standard_intervals
from lickwright.phrase import STANDARD, Tuning
from lickwright.theory import parse_pitch

HIGHEST = 24
LOWERED = Tuning(tuple(map(parse_pitch, ("Eb4", "Bb3", "Gb3", "Db3", "Ab2", "Eb2"))))
DROPPED = Tuning((*STANDARD.strings[:5], parse_pitch("D2")))
SEVEN = Tuning((*STANDARD.strings, parse_pitch("B1")))
A, C = 9, 0


def frets(pattern: Pattern) -> list[tuple[int, ...]]:
    """Frets on each string, lowest string first."""
    strings = range(6, 0, -1)
    return [tuple(sorted(p.fret for p in pattern.places if p.string == s)) for s in strings]


def numbered(number: int, tonic: int = A, **more: int) -> list[Pattern]:
    return [each for each in patterns(tonic, STANDARD, **more) if each.number == number]


# Trade: pattern 1 starts with the first finger on the root of the lowest string; two notes a
# string within four frets, fingered 1-4 1-3 1-3 1-3 1-4 1-4.
def test_pattern_one_of_a_minor() -> None:
    first = numbered(1)[0]
    assert first.fret == 5
    assert frets(first) == [(5, 8), (5, 7), (5, 7), (5, 7), (5, 8), (5, 8)]


# Trade: the first-finger notes on the D, G and B strings lie in one fret.
@pytest.mark.parametrize("tonic", range(12))
def test_first_finger_notes_of_pattern_one_lie_in_one_fret(tonic: int) -> None:
    for first in numbered(1, tonic):
        assert {pair[0] for pair in frets(first)[2:5]} == {first.fret}


# Source: the usual fret arithmetic from E2 A2 D3 G3 B3 E4, done by hand for A minor.
@pytest.mark.parametrize(
    ("number", "rows"),
    [
        (2, [(8, 10), (7, 10), (7, 10), (7, 9), (8, 10), (8, 10)]),
        (3, [(10, 12), (10, 12), (10, 12), (9, 12), (10, 13), (10, 12)]),
        (4, [(12, 15), (12, 15), (12, 14), (12, 14), (13, 15), (12, 15)]),
        (5, [(3, 5), (3, 5), (2, 5), (2, 5), (3, 5), (3, 5)]),
    ],
)
def test_the_other_patterns_of_a_minor(number: int, rows: list[tuple[int, int]]) -> None:
    assert rows in [frets(each) for each in numbered(number)]


@pytest.mark.parametrize("tonic", range(12))
@pytest.mark.parametrize("tuning", [STANDARD, LOWERED], ids=["standard", "half step down"])
def test_five_patterns_cover_the_neck(tonic: int, tuning: Tuning, m21: SimpleNamespace) -> None:
    """Every place from the lowest pattern to the highest whose name the scale has is in one.

    Source: the names of the minor pentatonic from music21's minor scale, degrees 1 3 4 5 7.
    """
    minor = m21.scale.MinorScale(m21.pitch.Pitch(tonic))
    chromas = {minor.pitchFromDegree(degree).pitchClass for degree in (1, 3, 4, 5, 7)}
    found = patterns(tonic, tuning)
    covered = set().union(*(each.places for each in found))
    assert {tuning.midi(p.string, p.fret) % 12 for p in covered} == chromas
    for string in range(1, 7):
        own = [p.fret for p in covered if p.string == string]
        wanted = [
            fret
            for fret in range(HIGHEST + 1)
            if tuning.midi(string, fret) % 12 in chromas and min(own) <= fret <= max(own)
        ]
        assert sorted(own) == wanted
        assert min(own) <= 4  # nothing but the cut-off first pattern is missing at the nut
        assert max(own) >= 21  # and the cut-off last one at the other end


@pytest.mark.parametrize("tonic", range(12))
def test_patterns_follow_each_other_and_repeat_at_the_twelfth_fret(tonic: int) -> None:
    found = patterns(tonic, STANDARD)
    for before, after in itertools.pairwise(found):
        assert after.number == before.number % 5 + 1
        upper = {(p.string, p.fret) for p in before.places}
        lower = {(p.string, p.fret) for p in after.places}
        assert len(upper & lower) == 6  # the higher note of each string is the next one's lower
    by_number = {(each.number, each.fret): each for each in found}
    for (number, fret), pattern in by_number.items():
        again = by_number.get((number, fret + 12))
        if again is not None:
            moved = {Place(p.string, p.fret + 12) for p in pattern.places}
            assert again.places == moved
    assert {each.number for each in found} == {1, 2, 3, 4, 5}


@pytest.mark.parametrize("tonic", range(12))
def test_each_pattern_has_two_notes_a_string_and_ten_steps_up(tonic: int) -> None:
    for pattern in patterns(tonic, STANDARD):
        assert [len(pair) for pair in frets(pattern)] == [2] * 6
        midis = sorted(STANDARD.midi(p.string, p.fret) for p in pattern.places)
        assert {b - a for a, b in itertools.pairwise(midis)} == {2, 3}
        assert max(p.fret for p in pattern.places) - pattern.fret <= 4
        assert min(p.fret for p in pattern.places) == pattern.fret


@pytest.mark.parametrize("capo", [0, 1, 5])
def test_a_capo_shifts_the_pattern_by_its_own_fret(capo: int) -> None:
    first = numbered(1, A, capo=capo)[0]
    assert first.fret == (5 - capo) % 12
    assert {STANDARD.midi(p.string, p.fret, capo) % 12 for p in first.places} == {9, 0, 2, 4, 7}


def test_a_tuning_a_half_step_down_shifts_it_one_fret_up() -> None:
    assert next(p.fret for p in patterns(A, LOWERED) if p.number == 1) == 6


@pytest.mark.parametrize("tuning", [DROPPED, SEVEN])
def test_an_unusual_tuning_has_no_patterns(tuning: Tuning) -> None:
    assert not standard_intervals(tuning)
    assert patterns(A, tuning) == ()
    assert best_pattern([Place(1, 5)], [A], tuning) is None


def test_the_best_pattern_holds_most_of_the_places() -> None:
    line = [Place(3, 5), Place(3, 7), Place(2, 5), Place(2, 8), Place(2, 7)]
    best = best_pattern(line, [A, C], STANDARD)
    assert best is not None
    assert (best.number, best.fret, best.tonic) == (1, 5, A)
    assert best.inside(line) == 4


def test_of_equals_the_earlier_root_and_the_lower_number_win() -> None:
    both = [Place(1, 8)]  # C: in pattern 1 and 2 of A minor, and in patterns of C minor
    assert best_pattern(both, [A, C], STANDARD).number == 1  # type: ignore[union-attr]
    assert best_pattern(both, [C, A], STANDARD).tonic == C  # type: ignore[union-attr]


def test_no_pattern_holds_places_outside_every_one() -> None:
    assert best_pattern([Place(1, 6)], [A], STANDARD) is None
    assert best_pattern([], [A], STANDARD) is None
