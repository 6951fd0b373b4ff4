"""Why does this phrase work? Facts about each tone and the phrase, then sentences about them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from lickwright.phrase import Phrase
from lickwright.reasons.facts import Fact
from lickwright.reasons.hand import chord_grips, in_pattern, open_strings, slide_imitations
from lickwright.reasons.harmony import (
    added_sixths,
    bend_targets,
    blue_fifths,
    blue_thirds,
    endings,
    octave_surprises,
    outlines,
)
from lickwright.reasons.line import melody
from lickwright.reasons.rhythm import pickups, repetitions, sequences, spaces, triplets
from lickwright.reasons.sentences import Reason, say
from lickwright.reasons.tones import Tone, tones_of
from lickwright.theory import Pitch

SHOWN = 5  # sentences shown unless all are asked for


@dataclass(frozen=True, slots=True)
class Explanation:
    """All that is known about why a phrase works. `reasons`: the most helpful first."""

    phrase: Phrase
    tones: tuple[Tone, ...]
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


def explain(phrase: Phrase) -> Explanation:
    """Work out the tones, facts and sentences of one phrase."""
    tones = tones_of(phrase)
    facts = tuple(_facts(phrase, tones))
    reasons = _distinct(say(fact, phrase) for fact in facts)
    return Explanation(phrase, tones, facts, tuple(_varied(reasons)))


def _varied(reasons: list[Reason]) -> list[Reason]:
    """The most helpful first; a second reason of a kind waits until every kind has had its turn."""
    turn: dict[str, int] = {}
    turns = []
    for reason in reasons:
        turn[reason.kind] = turn.get(reason.kind, 0) + 1
        turns.append((turn[reason.kind], reason))
    return [reason for _, reason in sorted(turns, key=lambda each: (each[0], -each[1].salience))]


def _facts(phrase: Phrase, tones: tuple[Tone, ...]) -> Iterator[Fact]:
    line = melody(tones)
    yield from endings(line, phrase)
    yield from sequences(phrase, line)
    yield from octave_surprises(line, phrase)
    yield from outlines(line)
    yield from bend_targets(tones)
    yield from blue_thirds(tones, phrase)
    yield from blue_fifths(line, phrase)
    yield from added_sixths(line)
    yield from chord_grips(tones, phrase)
    yield from in_pattern(tones, phrase)
    yield from pickups(phrase)
    yield from repetitions(phrase)
    yield from triplets(phrase, line)
    yield from spaces(phrase)
    yield from open_strings(phrase)
    yield from slide_imitations(phrase)


def _distinct(reasons: Iterable[Reason]) -> list[Reason]:
    """Join reasons that say the same of different notes."""
    notes: dict[tuple[str, str, int], tuple[str, ...]] = {}
    for reason in reasons:
        key = (reason.kind, reason.text, reason.salience)
        notes[key] = tuple(dict.fromkeys(notes.get(key, ()) + reason.notes))
    return [Reason(kind, text, ids, salience) for (kind, text, salience), ids in notes.items()]
