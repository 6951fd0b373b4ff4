"""Where on the neck can it be played, with which fingers, and how hard is it?"""

from lickwright.neck.bending import (
    BendEffort,
    Direction,
    bend_direction,
    bend_effort,
    widest_bend,
)
from lickwright.neck.damping import Damper, Damping, Quiet, Risk, damping
from lickwright.neck.damping_words import damping_words
from lickwright.neck.fingering import Fingering, HandFault, Rest, finger, with_fingers
from lickwright.neck.fingering_words import Choice, other_fingers, why_finger
from lickwright.neck.forms import Form, Grip, grips
from lickwright.neck.geometry import USUAL_SCALE_MM, Neck, fret_distance, fret_position
from lickwright.neck.guitar import Guitar, guitar_for, usual_strings
from lickwright.neck.hand import (
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
from lickwright.neck.hold import Part
from lickwright.neck.mending import mended
from lickwright.neck.move import CannotMove, Moved, move
from lickwright.neck.move_music import moved_chord
from lickwright.neck.pattern import Pattern, Place, best_pattern, patterns, standard_intervals
from lickwright.neck.picking import Picked, Why, picking
from lickwright.neck.picking_words import picking_words, stroke_word
from lickwright.neck.placement import Placement, placements
from lickwright.neck.playability import playability, troubles
from lickwright.neck.restring import OtherString, other_strings
from lickwright.neck.shape import ShapeFingering, finger_shape
from lickwright.neck.strings import (
    EXTRA_LIGHT,
    LIGHT,
    MEDIUM,
    GuitarString,
    StringSet,
    string_set,
)
from lickwright.neck.trouble import Measure, Mend, Trouble, TroubleKind

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
