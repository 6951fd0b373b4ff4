"""What is this pitch, interval, scale, chord or key called, and how do they relate?"""

from lickwright.theory.chord import (
    NO_CHORD,
    Chord,
    ChordTone,
    parse_chord,
    transpose_chord,
)
from lickwright.theory.chord_kind import CHORD_KINDS, Change, ChangeType, ChordKind
from lickwright.theory.degree import Degree, degree_of, name_at, parse_degree, spell
from lickwright.theory.errors import TheoryError
from lickwright.theory.interval import Interval, interval_between, transpose
from lickwright.theory.key import (
    Key,
    Mode,
    parallel,
    parse_key,
    practical_key,
    relative,
    usual_key,
)
from lickwright.theory.pitch import (
    Pitch,
    PitchClass,
    cents_between,
    hz_to_midi,
    midi_to_hz,
    parse_pitch,
    parse_pitch_class,
)
from lickwright.theory.place import ChordPlace, Standing, place_in_chord
from lickwright.theory.roman import roman
from lickwright.theory.scale import (
    Scale,
    ScaleKind,
    memberships,
    parse_scale_kind,
    scale,
    scale_degrees,
    scale_kinds,
)
from lickwright.theory.strength import (
    KRUMHANSL_KESSLER,
    basic_space,
    probe_tone_rating,
    strength,
)

__all__ = [
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
