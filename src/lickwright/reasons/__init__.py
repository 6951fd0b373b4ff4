"""Why does it work: facts about each note and phrase, then sentences about the facts."""

from lickwright.reasons.explain import SHOWN, Explanation, explain
from lickwright.reasons.facts import Fact
from lickwright.reasons.sentences import Reason
from lickwright.reasons.tones import How, Tone, metrical_level, tones_of

__all__ = [
    "SHOWN",
    "Explanation",
    "Fact",
    "How",
    "Reason",
    "Tone",
    "explain",
    "metrical_level",
    "tones_of",
]
