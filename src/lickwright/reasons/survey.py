"""What does a lesson teach as a whole: easiest first, what is new where, and what is missing?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from lickwright.neck import Guitar
from lickwright.phrase import Phrase
from lickwright.reasons.explain import Explanation
from lickwright.reasons.facts import InPattern, Space
from lickwright.reasons.features import rhythms, settings, techniques
from lickwright.reasons.grade import Grade, grade
from lickwright.reasons.words import listed
from lickwright.theory import name_at, parse_degree

_PATTERNS = range(1, 6)
_CHORDS = (("I", "R"), ("IV", "4"), ("V", "5"))
_ENOUGH = 3  # phrases; a shorter lesson has no gaps to speak of


@dataclass(frozen=True, slots=True)
class Survey:
    """A lesson seen as a whole. Phrases by name."""

    grades: Mapping[str, Grade]
    order: tuple[str, ...]  # the easiest first
    new: Mapping[str, tuple[str, ...]]  # what no earlier phrase of the lesson has
    gaps: tuple[str, ...]  # sentences


def survey(
    explained: Sequence[Explanation], guitars: Mapping[str, Guitar] = MappingProxyType({})
) -> Survey:
    """Look at the phrases of a lesson, in the order in which the teacher wrote them.

    `guitars`: by name of phrase, what it is played on if not on a usual guitar.
    """
    phrases = [why.phrase for why in explained]
    grades = {phrase.name: grade(phrase, guitars.get(phrase.name)) for phrase in phrases}
    order = sorted(grades, key=lambda name: grades[name].total)
    gaps = _gaps(explained) if len(phrases) >= _ENOUGH else ()
    return Survey(MappingProxyType(grades), tuple(order), _new(explained), gaps)


def _new(explained: Sequence[Explanation]) -> Mapping[str, tuple[str, ...]]:
    known: set[str] = set()
    found = {}
    for why in explained:
        features = _features(why)
        found[why.phrase.name] = tuple(each for each in features if each not in known)
        known |= set(features)
    return MappingProxyType(found)


def _features(why: Explanation) -> tuple[str, ...]:
    phrase = why.phrase
    patterns = tuple(f"pattern {number}" for number in sorted(_patterns([why])))
    return (*techniques(phrase), *rhythms(phrase), *settings(phrase), *patterns)


def _patterns(explained: Sequence[Explanation]) -> set[int]:
    return {
        fact.pattern.number
        for why in explained
        for fact in why.facts
        if isinstance(fact, InPattern)
    }


def _gaps(explained: Sequence[Explanation]) -> tuple[str, ...]:
    """What no phrase of the lesson does."""
    phrases = [why.phrase for why in explained]
    found = []
    used = _patterns(explained)
    missing = [str(number) for number in _PATTERNS if number not in used]
    if used and missing:
        word = "pattern" if len(missing) == 1 else "patterns"
        found.append(f"No phrase lies in {word} {listed(missing)}.")
    for numeral, degree in _CHORDS:
        if any(p.chords for p in phrases) and not any(_over(degree, p) for p in phrases):
            found.append(f"No phrase is played over the {numeral} chord of its key.")
    if not any(phrase.pickup for phrase in phrases):
        found.append("No phrase begins before the bar.")
    if not any(isinstance(fact, Space) for why in explained for fact in why.facts):
        found.append("No phrase leaves a silence at its end.")
    techniques_used = {name for phrase in phrases for name in techniques(phrase)}
    if not techniques_used & {"bend", "quarter bend", "bend before the stroke"}:
        found.append("No phrase bends a string.")
    if not techniques_used & {"vibrato", "wide vibrato"}:
        found.append("No note is shaken: there is no vibrato.")
    return tuple(found)


def _over(degree: str, phrase: Phrase) -> bool:
    """Whether a phrase is played over the chord on a degree of its key."""
    root = name_at(parse_degree(degree), phrase.key.tonic).chroma
    return any(at.chord.sounds and at.chord.root.chroma == root for at in phrase.chords)
