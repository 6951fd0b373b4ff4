"""Builds phrases for the tests, a line a note."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from typing import Any

from lickwright.phrase import (
    Bar,
    ChordAt,
    Count,
    Link,
    LinkKind,
    Note,
    Phrase,
    Timing,
)
from lickwright.theory import parse_chord, parse_key


def n(string: int, fret: int, onset: Any, end: Any, *, link: str = "", **more: Any) -> Note:
    """A note; times in beats. `link`: h p / \\ t, as in a lesson."""
    joined = Link(LinkKind(link)) if link else None
    more["marks"] = frozenset(more.get("marks", ()))
    more["gestures"] = tuple(more.get("gestures", ()))
    return Note("", string, fret, Fraction(onset), Fraction(end), link=joined, **more)


def grace(string: int, fret: int, onset: Any, order: int = -1, **more: Any) -> Note:
    """A small note before the count at `onset`."""
    return n(string, fret, onset, onset, timing=Timing.GRACE, order=order, **more)


def phrase(
    notes: Iterable[Note],
    *,
    key: str = "A minor",
    chords: Iterable[tuple[Any, str]] = (),
    bars: int = 1,
    **more: Any,
) -> Phrase:
    """A phrase in 4/4 with ids made from place and time."""
    named = [_named(note) for note in notes]
    named.sort(key=lambda note: (note.onset, note.order, -note.string))
    last = max([bars, *(int(-(-note.end // 4)) for note in named)])
    return Phrase(
        "p",
        parse_key(key),
        tuple(_bar(number) for number in range(1, last + 1)),
        tuple(named),
        tuple(ChordAt(Fraction(at), parse_chord(symbol)) for at, symbol in chords),
        **more,
    )


def line(*places: tuple[int, int], each: Any = Fraction(1, 2), **more: Any) -> Phrase:
    """A phrase of equally long notes, one after the other, from (string, fret) pairs."""
    step = Fraction(each)
    return phrase(
        [n(string, fret, i * step, (i + 1) * step) for i, (string, fret) in enumerate(places)],
        **more,
    )


def _named(note: Note) -> Note:
    bar = int(note.onset // 4) + 1
    count = f"{note.onset % 4 + 1}" + (f"-{note.order}" if note.order else "")
    return replace(note, id=f"p/{bar}/{count}/{note.string}", bar=bar)


def _bar(number: int) -> Bar:
    start = Fraction(4 * (number - 1))
    return Bar(number, start, Fraction(4), tuple(Count(start + beat) for beat in range(4)))
