from __future__ import annotations

from lickwright import theory

PUBLIC = [
    "CHORD_KINDS",
    "KRUMHANSL_KESSLER",
    "NO_CHORD",
    "Change",
    "ChangeType",
    "Chord",
    "ChordKind",
    "ChordPlace",
    "ChordTone",
    "Degree",
    "Interval",
    "Key",
    "Mode",
    "Pitch",
    "PitchClass",
    "Scale",
    "ScaleKind",
    "Standing",
    "TheoryError",
    "basic_space",
    "cents_between",
    "degree_of",
    "hz_to_midi",
    "interval_between",
    "memberships",
    "midi_to_hz",
    "name_at",
    "parallel",
    "parse_chord",
    "parse_degree",
    "parse_key",
    "parse_pitch",
    "parse_pitch_class",
    "parse_scale_kind",
    "place_in_chord",
    "practical_key",
    "probe_tone_rating",
    "relative",
    "roman",
    "scale",
    "scale_degrees",
    "scale_kinds",
    "spell",
    "strength",
    "transpose",
    "transpose_chord",
    "usual_key",
]


def test_the_public_names_of_the_room() -> None:
    assert sorted(theory.__all__) == sorted(PUBLIC)


def test_every_public_name_is_there_and_documented() -> None:
    for name in theory.__all__:
        value = getattr(theory, name)
        if callable(value):
            assert (value.__doc__ or "").strip(), name
