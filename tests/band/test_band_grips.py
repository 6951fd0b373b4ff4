"""The rhythm guitarist's grips, against what is held in practice and a hand checked by itself."""

from __future__ import annotations

from itertools import product

import pytest

from lickwright.band import held_chord
from lickwright.phrase import STANDARD
from lickwright.theory import CHORD_KINDS, NO_CHORD, parse_chord

ROOTS = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")


def shown(symbol: str) -> str:
    grip = held_chord(parse_chord(symbol))
    assert grip is not None
    return " ".join("x" if fret is None else str(fret) for fret in grip.frets)


# Common practice, no source: barre chords as every rhythm player holds them, low string first.
@pytest.mark.parametrize(
    ("symbol", "frets"),
    [
        ("G", "3 5 5 4 3 3"), ("Gm", "3 5 5 3 3 3"), ("G7", "3 5 3 4 3 3"), ("Gm7", "3 5 3 3 3 3"),
        ("C", "x 3 5 5 5 3"), ("Cm", "x 3 5 5 4 3"), ("C7", "x 3 5 3 5 3"), ("Cm7", "x 3 5 3 4 3"),
        ("D9", "x 5 4 5 5 5"), ("Cmaj7", "x 3 5 4 5 3"), ("A5", "5 7 7 x x x"),
        ("A7", "5 7 5 6 5 5"), ("E", "0 2 2 1 0 0"), ("E7", "0 2 0 1 0 0"),
    ],
)  # fmt: skip
def test_common_chords_are_held_as_players_hold_them(symbol, frets):
    assert shown(symbol) == frets


def four_fingers_can(frets: tuple[int | None, ...]) -> bool:
    """Whether four fingers can hold it, tried out finger by finger (each flat or on one string)."""
    fretted = [(s, f) for s, f in enumerate(frets) if f]
    held = {frozenset({place}) for place in fretted}
    for fret in {f for _, f in fretted}:
        for low, high in product(range(6), repeat=2):
            under = range(low, high + 1)
            if low < high and all(frets[s] is None or frets[s] >= fret for s in under):
                held.add(frozenset((s, fret) for s in under if frets[s] == fret))
    return fewest(set(fretted), held) <= 4


def fewest(wanted: set, held: set) -> int:
    if not wanted:
        return 0
    first = min(wanted)
    return 1 + min(fewest(wanted - finger, held) for finger in held if first in finger)


@pytest.mark.parametrize("suffix", [kind.suffix for kind in CHORD_KINDS] + ["7#9", "7b9", "7b5"])
def test_every_chord_can_be_held_and_says_what_it_is(suffix):
    for root in ROOTS:
        chord = parse_chord(root + suffix)
        grip = held_chord(chord)
        assert grip is not None
        fretted = [fret for fret in grip.frets if fret]
        assert max(fretted) - min(fretted) <= 3
        assert max(fretted) <= 14
        assert four_fingers_can(grip.frets)
        sounding = {midi % 12 for _, midi in grip.notes}
        assert sounding <= chord.chromas
        telling = [r for r, _ in chord.kind.tones if r in (2, 3, 4, 7, 6) and suffix != "6/9"]
        for role in telling[:2]:
            semitones = dict(chord.kind.tones)[role]
            assert (chord.root.chroma + semitones) % 12 in sounding, (root + suffix, role)


def test_notes_are_those_of_the_strings():
    grip = held_chord(parse_chord("G7"))
    for string, midi in grip.notes:
        assert midi == STANDARD.midi(string, grip.frets[6 - string])
    assert [midi for _, midi in grip.notes] == [43, 50, 53, 59, 62, 67]  # G2 D3 F3 B3 D4 G4


def test_a_foreign_bass_is_the_bass_players():
    assert held_chord(parse_chord("C/D")).frets == held_chord(parse_chord("C")).frets


def test_no_chord_is_not_held():
    assert held_chord(NO_CHORD) is None
