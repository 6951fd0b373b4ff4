"""What would a teacher say about the hand, phrase by phrase, and how is it printed?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from lickwright.lesson import Lesson
from lickwright.neck import Trouble, playability
from lickwright.phrase import Phrase, count_name


def hand_advice(lesson: Lesson) -> Iterator[tuple[Phrase, Trouble]]:
    """Everything in a lesson that is too hard for an average hand, on the lesson's own strings."""
    for lick in lesson.licks:
        if lick.phrase is not None and lick.guitar is not None:
            for trouble in playability(lick.phrase, lick.guitar):
                yield lick.phrase, trouble


def place_words(phrase: Phrase, trouble: Trouble) -> str:
    """Where in the phrase: `corner-lamp, bar 2, count 3&`."""
    ids = set(trouble.note_ids)
    note = next(note for note in phrase.notes if note.id in ids)
    count = count_name(note.onset % phrase.meter.beats, phrase.meter)
    return f"{phrase.name}, bar {note.bar}, count {count}"


def advice_lines(lesson: Lesson) -> Iterator[str]:
    """The advice as lines for a terminal; nothing if all is playable."""
    for phrase, trouble in hand_advice(lesson):
        yield f"{place_words(phrase, trouble)}: {trouble.words}"
        yield f"    mend: {trouble.mend}"
        for mend in trouble.mends[1:]:
            yield f"      or: {mend.words}"


def advice_json(lesson: Lesson) -> list[dict[str, Any]]:
    """The advice as plain values. Measures in the units that they name."""
    return [
        {
            "code": "hand",
            "phrase": phrase.name,
            "where": place_words(phrase, trouble),
            "notes": list(trouble.note_ids),
            "kind": trouble.kind.name.lower().replace("_", "-"),
            "what": trouble.words,
            "mend": trouble.mend,
            "or": [mend.words for mend in trouble.mends[1:]],
            "measures": [
                {"name": m.name, "value": round(m.value, 1), "unit": m.unit, "limit": m.limit}
                for m in trouble.measures
            ],
        }
        for phrase, trouble in hand_advice(lesson)
    ]
