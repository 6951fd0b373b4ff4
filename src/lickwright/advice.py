"""What would a teacher say about the hand, phrase by phrase, and how is it printed?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from rich.console import Console, Group
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from lickwright.lesson import Lesson
from lickwright.neck import (
    Guitar,
    HandSize,
    Trouble,
    damping,
    damping_words,
    finger,
    picking,
    picking_words,
    playability,
    stroke_word,
    why_finger,
)
from lickwright.phrase import Finger, Phrase, count_name


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


_SIGNS = {
    Finger.FIRST: "1", Finger.SECOND: "2", Finger.THIRD: "3", Finger.FOURTH: "4",
    Finger.THUMB: "T", Finger.OPEN: "0",
}  # fmt: skip


def both_hands(phrase: Phrase, guitar: Guitar, size: HandSize) -> dict[str, Any]:
    """Finger and stroke of every note with why, and what keeps idle strings quiet, as values."""
    fingering = finger(phrase, guitar, size)
    strokes = {each.note_id: each for each in picking(phrase)}
    rows = [
        {
            "note": note.id,
            "bar": note.bar,
            "count": count_name(note.onset % phrase.meter.beats, phrase.meter),
            "string": phrase.tuning.label(note.string),
            "fret": note.fret,
            "finger": _SIGNS[fingering.fingers[note.id]] if note.id in fingering.fingers else "",
            "suggested": note.finger is None and note.id in fingering.fingers,
            "why": why_finger(fingering, note.id),
            "stroke": stroke_word(strokes[note.id].stroke) if note.id in strokes else "",
        }
        for note in phrase.notes
    ]
    return {
        "phrase": phrase.name,
        "cost": round(fingering.cost, 2),
        "notes": rows,
        "picking": picking_words(tuple(strokes.values()), phrase),
        "damping": damping_words(damping(fingering), phrase.tuning),
    }


def print_hands(console: Console, phrase: Phrase, guitar: Guitar, size: HandSize) -> None:
    """Print what `both_hands` says."""
    found = both_hands(phrase, guitar, size)
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for name in ("bar, count", "string", "fret", "finger", "pick", "why this finger"):
        table.add_column(name, header_style="dim", no_wrap=name != "why this finger")
    for row in found["notes"]:
        why = row["why"].partition(": ")[2] or row["why"]
        sign = f"({row['finger']})" if row["suggested"] else row["finger"]
        table.add_row(
            f"{row['bar']}, {row['count']}", row["string"], str(row["fret"]), sign, row["stroke"],
            why,
        )  # fmt: skip
    lines = [text for text in (found["picking"], found["damping"]) if text]
    title = Text(phrase.title or phrase.name, style="bold")
    parts = [Padding(Text(line), (0, 0, 0, 2), expand=False) for line in lines]
    console.print(Group(title, Padding(table, (0, 0, 0, 2)), *parts), "", highlight=False)
