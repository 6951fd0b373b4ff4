from __future__ import annotations

from itertools import product
from types import SimpleNamespace

import pytest

from lickwright.theory import (
    CHORD_KINDS,
    KRUMHANSL_KESSLER,
    Chord,
    Key,
    Mode,
    basic_space,
    parse_chord,
    parse_key,
    probe_tone_rating,
    strength,
)

from .outside import KEYS, m21_name


def numbers(text: str) -> tuple[int, ...]:
    return tuple(map(int, text.split()))


# Source: F. Lerdahl, Tonal Pitch Space: the basic space of I in C. The other rows follow from his
# rules by hand: root 5, fifth 4, other chord tones 3, scale 2, the rest 1.
@pytest.mark.parametrize(
    ("chord", "key", "levels"),
    [
        ("C", "C", "5 1 2 1 3 2 1 4 1 2 1 2"),
        ("G", "C", "2 1 4 1 2 2 1 5 1 2 1 3"),
        ("Am", "A minor", "3 1 2 1 4 2 1 2 1 5 1 2"),
        ("Am", "C", "3 1 2 1 4 2 1 2 1 5 1 2"),
        ("G7", "C", "2 1 4 1 2 3 1 5 1 2 1 3"),
        ("E7", "A minor", "2 1 3 1 5 2 1 1 3 2 1 4"),
        ("C7", "C", "5 1 2 1 3 2 1 4 1 2 3 1"),
        ("F7", "C", "4 1 2 3 1 5 1 2 1 3 1 2"),
        ("C5", "C", "5 1 2 1 2 2 1 4 1 2 1 2"),
        ("Bdim", "C", "2 1 3 1 2 4 1 2 1 2 1 5"),
        ("C/Gb", "C", "5 1 2 1 3 2 3 4 1 2 1 2"),
        ("N.C.", "C", "5 1 2 1 3 2 1 4 1 2 1 2"),
        ("N.C.", "A minor", "3 1 2 1 4 2 1 2 1 5 1 2"),
    ],
)
def test_levels_of_basic_space(chord: str, key: str, levels: str) -> None:
    assert basic_space(parse_chord(chord), parse_key(key)) == numbers(levels)


def _chord_distance(start: Chord, goal: Chord, key: Key) -> int:
    """Lerdahl's distance within one key: steps on the cycle of scale fifths, plus new tones."""
    scale = [tone for tone, count in enumerate(basic_space(start, key)) if count >= 2]
    degrees = [scale.index(chord.root.chroma) for chord in (start, goal)]
    fifths = (degrees[1] - degrees[0]) * 2 % 7  # four scale steps are one fifth, 4 * 2 = 1 mod 7
    before, after = basic_space(start, key), basic_space(goal, key)
    return min(fifths, 7 - fifths) + sum(max(0, b - a) for a, b in zip(before, after, strict=True))


# Source: F. Lerdahl, Tonal Pitch Space: distances from I in a major key.
@pytest.mark.parametrize(
    ("chord", "distance"),
    [("C", 0), ("Dm", 8), ("Em", 7), ("F", 5), ("G", 5), ("Am", 7), ("Bdim", 8)],
)
def test_chord_distances_from_the_tonic(chord: str, distance: int) -> None:
    key = parse_key("C")
    assert _chord_distance(parse_chord("C"), parse_chord(chord), key) == distance


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_levels_in_any_key_and_chord(key: Key) -> None:
    for kind in CHORD_KINDS:
        chord = parse_chord(f"{key.tonic}{kind.suffix}")
        levels = basic_space(chord, key)
        assert [c for c in range(12) if levels[c] == 5] == [chord.root.chroma]
        assert {c for c in range(12) if levels[c] >= 3} == chord.chromas
        assert all(1 <= count <= 5 for count in levels)
        assert levels == tuple(strength(chroma + 12, chord, key) for chroma in range(12))


def test_another_key_only_turns_the_space() -> None:
    for key in KEYS:
        root = key.tonic.chroma
        home = parse_key("C" if key.mode is Mode.MAJOR else "C minor")
        for kind in CHORD_KINDS:
            moved = basic_space(parse_chord(f"{key.tonic}{kind.suffix}"), key)
            at_home = basic_space(parse_chord(f"C{kind.suffix}"), home)
            assert moved == tuple(at_home[(chroma - root) % 12] for chroma in range(12))


def test_profiles_agree_with_music21(m21: SimpleNamespace) -> None:
    # Source: music21 analysis.discrete.KrumhanslKessler, which holds the 1982 profiles.
    theirs = m21.discrete.KrumhanslKessler()
    for mode, profile in KRUMHANSL_KESSLER.items():
        assert list(profile) == theirs.getWeights(mode.value)


def test_ratings_turn_with_the_key() -> None:
    for key, chroma in product(KEYS, range(12)):
        above = (chroma - key.tonic.chroma) % 12
        assert probe_tone_rating(chroma, key) == KRUMHANSL_KESSLER[key.mode][above]
        assert 1 <= probe_tone_rating(chroma, key) <= 7
    assert m21_name(max(KEYS, key=lambda k: probe_tone_rating(10, k)).tonic) in {"B-", "A#"}
