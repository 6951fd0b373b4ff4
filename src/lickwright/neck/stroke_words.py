"""How does one say in plain words how a phrase is picked?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from lickwright.neck.strokes import Picked, Why
from lickwright.phrase import Note, Phrase, Stroke, count_name

_STROKES = {
    Stroke.DOWN: "down",
    Stroke.UP: "up",
    Stroke.THUMB: "thumb",
    Stroke.INDEX: "index finger",
    Stroke.MIDDLE: "middle finger",
    Stroke.RING: "ring finger",
}


def picking_words(found: Sequence[Picked], phrase: Phrase) -> str:
    """The picking of a phrase in a few sentences; empty if nothing is struck."""
    return " ".join(_sentences(found, phrase))


def stroke_word(stroke: Stroke) -> str:
    """A stroke in words."""
    return _STROKES[stroke]


def _sentences(found: Sequence[Picked], phrase: Phrase) -> Iterator[str]:
    notes = {note.id: note for note in phrase.notes}
    ways = {why: [notes[p.note_id] for p in found if p.why is why] for why in Why}
    if ways[Why.STRONG]:
        yield "Short and strong: down-strokes only."
    if ways[Why.ALTERNATE]:
        yield _alternating([p for p in found if p.why is Why.ALTERNATE], notes)
    if ways[Why.HYBRID]:
        where = _counts(ways[Why.HYBRID], phrase)
        yield f"Pick and fingers together reach the strings that lie far apart ({where})."
    if ways[Why.RAKE]:
        landing = [note for note in ways[Why.RAKE] if not note.dead] or ways[Why.RAKE]
        yield f"One stroke rakes into the note ({_counts(landing, phrase)})."
    written = ways[Why.WRITTEN]
    if written and len(written) == len(found):
        yield "The teacher wrote every stroke."
    elif written:
        yield f"The teacher wrote {len(written)} of {len(found)} strokes."


def _alternating(picked: list[Picked], notes: dict[str, Note]) -> str:
    ups = [p for p in picked if p.stroke is Stroke.UP]
    if not ups:
        return "Every stroke is on the beat: down."
    on_beat = [p for p in ups if notes[p.note_id].onset % 1 == 0]
    if on_beat:
        return "Strokes alternate without a stop, also from beat to beat."
    downs = [p for p in picked if p.stroke is Stroke.DOWN]
    if any(notes[p.note_id].onset % 1 == Fraction(2, 3) for p in downs):
        return "Strokes alternate: down on the beat, up between; in threes down, up, down."
    return "Strokes alternate: down on the beat, up between."


def _counts(some: Sequence[Note], phrase: Phrase) -> str:
    """Where notes stand, each count once: bar 2, 3&."""
    length = phrase.meter.beats
    found = dict.fromkeys(
        f"bar {note.bar}, {count_name(note.onset - (note.bar - 1) * length, phrase.meter)}"
        for note in some
    )
    shown = list(found)
    return (
        "; ".join(shown) if len(shown) <= 4 else f"{'; '.join(shown[:4])} and {len(shown) - 4} more"
    )
