"""Which sentences say a fact, and how much does it help to know it?"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from lickwright.phrase import Phrase
from lickwright.reasons import facts as f
from lickwright.reasons import fuller, simpler
from lickwright.reasons.facts import Fact

_Template = Callable[[Any, Phrase], str]


@dataclass(frozen=True, slots=True)
class Reason:
    """A sentence about some notes. `salience`: how much it helps to know it, 0 to 100."""

    kind: str  # the fact's kind in words: ending, target, blue third
    text: str
    notes: tuple[str, ...]  # ids
    salience: int
    simple: str  # the same for a beginner; it claims no more


def say(fact: Fact, phrase: Phrase) -> Reason:
    """Say one fact about `phrase`."""
    kind, salience, full, simple = _TEMPLATES[type(fact)]
    return Reason(kind, full(fact, phrase), fact.notes, salience, simple(fact, phrase))


# Kind in words, salience (our choice: what a teacher would say first), template, for a beginner.
_TEMPLATES: dict[type, tuple[str, int, _Template, _Template]] = {
    f.Ending: ("ending", 90, fuller.ending, simpler.ending),
    f.Sequence: ("sequence", 88, fuller.sequence, simpler.sequence),
    f.CallAndAnswer: ("call and answer", 86, fuller.call_and_answer, simpler.call_and_answer),
    f.OctaveSurprise: ("octave surprise", 85, fuller.octave_surprise, fuller.octave_surprise),
    f.BlueThird: ("blue third", 82, fuller.blue_third, simpler.blue_third),
    f.Target: ("target", 80, fuller.target, simpler.target),
    f.StruckBent: ("struck bent", 79, fuller.struck_bent, simpler.struck_bent),
    f.MinorToMajor: ("minor to major", 78, fuller.minor_to_major, simpler.minor_to_major),
    f.BlueFifth: ("blue fifth", 75, fuller.blue_fifth, simpler.blue_fifth),
    f.GuideTones: ("guide tones", 74, fuller.guide_tones, simpler.guide_tones),
    f.Enclosure: ("enclosure", 73, fuller.enclosure, simpler.enclosure),
    f.Anticipation: ("anticipation", 72, fuller.anticipation, simpler.anticipation),
    f.Suspension: ("suspension", 71, fuller.suspension, simpler.suspension),
    f.Outline: ("chord outline", 70, fuller.outline, simpler.outline),
    f.InPattern: ("pattern", 68, fuller.in_pattern, simpler.in_pattern),
    f.Pickup: ("pickup", 66, fuller.pickup, simpler.pickup),
    f.ChordGrip: ("grip", 65, fuller.grip, simpler.grip),
    f.SlideHome: ("slide", 63, fuller.slide_home, simpler.slide_home),
    f.AddedSixth: ("added sixth", 60, fuller.added_sixth, simpler.added_sixth),
    f.SlideImitation: ("slide imitation", 58, fuller.slide_imitation, fuller.slide_imitation),
    f.Approach: ("approach", 57, fuller.approach, simpler.approach),
    f.Repetition: ("repetition", 55, fuller.repetition, simpler.repetition),
    f.Displacement: ("displacement", 54, fuller.displacement, fuller.displacement),
    f.Space: ("space", 52, fuller.space, fuller.space),
    f.Triplets: ("rhythm", 50, fuller.triplets, simpler.triplets),
    f.Climax: ("climax", 48, fuller.climax, simpler.climax),
    f.OpenStrings: ("open strings", 45, fuller.open_strings, simpler.open_strings),
}
