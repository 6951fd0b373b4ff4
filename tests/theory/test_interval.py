from __future__ import annotations

from itertools import product
from types import SimpleNamespace

import pytest

from lickwright.theory import (
    Interval,
    Pitch,
    PitchClass,
    TheoryError,
    interval_between,
    parse_pitch,
    parse_pitch_class,
    transpose,
)

from .outside import ROOTS, m21_name

LOW = [Pitch(name, 2) for name in ROOTS]
HIGH = [Pitch(name, octave) for name, octave in product(ROOTS, (3, 4))]
PAIRS = list(product(LOW, HIGH))
_PERFECT_WHOLES = {
    "Perfect Octave": "octave",
    "Perfect Double-octave": "double octave",
    "Perfect Triple-octave": "triple octave",
}


def test_interval_names_agree_with_music21(m21: SimpleNamespace) -> None:
    # Source: music21 interval.Interval.niceName, its own words for octaves put into ours.
    theirs_of = {p: m21.pitch.Pitch(m21_name(p)) for p in (*LOW, *HIGH)}
    for low, high in PAIRS:
        theirs = m21.interval.Interval(theirs_of[low], theirs_of[high])
        nice = theirs.niceName
        ours = interval_between(low, high)
        if ours.number % 7 == 1 and ours.number > 8:
            number = {15: "fifteenth", 22: "twenty-second"}[ours.number]
            wanted = _PERFECT_WHOLES.get(nice) or f"{nice.split()[0].lower()} {number}"
        else:
            wanted = _PERFECT_WHOLES.get(nice) or nice.lower()
        # music21 writes doubly-augmented, we doubly augmented.
        assert ours.name == wanted.replace("ly-", "ly "), (low, high)
        assert ours.semitones == theirs.semitones
        assert ours.number == theirs.generic.value


def test_up_an_interval_agrees_with_music21(m21: SimpleNamespace) -> None:
    # Source: music21 Interval.transposePitch, every common interval over every root.
    common = {"m2": 1, "M2": 2, "m3": 3, "M3": 4, "P4": 5, "A4": 6, "d5": 6, "P5": 7, "m6": 8,
              "M6": 9, "m7": 10, "M7": 11, "P8": 12, "M9": 14, "A9": 15}  # fmt: skip
    for (short, semitones), low in product(common.items(), LOW):
        theirs = m21.interval.Interval(short).transposePitch(m21.pitch.Pitch(m21_name(low)))
        interval = Interval(int(short[1:]), semitones)
        assert m21_name(transpose(low, interval)) == theirs.nameWithOctave
        assert transpose(low.name, interval) == transpose(low, interval).name


def test_transposing_by_what_lies_between_arrives() -> None:
    for low, high in PAIRS:
        between = interval_between(low, high)
        assert transpose(low, between) == high
        assert transpose(high, between, down=True) == low


def test_names_lie_less_than_two_letters_beyond_an_octave_apart() -> None:
    for low, high in product(ROOTS, ROOTS):
        between = interval_between(low, high)
        assert transpose(low, between) == high
        assert transpose(high, between, down=True) == low
        assert between.semitones >= 0
        assert between.number <= 9


# Source: npm tonal 6.4.3 and music21 for A minor blues over E7: Eb over E is a d8, G a m3.
@pytest.mark.parametrize(
    ("low", "high", "name"),
    [
        ("E", "Eb", "diminished octave"), ("E", "G", "minor third"), ("D", "Eb", "minor second"),
        ("A", "Eb", "diminished fifth"), ("E", "C", "minor sixth"), ("A", "A", "unison"),
    ],
)  # fmt: skip
def test_blues_notes_over_the_roots(low: str, high: str, name: str) -> None:
    assert interval_between(parse_pitch_class(low), parse_pitch_class(high)).name == name


@pytest.mark.parametrize(
    ("number", "semitones", "name"),
    [
        (1, 0, "unison"), (1, 1, "augmented unison"), (3, 3, "minor third"),
        (4, 6, "augmented fourth"), (5, 6, "diminished fifth"), (7, 9, "diminished seventh"),
        (8, 12, "octave"), (8, 11, "diminished octave"), (9, 14, "major ninth"),
        (13, 20, "minor thirteenth"), (15, 24, "double octave"), (22, 36, "triple octave"),
        (20, 33, "major twentieth"), (29, 48, "perfect twenty-ninth"),
    ],
)  # fmt: skip
def test_interval_in_words(number: int, semitones: int, name: str) -> None:
    assert Interval(number, semitones).name == name


@pytest.mark.parametrize(
    ("compound", "simple"),
    [
        ((9, 14), (2, 2)),
        ((8, 12), (8, 12)),
        ((15, 24), (8, 12)),
        ((17, 28), (3, 4)),
        ((1, 0), (1, 0)),
    ],
)
def test_a_compound_interval_within_the_octave(
    compound: tuple[int, int], simple: tuple[int, int]
) -> None:
    assert Interval(*compound).simple == Interval(*simple)


def test_the_lower_pitch_comes_first() -> None:
    with pytest.raises(TheoryError) as caught:
        interval_between(parse_pitch("E4"), parse_pitch("C4"))
    assert str(caught.value) == "wanted the lower pitch first, got E4 before C4"
    assert caught.value.mend == "C4, E4"
    with pytest.raises(TheoryError, match="got E4 before Eb4"):
        interval_between(parse_pitch("E4"), parse_pitch("Eb4"))


def test_no_interval_between_a_pitch_and_a_name() -> None:
    with pytest.raises(TypeError, match="two pitches or between two names"):
        interval_between(parse_pitch("E4"), PitchClass("C", 0))  # type: ignore[call-overload]


@pytest.mark.parametrize(
    ("number", "semitones", "message"),
    [
        (0, 0, "an interval counts at least one letter, not 0"),
        (3, 11, "11 semitones cannot be called a third"),
        (2, 12, "12 semitones cannot be called a second"),
        (99, 168, "an interval of 99 letters is wider than any instrument"),
    ],
)
def test_distances_that_are_no_interval(number: int, semitones: int, message: str) -> None:
    with pytest.raises(TheoryError) as caught:
        _ = Interval(number, semitones).name
    assert str(caught.value) == message
