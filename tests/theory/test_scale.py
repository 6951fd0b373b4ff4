from __future__ import annotations

from itertools import product
from types import SimpleNamespace

import pytest

from lickwright.theory import (
    PitchClass,
    ScaleKind,
    TheoryError,
    memberships,
    parse_pitch_class,
    parse_scale_kind,
    scale,
    scale_degrees,
    scale_kinds,
)

from .outside import ROOTS, m21_name


# Source: npm tonal 6.4.3 (Scale.get) and music21 10.5.1, both on A; dorian to locrian arithmetic.
@pytest.mark.parametrize(
    ("kind", "names"),
    [
        ("minor pentatonic", "A C D E G"),
        ("major pentatonic", "A B C# E F#"),
        ("blues", "A C D Eb E G"),
        ("major blues", "A B C C# E F#"),
        ("mixolydian", "A B C# D E F# G"),
        ("dorian", "A B C D E F# G"),
        ("phrygian", "A Bb C D E F G"),
        ("lydian", "A B C# D# E F# G#"),
        ("locrian", "A Bb C D Eb F G"),
        ("major", "A B C# D E F# G#"),
        ("natural minor", "A B C D E F G"),
        ("harmonic minor", "A B C D E F G#"),
        ("chromatic", "A Bb B C C# D Eb E F F# G G#"),
    ],
)
def test_scales_on_a(kind: str, names: str) -> None:
    found = scale(parse_scale_kind(kind), PitchClass("A", 0))
    assert " ".join(map(str, found.names)) == names
    assert str(found) == f"A {kind}"


_M21_CLASSES = {
    ScaleKind.MAJOR: "MajorScale",
    ScaleKind.NATURAL_MINOR: "MinorScale",
    ScaleKind.HARMONIC_MINOR: "HarmonicMinorScale",
    ScaleKind.DORIAN: "DorianScale",
    ScaleKind.MIXOLYDIAN: "MixolydianScale",
    ScaleKind.PHRYGIAN: "PhrygianScale",
    ScaleKind.LYDIAN: "LydianScale",
    ScaleKind.LOCRIAN: "LocrianScale",
}


@pytest.mark.parametrize("kind", list(_M21_CLASSES), ids=lambda kind: kind.value)
@pytest.mark.parametrize("tonic", ROOTS, ids=str)
def test_seven_note_scales_agree_with_music21(
    kind: ScaleKind, tonic: PitchClass, m21: SimpleNamespace
) -> None:
    # Source: music21 scale classes, on every tonic.
    theirs = getattr(m21.scale, _M21_CLASSES[kind])(m21_name(tonic)).pitches[:7]
    assert [m21_name(name) for name in scale(kind, tonic).names] == [p.name for p in theirs]


# Source: definition: the minor pentatonic is the relative major pentatonic from its sixth.
@pytest.mark.parametrize("tonic", ROOTS, ids=str)
def test_relative_pentatonics_and_blues_scales_share_their_notes(tonic: PitchClass) -> None:
    for major, minor in (
        (ScaleKind.MAJOR_PENTATONIC, ScaleKind.MINOR_PENTATONIC),
        (ScaleKind.MAJOR_BLUES, ScaleKind.BLUES),
    ):
        bright = scale(major, tonic)
        dark = scale(minor, bright.names[-1])
        assert set(bright.names) == set(dark.names) or bright.chromas == dark.chromas
        assert bright.chromas == dark.chromas


def test_the_modes_turn_one_scale() -> None:
    major = scale(ScaleKind.MAJOR, PitchClass("C", 0))
    modes = [ScaleKind.MAJOR, ScaleKind.DORIAN, ScaleKind.PHRYGIAN, ScaleKind.LYDIAN,
             ScaleKind.MIXOLYDIAN, ScaleKind.NATURAL_MINOR, ScaleKind.LOCRIAN]  # fmt: skip
    for kind, tonic in zip(modes, major.names, strict=True):
        assert set(scale(kind, tonic).names) == set(major.names)


def test_the_table_as_data() -> None:
    assert set(scale_kinds()) == set(ScaleKind)
    formulas = [scale_degrees(kind) for kind in scale_kinds()]
    assert len(set(formulas)) == len(formulas)
    for degrees in formulas:
        steps = [degree.semitones for degree in degrees]
        assert steps[0] == 0
        assert steps == sorted(set(steps))


def test_what_a_scale_contains() -> None:
    blues = scale(ScaleKind.BLUES, parse_pitch_class("Bb"))
    assert blues.pretty == "B♭ blues"
    inside = {chroma for chroma in range(12) if blues.contains(chroma)}
    assert inside == blues.chromas == {name.chroma for name in blues.names}
    assert blues.contains(58)
    assert not blues.contains(59)


def test_memberships_say_the_same_as_the_scales() -> None:
    for chroma, tonic, kind in product(range(12), ROOTS, ScaleKind):
        listed = kind in memberships(chroma, tonic)
        holds = scale(kind, tonic).contains(chroma)
        assert listed == (holds and kind is not ScaleKind.CHROMATIC)


# Common practice, no source: the blues adds one note to the pentatonic, and nothing else has it.
def test_the_blue_fifth_belongs_to_the_blues_scale_and_few_more() -> None:
    assert memberships(63, PitchClass("A", 0)) == (
        ScaleKind.BLUES,
        ScaleKind.LYDIAN,
        ScaleKind.LOCRIAN,
    )


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("Minor Pentatonic", ScaleKind.MINOR_PENTATONIC),
        (" minor-pentatonic scale ", ScaleKind.MINOR_PENTATONIC),
        ("pentatonic minor", ScaleKind.MINOR_PENTATONIC),
        ("blues scale", ScaleKind.BLUES),
        ("minor blues", ScaleKind.BLUES),
        ("aeolian", ScaleKind.NATURAL_MINOR),
        ("minor", ScaleKind.NATURAL_MINOR),
        ("ionian", ScaleKind.MAJOR),
    ],
)
def test_ways_to_name_a_scale(text: str, kind: ScaleKind) -> None:
    assert parse_scale_kind(text) is kind


def test_every_kind_reads_back_as_itself() -> None:
    for kind in ScaleKind:
        assert parse_scale_kind(kind.value) is kind
        assert parse_scale_kind(scale(kind, PitchClass("C", 0)).name) is kind


@pytest.mark.parametrize(
    ("text", "message", "mend"),
    [
        (
            "minor pentatonc",
            "'minor pentatonc' is no scale; did you mean 'minor pentatonic'?",
            "minor pentatonic",
        ),
        ("mixolidian", "'mixolidian' is no scale; did you mean 'mixolydian'?", "mixolydian"),
        (
            "zzz",
            "'zzz' is no scale; known are: minor pentatonic, major pentatonic, blues, major blues, "
            "major, natural minor, harmonic minor, dorian, mixolydian, phrygian, lydian, locrian, "
            "chromatic",
            "",
        ),
    ],
)
def test_what_is_said_about_an_unknown_scale(text: str, message: str, mend: str) -> None:
    with pytest.raises(TheoryError) as caught:
        parse_scale_kind(text)
    assert (str(caught.value), caught.value.mend) == (message, mend)
