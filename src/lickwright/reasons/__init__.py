"""Why does it work: facts about each note and phrase, then sentences about the facts."""

from lickwright.reasons.explain import SHOWN, Explanation, explain
from lickwright.reasons.facts import Fact
from lickwright.reasons.features import techniques
from lickwright.reasons.fit import (
    Fit,
    Mend,
    Verdict,
    fit,
    mend_words,
    percent,
    scales_with,
    serves,
    usual_chords,
)
from lickwright.reasons.grade import Grade, Part, grade
from lickwright.reasons.motion import Motion
from lickwright.reasons.sentences import Reason
from lickwright.reasons.survey import Survey, survey
from lickwright.reasons.tones import How, Tone, metrical_level, tones_of

__all__ = [
    "SHOWN",
    "Explanation",
    "Fact",
    "Fit",
    "Grade",
    "How",
    "Mend",
    "Motion",
    "Part",
    "Reason",
    "Survey",
    "Tone",
    "Verdict",
    "explain",
    "fit",
    "grade",
    "mend_words",
    "metrical_level",
    "percent",
    "scales_with",
    "serves",
    "survey",
    "techniques",
    "tones_of",
    "usual_chords",
]
