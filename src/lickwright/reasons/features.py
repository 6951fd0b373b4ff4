"""What does a phrase use: techniques, rhythm, key, chords, pattern?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from lickwright.phrase import (
    STANDARD,
    Bend,
    Entry,
    LinkKind,
    Mark,
    Note,
    Phrase,
    Release,
    Timing,
    Trill,
    Vibrato,
)

_LINKS = {
    LinkKind.HAMMER: "hammer-on",
    LinkKind.PULL: "pull-off",
    LinkKind.SLIDE_UP: "slide",
    LinkKind.SLIDE_DOWN: "slide",
    LinkKind.TAP: "tapping",
}
_ENTRIES = {
    Entry.FROM_BELOW: "slide into a note",
    Entry.FROM_ABOVE: "slide into a note",
    Entry.TAPPED: "tapping",
}
_MARKS = {
    Mark.PALM_MUTE: "palm mute",
    Mark.LET_RING: "let ring",
    Mark.RAKE: "rake",
    Mark.ACCENT: "accent",
    Mark.STACCATO: "staccato",
}


def techniques(phrase: Phrase) -> tuple[str, ...]:
    """What the hands do, each once, in the order in which it comes."""
    found: dict[str, None] = {}
    for note in phrase.notes:
        found |= dict.fromkeys(_of_note(note))
    found |= {_MARKS[span.mark]: None for span in phrase.spans}
    for _, group in groupby(
        (n for n in phrase.notes if n.struck and n.timing is Timing.COUNTED), lambda n: n.onset
    ):
        many = sum(1 for _ in group)
        if many > 1:
            found["double stop" if many == 2 else "chord"] = None
    return tuple(found)


def _of_note(note: Note) -> Iterator[str]:
    if note.entry is not None:
        yield _ENTRIES[note.entry]
    if note.link is not None:
        yield _LINKS[note.link.kind]
    if note.dead:
        yield "muted string"
    if note.harmonic:
        yield "natural harmonic"
    if note.ghost:
        yield "ghost note"
    for gesture in note.gestures:
        yield _gesture(gesture)
    if note.off is not None:
        yield "slide off a note"
    yield from (_MARKS[mark] for mark in Mark if mark in note.marks)


def _gesture(gesture: Bend | Release | Vibrato | Trill) -> str:
    match gesture:
        case Bend(struck_bent=True):
            return "bend before the stroke"
        case Bend() if gesture.to.denominator > 1:
            return "quarter bend"
        case Bend():
            return "bend"
        case Release():
            return "release"
        case Vibrato():
            return "wide vibrato" if gesture.wide else "vibrato"
        case Trill():
            return "trill"


def rhythms(phrase: Phrase) -> tuple[str, ...]:
    """What its time is made of: meter, feel, pickup, triplets and finer parts of a beat."""
    parts = {note.onset % 1 for note in phrase.notes if note.timing is Timing.COUNTED}
    wanted = (
        (True, str(phrase.meter)),
        (not phrase.feel.straight, "shuffle"),
        (bool(phrase.pickup), "pickup"),
        (not phrase.meter.compound and any(p.denominator == 3 for p in parts), "triplets"),
        (any(p.denominator == 4 for p in parts), "sixteenths" if phrase.meter.lower == 4 else ""),
        (any(p.denominator in (5, 7) for p in parts), "five or seven notes to a beat"),
    )
    return tuple(name for holds, name in wanted if holds and name)


def settings(phrase: Phrase) -> tuple[str, ...]:
    """Its key, and its tuning and capo if they are not the usual ones."""
    found = [f"key of {phrase.key.pretty}"]
    if phrase.tuning != STANDARD:
        found.append("another tuning")
    if phrase.capo:
        found.append("capo")
    return tuple(found)
