"""Where on the neck can it be played, with which fingers, and how hard is it?"""

from lickwright.neck.bending import (
    BendEffort,
    Direction,
    bend_direction,
    bend_effort,
    widest_bend,
)
from lickwright.neck.forms import Form, Grip, grips
from lickwright.neck.geometry import USUAL_SCALE_MM, Neck, fret_distance, fret_position
from lickwright.neck.guitar import Guitar, guitar_for, usual_strings
from lickwright.neck.pattern import Pattern, Place, best_pattern, patterns, standard_intervals
from lickwright.neck.strings import (
    EXTRA_LIGHT,
    LIGHT,
    MEDIUM,
    GuitarString,
    StringSet,
    string_set,
)

__all__ = [
    "EXTRA_LIGHT",
    "LIGHT",
    "MEDIUM",
    "USUAL_SCALE_MM",
    "BendEffort",
    "Direction",
    "Form",
    "Grip",
    "Guitar",
    "GuitarString",
    "Neck",
    "Pattern",
    "Place",
    "StringSet",
    "bend_direction",
    "bend_effort",
    "best_pattern",
    "fret_distance",
    "fret_position",
    "grips",
    "guitar_for",
    "patterns",
    "standard_intervals",
    "string_set",
    "usual_strings",
    "widest_bend",
]
