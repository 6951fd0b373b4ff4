"""How hard is a phrase, as a sum that can be read?

Each part measures one thing and gives points; the points of a part are our own choice, set so that
one point is about what one more note a second asks. Bends are weighed by the force that they take
(see `lickwright.neck.bend_effort`), stretches by the distance between frets; changes of position
are those of the best fingering (see `lickwright.neck.finger`).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from lickwright.neck import (
    Fingering,
    Guitar,
    bend_effort,
    finger,
    fret_distance,
    guitar_for,
    troubles,
)
from lickwright.phrase import Bend, Entry, LinkKind, Note, Phrase
from lickwright.reasons.features import techniques

EASY_STRETCH = 70.0  # mm; up to here no points
STRETCH_POINT = 15.0  # mm more for a point
SPAN = 4  # frets under a hand at rest, one a finger
SHIFT_POINT = 0.5
SHIFT_FRETS = 2  # a hand leans over one fret without leaving its place
TROUBLE_POINT = 2.0
BEND_POINT = 12.0  # newtons for a point
FINE_BEND = 0.3  # points for a bend that has to stop between two frets, or waits or rises slowly
SKIP_POINT = 0.25
TECHNIQUE_POINT = 0.4


@dataclass(frozen=True, slots=True)
class Part:
    """One share of a grade. `points` to one decimal."""

    name: str
    measure: str  # what was measured, in words
    points: float


@dataclass(frozen=True, slots=True)
class Grade:
    """How hard a phrase is. `total`: sum of the parts' points."""

    parts: tuple[Part, ...]

    @property
    def total(self) -> float:
        """Sum of the points, to one decimal."""
        return round(sum(part.points for part in self.parts), 1)


@lru_cache(maxsize=256)
def grade(phrase: Phrase, guitar: Guitar | None = None) -> Grade:
    """Grade a phrase at its own tempo, on `guitar` (by default one with light strings)."""
    hand = guitar or guitar_for(phrase)
    fingering = finger(phrase, hand)
    made = (_speed(phrase), _stretch(phrase, hand), _shifts(fingering), _bends(phrase, hand),
            _skips(phrase), _techniques(phrase), _troubles(fingering))  # fmt: skip
    return Grade(tuple(Part(part.name, part.measure, round(part.points, 1)) for part in made))


def _speed(phrase: Phrase) -> Part:
    seconds = phrase.clock.seconds(phrase.end) - phrase.clock.seconds(phrase.start)
    a_second = len(phrase.notes) / seconds if seconds else 0.0
    return Part("speed", f"{a_second:.1f} notes a second", a_second)


def _stretch(phrase: Phrase, guitar: Guitar) -> Part:
    widest = max(
        (
            fret_distance(low + phrase.capo, high + phrase.capo, guitar.scale_mm)
            for low, high in _spans(phrase)
        ),
        default=0.0,
    )
    points = max(0.0, (widest - EASY_STRETCH) / STRETCH_POINT)
    return Part("stretch", f"{widest:.0f} mm at the widest", points)


def _spans(phrase: Phrase) -> Iterator[tuple[int, int]]:
    """Lowest and highest fret of neighbouring notes that one hand position holds."""
    for before, after in pairwise(_fretted(phrase)):
        slid = after.link is not None and after.link.slide
        at_once = after.onset - before.onset < 1  # later, the hand has time to move
        if at_once and not slid and abs(before.fret - after.fret) <= SPAN:
            low, high = sorted((before.fret, after.fret))
            yield low, high


def _fretted(phrase: Phrase) -> list[Note]:
    """Notes that a finger of the fretting hand holds; tapped ones are the other hand's."""
    return [note for note in phrase.notes if note.fret > 0 and not _elsewhere(note)]


def _elsewhere(note: Note) -> bool:
    tapped = note.entry is Entry.TAPPED or (note.link and note.link.kind is LinkKind.TAP)
    return bool(note.dead or note.harmonic or tapped)


def _shifts(fingering: Fingering) -> Part:
    places = [rest.fret for rest in fingering.rests if rest.fret]
    count = sum(abs(here - there) >= SHIFT_FRETS for here, there in pairwise(places))
    return Part("shifts", _count(count, "change of position", "changes of position"),
                count * SHIFT_POINT)  # fmt: skip


def _troubles(fingering: Fingering) -> Part:
    """What is too hard for an average hand; `check` says what and what to do."""
    count = len(troubles(fingering))
    measure = _count(count, "thing", "things")
    return Part("beyond the hand", measure, count * TROUBLE_POINT)


def _bends(phrase: Phrase, guitar: Guitar) -> Part:
    forces, fine = [], 0
    for note in phrase.notes:
        for gesture in note.gestures:
            if isinstance(gesture, Bend) and note.fret > 0:
                effort = bend_effort(guitar, note.string, note.fret, float(gesture.to))
                forces.append(effort.force)
                slow = gesture.start is not None or gesture.arrive is not None
                fine += bool(slow or gesture.struck_bent or gesture.to.denominator > 1)
    if not forces:
        return Part("bends", "none", 0.0)
    words = _count(len(forces), "bend", "bends")
    measure = f"{words}, up to {max(forces):.0f} newtons"
    return Part("bends", measure, sum(forces) / BEND_POINT + fine * FINE_BEND)


def _skips(phrase: Phrase) -> Part:
    struck = [note for note in phrase.notes if note.struck]
    count = sum(
        abs(before.string - after.string) > 1 and before.onset != after.onset
        for before, after in pairwise(struck)
    )
    return Part("string skips", _count(count, "skip", "skips"), count * SKIP_POINT)


def _techniques(phrase: Phrase) -> Part:
    found = techniques(phrase)
    return Part("techniques", ", ".join(found) or "none", len(found) * TECHNIQUE_POINT)


def _count(count: int, one: str, many: str) -> str:
    return "none" if not count else f"{count} {one if count == 1 else many}"
