"""Backings for the tests, and what the players do in them."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from fractions import Fraction

from lickwright.band import Backing, Event, Form, Player, chords_backing, form_backing, play
from lickwright.phrase import Feel, Meter
from lickwright.theory import parse_chord, parse_key

F = Fraction
FOUR_FOUR = Meter(4, 4)
SHUFFLE = Feel(F(2, 3))
METERS = [
    Meter(*signature)
    for signature in (
        *((4, 4), (3, 4), (2, 4), (5, 4), (7, 8), (5, 8), (6, 8), (9, 8), (12, 8)),
        *((3, 8), (1, 4), (2, 2), (11, 8), (24, 16), (1, 8)),
    )
]


def form(name: Form = Form.TWELVE_BAR, key: str = "A", meter=FOUR_FOUR, **more) -> Backing:
    return replace(form_backing(name, parse_key(key), meter), **more)


def chords(text: str, meter=FOUR_FOUR, **more) -> Backing:
    row = [parse_chord(symbol) for symbol in text.split()]
    return replace(chords_backing(row, meter), **more)


def of(backing: Backing, player: Player) -> list[Event]:
    return [event for event in play(backing) if event.player is player]


def struck_together(events: list[Event]) -> dict[Fraction, set[int]]:
    """Pitch classes by the beat at which they are struck."""
    found: dict[Fraction, set[int]] = defaultdict(set)
    for event in events:
        assert isinstance(event.sound, int)
        found[event.onset].add(event.sound % 12)
    return found
