"""Why does this phrase work? Facts about each tone and the phrase, then sentences about them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from types import MappingProxyType

from lickwright.phrase import Phrase
from lickwright.reasons.facts import (
    Approach,
    BlueFifth,
    Fact,
    Likeness,
    MinorToMajor,
    Repetition,
    SlideHome,
)
from lickwright.reasons.facts import Sequence as ChordSequence
from lickwright.reasons.hand import chord_grips, in_pattern, open_strings, slide_imitations
from lickwright.reasons.harmony import (
    added_sixths,
    bend_targets,
    blue_fifths,
    blue_thirds,
    endings,
    minor_to_major,
    octave_surprises,
    outlines,
    slides_home,
    struck_bent,
)
from lickwright.reasons.leading import (
    anticipations,
    approaches,
    enclosures,
    guide_tones,
    suspensions,
)
from lickwright.reasons.line import melody
from lickwright.reasons.motion import Motions, motions
from lickwright.reasons.rhythm import pickups, repetitions, sequences, spaces, triplets
from lickwright.reasons.sentences import Reason, say
from lickwright.reasons.shape import calls_and_answers, climaxes, displacements
from lickwright.reasons.tones import Tone, tones_of
from lickwright.theory import Pitch

SHOWN = 5  # sentences shown unless all are asked for


@dataclass(frozen=True, slots=True)
class Explanation:
    """All that is known about why a phrase works. `reasons`: the most helpful first."""

    phrase: Phrase
    tones: tuple[Tone, ...]
    motions: Motions  # of the tones of the line
    facts: tuple[Fact, ...]
    reasons: tuple[Reason, ...]

    @property
    def shown(self) -> tuple[Reason, ...]:
        """The few reasons that help most."""
        return self.reasons[:SHOWN]

    @property
    def degrees(self) -> Mapping[str, str]:
        """For each note that sounds: the degrees it goes through, as in `4→5`."""
        found: dict[str, list[str]] = {}
        for tone in self.tones:
            texts = found.setdefault(tone.note.id, [])
            if not texts or texts[-1] != tone.degree_text:
                texts.append(tone.degree_text)
        return MappingProxyType({note: "→".join(texts) for note, texts in found.items()})

    @property
    def spelled(self) -> Mapping[str, Pitch]:
        """For each note that sounds: the name of the pitch with which it is entered."""
        firsts: dict[str, Pitch] = {}
        for tone in self.tones:
            firsts.setdefault(tone.note.id, tone.name)
        return MappingProxyType(firsts)


@lru_cache(maxsize=256)
def explain(phrase: Phrase) -> Explanation:
    """Work out the tones, facts and sentences of one phrase; those of the last ones are kept."""
    tones = tones_of(phrase)
    line = melody(tones)
    facts = _without_doubles(_facts(phrase, tones, line))
    reasons = _distinct(say(fact, phrase) for fact in facts)
    return Explanation(phrase, tones, motions(line, phrase), facts, tuple(_varied(reasons)))


def _varied(reasons: list[Reason]) -> list[Reason]:
    """The most helpful first; a second reason of a kind waits until every kind has had its turn."""
    turn: dict[str, int] = {}
    turns = []
    for reason in reasons:
        turn[reason.kind] = turn.get(reason.kind, 0) + 1
        turns.append((turn[reason.kind], reason))
    return [reason for _, reason in sorted(turns, key=lambda each: (each[0], -each[1].salience))]


def _facts(phrase: Phrase, tones: tuple[Tone, ...], line: tuple[Tone, ...]) -> Iterator[Fact]:
    yield from endings(line, phrase)
    yield from sequences(phrase, line)
    yield from calls_and_answers(line, phrase)
    yield from octave_surprises(line, phrase)
    yield from outlines(line)
    yield from bend_targets(tones)
    yield from struck_bent(tones)
    yield from slides_home(line)
    yield from minor_to_major(tones)
    yield from blue_thirds(tones, phrase)
    yield from blue_fifths(line, phrase)
    yield from guide_tones(line, phrase)
    yield from anticipations(line, phrase)
    yield from suspensions(line)
    yield from enclosures(line)
    yield from approaches(line)
    yield from added_sixths(line)
    yield from chord_grips(tones, phrase)
    yield from in_pattern(tones, phrase)
    yield from pickups(phrase)
    yield from repetitions(phrase, line)
    yield from displacements(line, phrase)
    yield from triplets(phrase, line)
    yield from spaces(phrase)
    yield from climaxes(line)
    yield from open_strings(phrase)
    yield from slide_imitations(phrase)


def _without_doubles(facts: Iterable[Fact]) -> tuple[Fact, ...]:
    """Leave out what another fact about the same notes says better."""
    every = list(facts)
    moved = {number for fact in every if isinstance(fact, ChordSequence) for number in fact.bars}
    turned = {
        (type(fact), note)
        for fact in every
        if isinstance(fact, MinorToMajor | BlueFifth)
        for note in fact.notes
    }
    return tuple(
        fact
        for fact in every
        if not (
            isinstance(fact, Repetition)
            and fact.likeness in (Likeness.MOVED, Likeness.SAME_RHYTHM)
            and set(fact.bars) <= moved
        )
        and not (isinstance(fact, SlideHome) and (MinorToMajor, fact.notes[-1]) in turned)
        and not (
            isinstance(fact, Approach)
            and {(MinorToMajor, fact.notes[0]), (BlueFifth, fact.notes[0])} & turned
        )
    )


def _distinct(reasons: Iterable[Reason]) -> list[Reason]:
    """Join reasons that say the same of different notes."""
    firsts: dict[tuple[str, str], Reason] = {}
    notes: dict[tuple[str, str], tuple[str, ...]] = {}
    for reason in reasons:
        key = (reason.kind, reason.text)
        firsts.setdefault(key, reason)
        notes[key] = notes.get(key, ()) + reason.notes
    return [
        replace(reason, notes=tuple(dict.fromkeys(notes[key]))) for key, reason in firsts.items()
    ]
