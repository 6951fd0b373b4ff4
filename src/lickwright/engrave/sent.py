"""What was sent to verovio, and what does each of its ids stand for?"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from lickwright.phrase import Note
from lickwright.phrase.score import ScoreNote


@dataclass(slots=True)
class Sent:
    """The MEI document, and the meaning of its ids."""

    mei: str = ""
    heads: dict[str, ScoreNote] = field(default_factory=dict)  # full-size heads
    small: dict[str, Note] = field(default_factory=dict)  # small heads before a main one
    bends: list[tuple[str, str]] = field(default_factory=list)  # head ids joined by a bend
    anchors: dict[str, Fraction] = field(default_factory=dict)  # element id -> its beat
    similes: dict[str, int] = field(default_factory=dict)  # element id -> bar number
    bows: list[tuple[str, str, str]] = field(default_factory=list)  # own id, ids of the heads
    inside: list[tuple[str, str, str]] = field(default_factory=list)  # slides: ids and way
