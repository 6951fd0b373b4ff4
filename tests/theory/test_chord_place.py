from __future__ import annotations

from itertools import product

import pytest

from lickwright.theory import (
    CHORD_KINDS,
    Standing,
    parse_chord,
    parse_pitch_class,
    place_in_chord,
)

from .outside import ROOTS

TONE, COLOUR, OUTSIDE = Standing.TONE, Standing.COLOUR, Standing.OUTSIDE


# Common practice, no source: what a lead player calls each note over a dominant seventh.
@pytest.mark.parametrize(
    ("midi", "standing", "words", "also", "interval"),
    [
        (57, TONE, "root", "", "unison"),
        (58, OUTSIDE, "flat ninth", "", "minor ninth"),
        (59, COLOUR, "ninth", "second", "major ninth"),
        (60, OUTSIDE, "blue third", "sharp ninth", "minor third"),
        (61, TONE, "third", "", "major third"),
        (62, COLOUR, "eleventh", "fourth", "perfect eleventh"),
        (63, OUTSIDE, "flat fifth", "sharp eleventh", "diminished fifth"),
        (64, TONE, "fifth", "", "perfect fifth"),
        (65, OUTSIDE, "flat sixth", "flat thirteenth", "minor sixth"),
        (66, COLOUR, "sixth", "thirteenth", "major sixth"),
        (67, TONE, "seventh", "", "minor seventh"),
        (68, OUTSIDE, "major seventh", "", "major seventh"),
    ],
)
def test_every_note_over_a_dominant_seventh(
    midi: int, standing: Standing, words: str, also: str, interval: str
) -> None:
    place = place_in_chord(midi, parse_chord("A7"))
    assert (place.standing, place.words, place.also) == (standing, words, also)
    assert place.interval is not None
    assert place.interval.name == interval


@pytest.mark.parametrize(
    ("note", "chord", "standing", "words", "interval"),
    [
        ("C", "Am", TONE, "third", "minor third"),
        ("C#", "Am", OUTSIDE, "major third", "major third"),
        ("Bb", "C", COLOUR, "flat seventh", "minor seventh"),
        ("B", "C", COLOUR, "major seventh", "major seventh"),
        ("Bb", "Cmaj7", OUTSIDE, "flat seventh", "minor seventh"),
        ("C", "A5", COLOUR, "minor third", "minor third"),
        ("C#", "A5", COLOUR, "major third", "major third"),
        ("G", "C7no5", COLOUR, "fifth", "perfect fifth"),
        ("G", "C7b5", OUTSIDE, "fifth", "perfect fifth"),
        ("Gb", "C7b5", TONE, "flat fifth", "diminished fifth"),
        ("G#", "C+", TONE, "sharp fifth", "augmented fifth"),
        ("F##", "E7#9", TONE, "sharp ninth", "augmented ninth"),
        ("G", "E7#9", TONE, "sharp ninth", "minor tenth"),
        ("F#", "E7#9", OUTSIDE, "ninth", "major ninth"),
        ("F##", "E7", OUTSIDE, "blue third", "augmented second"),
        ("D", "G7sus4", TONE, "fifth", "perfect fifth"),
        ("C", "G7sus4", TONE, "fourth", "perfect fourth"),
        ("A", "Cdim7", TONE, "seventh", "major sixth"),
        ("D", "C/D", TONE, "ninth", "major ninth"),
        ("C#", "C/C#", TONE, "augmented unison", "augmented unison"),
        ("C", "D/C", TONE, "seventh", "minor seventh"),
        ("Ab", "G7b9", TONE, "flat ninth", "minor ninth"),
        ("Eb", "G7(b13)", TONE, "flat thirteenth", "minor thirteenth"),
        ("A", "C7(b13)", OUTSIDE, "sixth", "major sixth"),
        ("A", "Cm6", TONE, "sixth", "major sixth"),
    ],
)
def test_a_named_note_over_a_chord(
    note: str, chord: str, standing: Standing, words: str, interval: str
) -> None:
    place = place_in_chord(parse_pitch_class(note), parse_chord(chord))
    assert (place.standing, place.words) == (standing, words)
    assert place.interval is not None
    assert place.interval.name == interval


def test_without_a_chord_there_is_no_place() -> None:
    place = place_in_chord(60, parse_chord("N.C."))
    assert (place.standing, place.number, place.words) == (Standing.NO_CHORD, 0, "no chord")
    assert place.interval is None


def test_chord_tones_and_only_they_stand_as_tones() -> None:
    for root, kind in product(ROOTS, CHORD_KINDS):
        chord = parse_chord(f"{root}{kind.suffix}")
        for midi in range(48, 60):
            place = place_in_chord(midi, chord)
            assert (place.standing is TONE) == (midi % 12 in chord.chromas)
            assert place.tone == chord.role_of(midi)
            assert place.interval is not None
            assert place.interval.semitones % 12 == (midi - root.chroma) % 12
            assert (place.words == "root") == (midi % 12 == root.chroma)


def test_the_number_and_the_interval_of_a_midi_note_agree() -> None:
    for kind, midi in product(CHORD_KINDS, range(60, 72)):
        place = place_in_chord(midi, parse_chord(f"C{kind.suffix}"))
        assert place.interval is not None
        assert place.interval.number == place.number
