"""What do all the hands that draw one system's tab share?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from lickwright.engrave.ink import Ink
from lickwright.engrave.places import Places
from lickwright.engrave.skyline import Skyline
from lickwright.engrave.style import LINE_GAP, Style
from lickwright.engrave.tokens import Column, Token
from lickwright.phrase import Phrase


@dataclass(slots=True)
class Canvas:
    """The tab of one system while it is drawn. y is 0 at the top line, sp."""

    phrase: Phrase
    style: Style
    places: Places
    columns: Mapping[Fraction, Column]  # of this system
    carried: tuple[Token, ...] = ()  # of notes before it that still sound at its beginning
    ink: Ink = field(default_factory=Ink)
    above: Skyline = field(default_factory=Skyline)
    gaps: dict[int, list[tuple[float, float]]] = field(default_factory=dict)  # string -> ink
    exits: dict[str, float] = field(default_factory=dict)  # note id -> right end of its ink
    tokens: dict[str, tuple[Token, float]] = field(default_factory=dict)  # note id -> centre x
    amounts: list[tuple[float, str]] = field(default_factory=list)  # bend labels drawn
    held: dict[str, float] = field(default_factory=dict)  # bent note's id -> x up to which it is

    def line(self, string: int) -> float:
        """Height (y) of a string's line."""
        return (string - 1) * LINE_GAP

    @property
    def bottom(self) -> float:
        """The lowest line's y; without tab that of the notation, whose top line is then y 0."""
        if not self.style.tab:
            return 4.0
        return self.line(len(self.phrase.tuning))

    def thinner_at(self, beat: Fraction, string: int) -> bool:
        """True if a thinner string than `string` has a full-size number at a beat."""
        column = self.columns.get(beat)
        return column is not None and any(
            token.note.string < string and not token.dx for token in column.tokens
        )

    def half(self, beat: Fraction) -> float:
        """Half the width of the widest full-size number at a beat; 0 if there is none."""
        column = self.columns.get(beat)
        if column is None or not any(not token.dx for token in column.tokens):
            return 0.0
        return column.half
