"""Where on the neck can it be played, with which fingers, and how hard is it?"""

from .bending import (
    BendEffort,
    Direction,
    bend_direction,
    bend_effort,
    widest_bend,
)
from .fingering import Fingering, HandFault, Rest, finger, with_fingers
from .fingering_words import Choice, other_fingers, why_finger
from .forms import Form, Grip, grips
from .geometry import USUAL_SCALE_MM, Neck, fret_distance, fret_position
from .guitar import Guitar, guitar_for, usual_strings
from .hand import (
    Fault,
    FaultKind,
    HandSize,
    Press,
    Reach,
    faults,
    reach,
    reach_frets,
    tips_apart,
)
from .hold import Part
from .mending import mended
from .move_music import moved_chord
from .moving import CannotMove, Moved, move
from .pattern import Pattern, Place, best_pattern, patterns, standard_intervals
from .placement import Placement, placements
from .playable import playability, troubles
from .quiet import Damper, Damping, Quiet, Risk, damping
from .quiet_words import damping_words
from .restring import OtherString, other_strings
from .shape import ShapeFingering, finger_shape
from .strings import (
    EXTRA_LIGHT,
    LIGHT,
    MEDIUM,
    GuitarString,
    StringSet,
    string_set,
)
from .stroke_words import picking_words, stroke_word
from .strokes import Picked, Why, picking
from .trouble import Measure, Mend, Trouble, TroubleKind

__all__ = [
    "EXTRA_LIGHT",
    "LIGHT",
    "MEDIUM",
    "USUAL_SCALE_MM",
    "BendEffort",
    "CannotMove",
    "Choice",
    "Damper",
    "Damping",
    "Direction",
    "Fault",
    "FaultKind",
    "Fingering",
    "Form",
    "Grip",
    "Guitar",
    "GuitarString",
    "HandFault",
    "HandSize",
    "Measure",
    "Mend",
    "Moved",
    "Neck",
    "OtherString",
    "Part",
    "Pattern",
    "Picked",
    "Place",
    "Placement",
    "Press",
    "Quiet",
    "Reach",
    "Rest",
    "Risk",
    "ShapeFingering",
    "StringSet",
    "Trouble",
    "TroubleKind",
    "Why",
    "bend_direction",
    "bend_effort",
    "best_pattern",
    "damping",
    "damping_words",
    "faults",
    "finger",
    "finger_shape",
    "fret_distance",
    "fret_position",
    "grips",
    "guitar_for",
    "mended",
    "move",
    "moved_chord",
    "other_fingers",
    "other_strings",
    "patterns",
    "picking",
    "picking_words",
    "placements",
    "playability",
    "reach",
    "reach_frets",
    "standard_intervals",
    "string_set",
    "stroke_word",
    "tips_apart",
    "troubles",
    "usual_strings",
    "why_finger",
    "widest_bend",
    "with_fingers",
]
