"""What is said beside one written head: joins, fingers, strings, accents, ornaments?

The notation staff says what is heard in time (ties, slurs, slides, tuplets, trills, vibrato,
accents), the tab staff what the hands do (string, fret, fingers, strokes, bends, hammer-ons), so
nothing is said twice to a program that merges the two.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from xml.etree.ElementTree import Element

from lickwright.exchange.gestures import Head, bends, ornaments
from lickwright.exchange.markup import add, make
from lickwright.phrase import Entry, Finger, LinkKind, Mark, Note, Phrase, Stroke, Trill

_LEVELS = 16  # number-level of MusicXML 4.0
_HAMMERS = {LinkKind.HAMMER: ("hammer-on", "H"), LinkKind.PULL: ("pull-off", "P")}
_ENTRIES = {Entry.FROM_BELOW: "scoop", Entry.FROM_ABOVE: "plop"}


class Notations:
    """Notations of every head of one phrase."""

    def __init__(self, phrase: Phrase, divisions_a_beat: Fraction) -> None:
        self.phrase = phrase
        self.divisions_a_beat = divisions_a_beat
        self._after: dict[str, Note] = {}
        self._levels: dict[str, int] = {}  # of the join into a note
        for run in phrase.runs:
            for index, (before, after) in enumerate(pairwise(run)):
                self._after[before.id] = after
                self._levels[after.id] = _level(after.string, index)

    def notation_staff(self, head: Head, tuplet: list[Element], marks: set[Mark]) -> Element | None:
        """`notations` of a head in notation. `tuplet`: its brackets; `marks`: to be shown here."""
        found = make("notations")
        found.extend(self._ties(head))
        found.extend(self._slurs(head))
        found.extend(tuplet)
        found.extend(self._slides(head))
        _group(found, "ornaments", ornaments(head, self.phrase.tempo, _level(head.note.string, 0)))
        _group(found, "articulations", _articulations(head, marks))
        return found if len(found) else None

    def tab_staff(self, head: Head, tuplet: list[Element]) -> Element:
        """`notations` of a head in tab."""
        found = make("notations")
        found.extend(self._ties(head))
        found.extend(tuplet)
        found.extend(self._slides(head))
        technical = add(found, "technical")
        add(technical, "string", head.note.string)
        add(technical, "fret", head.note.fret)
        if head.first:
            technical.extend(_hands(head.note))
        technical.extend(self._hammers(head))
        technical.extend(bends(head, self.phrase.tempo, self.divisions_a_beat))
        return found

    def _ties(self, head: Head) -> Iterator[Element]:
        """Numbered by string, for two strings may be tied at one pitch."""
        number = _level(head.note.string, 0)
        if not head.first:
            yield make("tied", type="stop", number=number)
        if head.tie_out:
            yield make("tied", type="start", number=number)
        elif head.start < head.end < head.note.end:
            yield make("tied", type="let-ring")

    def _joins(self, head: Head) -> Iterator[tuple[str, Note, int]]:
        """Joins that stop and start at a head: which, the note joined to, and the level."""
        if head.first and head.note.id in self._levels:
            yield "stop", head.note, self._levels[head.note.id]
        after = self._after.get(head.note.id)
        if head.last and after is not None:
            yield "start", after, self._levels[after.id]

    def _slurs(self, head: Head) -> Iterator[Element]:
        for way, _, level in self._joins(head):
            yield make("slur", type=way, number=level)

    def _slides(self, head: Head) -> Iterator[Element]:
        for way, after, level in self._joins(head):
            if after.link is None or not after.link.slide:
                continue
            slide = make("slide", type=way, number=level, line_type="solid")
            leaves = after.link.start
            if way == "start" and leaves is not None and head.end > head.start:
                slide.set("first-beat", head.percent(leaves))
                slide.set("last-beat", "100")
            yield slide

    def _hammers(self, head: Head) -> Iterator[Element]:
        for way, after, level in self._joins(head):
            if after.link is not None and after.link.kind in _HAMMERS:
                name, letter = _HAMMERS[after.link.kind]
                yield make(name, letter if way == "start" else None, type=way, number=level)


def _level(string: int, index: int) -> int:
    """Number of a join: two in turn for each string, so that neighbours differ."""
    half = _LEVELS // 2
    return (string - 1) % half + 1 + half * (index % 2)


def _group(parent: Element, name: str, children: Iterator[Element]) -> None:
    found = list(children)
    if found:
        add(parent, name).extend(found)


def _articulations(head: Head, marks: set[Mark]) -> Iterator[Element]:
    if Mark.ACCENT in marks:
        yield make("accent")
    if Mark.STACCATO in marks:
        yield make("staccato")
    if head.first and head.note.entry in _ENTRIES:
        yield make(_ENTRIES[head.note.entry])
    if head.last and head.note.off is not None:
        yield make("doit" if head.note.off.up else "falloff")


def _hands(note: Note) -> Iterator[Element]:
    if note.finger is not None:
        yield make("fingering", note.finger.value)
    if note.stroke is not None:
        yield _stroke(note.stroke)
    if note.entry is Entry.TAPPED or (note.link is not None and note.link.kind is LinkKind.TAP):
        yield make("tap", "T", hand="right")
    if note.harmonic:
        harmonic = make("harmonic")
        add(harmonic, "natural")
        add(harmonic, "sounding-pitch")
        yield harmonic
    if note.trill is not None:
        yield make("other-technical", _trill_words(note.trill))


def _stroke(stroke: Stroke) -> Element:
    match stroke:
        case Stroke.DOWN:
            return make("down-bow")
        case Stroke.UP:
            return make("up-bow")
        case Stroke.THUMB | Stroke.INDEX | Stroke.MIDDLE | Stroke.RING:
            return make("pluck", stroke.value)


def _trill_words(trill: Trill) -> str:
    finger = trill.finger
    return f"tr {trill.fret}" + (f", finger {finger.value}" if isinstance(finger, Finger) else "")
