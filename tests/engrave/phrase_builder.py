"""Builds phrases for the tests, a line a note, without going through a lesson file."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from typing import Any

from lickwright.phrase import (
    STANDARD,
    Bar,
    ChordAt,
    Count,
    Link,
    LinkKind,
    Meter,
    Note,
    Phrase,
    Timing,
    Tuning,
    count_name,
)
from lickwright.theory import parse_chord, parse_key

FOUR_FOUR = Meter(4, 4)


def beats(text: str | int | Fraction) -> Fraction:
    """`3+1/2` is 7/2."""
    return sum((Fraction(part) for part in str(text).split("+")), Fraction(0))


def n(string: int, fret: int, onset: Any, end: Any, *, link: str = "", **more: Any) -> Note:
    """A note; places in beats from the first bar's beginning, as text (`1+1/3`) or numbers."""
    start = None
    if "@" in link:
        link, at = link.split("@")
        start = beats(at)
    joined = Link(LinkKind(link), start) if link else None
    more["marks"] = frozenset(more.get("marks", ()))
    more["gestures"] = tuple(more.get("gestures", ()))
    return Note("", string, fret, beats(onset), beats(end), link=joined, **more)


def grace(string: int, fret: int, onset: Any, order: int = -1, **more: Any) -> Note:
    """A small note before the count at `onset`."""
    return n(string, fret, onset, onset, timing=Timing.GRACE, order=order, **more)


def quick(string: int, fret: int, onset: Any, end: Any, order: int = 1, **more: Any) -> Note:
    """A note that follows quickly after the count at `onset`."""
    return n(string, fret, onset, end, timing=Timing.QUICK, order=order, **more)


def phrase(
    notes: Iterable[Note],
    *,
    name: str = "p",
    bars: int | None = None,
    meter: Meter = FOUR_FOUR,
    key: str = "A minor",
    pickup: Any = None,
    chords: Iterable[tuple[Any, str]] = (),
    simile: Iterable[int] = (),
    tuning: Tuning = STANDARD,
    **more: Any,
) -> Phrase:
    """A phrase with ids, bars and counts worked out from its notes."""
    named = [_named(note, name, meter) for note in notes]
    named.sort(key=lambda note: (note.onset, note.order, -note.string))
    last = max([int(-(-note.end // meter.beats)) for note in named] or [1])
    start = Fraction(0) if pickup is None else meter.beats - beats(pickup)
    repeated = set(simile)
    return Phrase(
        name,
        parse_key(key),
        tuple(
            _bar(number, start, named, meter, number in repeated)
            for number in range(1, (bars or max(last, 1)) + 1)
        ),
        tuple(named),
        tuple(ChordAt(beats(at), parse_chord(symbol)) for at, symbol in chords),
        meter=meter,
        tuning=tuning,
        **more,
    )


def _named(note: Note, name: str, meter: Meter) -> Note:
    bar = int(note.onset // meter.beats) + 1
    count = count_name(note.onset - (bar - 1) * meter.beats, meter)
    if note.timing is Timing.GRACE:
        count += f"-g{-note.order}"
    elif note.timing is Timing.QUICK:
        count += f"-q{note.order}"
    return replace(note, id=f"{name}/{bar}/{count}/{note.string}", bar=bar)


def _bar(number: int, first: Fraction, notes: list[Note], meter: Meter, simile: bool) -> Bar:
    nominal = Fraction((number - 1) * meter.beats)
    start = max(nominal, first)
    end = nominal + meter.beats
    places = {Fraction(start)} | {note.onset for note in notes if start <= note.onset < end}
    places |= {Fraction(b) for b in range(int(nominal), int(end)) if b >= start}
    return Bar(number, start, end - start, tuple(Count(b) for b in sorted(places)), simile)
