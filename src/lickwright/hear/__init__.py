"""What did the pupil play, and how far is it from what is written?"""

from lickwright.hear.hearing import hear
from lickwright.hear.problem import TakeProblem
from lickwright.hear.take_file import Recording, read_take
from lickwright.hear.verdicts import (
    AddedNote,
    BendHeard,
    BendVerdict,
    Doubt,
    DoubtReason,
    Hearing,
    NoteHeard,
    Punctuality,
    SlideHeard,
    TrillHeard,
    Unsure,
    Verdict,
    VibratoHeard,
)

__all__ = [
    "AddedNote",
    "BendHeard",
    "BendVerdict",
    "Doubt",
    "DoubtReason",
    "Hearing",
    "NoteHeard",
    "Punctuality",
    "Recording",
    "SlideHeard",
    "TakeProblem",
    "TrillHeard",
    "Unsure",
    "Verdict",
    "VibratoHeard",
    "hear",
    "read_take",
]
