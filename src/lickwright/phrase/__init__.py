"""What is played when: bars, beats, struck notes and their gestures, as frozen values."""

from lickwright.phrase.clock import Clock
from lickwright.phrase.curve import PitchCurve, Target, run_curve
from lickwright.phrase.feel import STRAIGHT, Feel
from lickwright.phrase.meter import Meter, count_name
from lickwright.phrase.note import (
    Bend,
    Entry,
    Finger,
    Link,
    LinkKind,
    Mark,
    Note,
    Release,
    SlideOff,
    Stroke,
    Timing,
    Trill,
    Vibrato,
)
from lickwright.phrase.phrase import Bar, ChordAt, Count, Phrase, Span
from lickwright.phrase.times import NoteTime, Performance, perform
from lickwright.phrase.tuning import STANDARD, Tuning, harmonic_number

__all__ = [
    "STANDARD",
    "STRAIGHT",
    "Bar",
    "Bend",
    "ChordAt",
    "Clock",
    "Count",
    "Entry",
    "Feel",
    "Finger",
    "Link",
    "LinkKind",
    "Mark",
    "Meter",
    "Note",
    "NoteTime",
    "Performance",
    "Phrase",
    "PitchCurve",
    "Release",
    "SlideOff",
    "Span",
    "Stroke",
    "Target",
    "Timing",
    "Trill",
    "Tuning",
    "Vibrato",
    "count_name",
    "harmonic_number",
    "perform",
    "run_curve",
]
