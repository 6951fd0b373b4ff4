"""How wide is the picture, and what does it show? All lengths are staff spaces (sp)."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Row(Enum):
    """A row of words under the tab."""

    COUNT = "count"
    DEGREE = "degree"
    FINGER = "finger"
    PICK = "pick"


@dataclass(frozen=True, slots=True)
class Style:
    """What a picture shows. `width`: of a full line, in sp; `id_prefix`: begins every id."""

    width: float = 120.0
    notation: bool = True
    tab: bool = True
    rows: tuple[Row, ...] = (Row.COUNT, Row.DEGREE, Row.FINGER, Row.PICK)
    id_prefix: str = "lw"

    def __post_init__(self) -> None:
        if not (self.notation or self.tab):
            raise ValueError("a picture shows the notation, the tab or both")
        if not 20 <= self.width <= 2000:
            raise ValueError(f"a line is 20 to 2000 sp wide, not {self.width}")

    @property
    def narrow(self) -> bool:
        """True if bars should be set close together, as on a phone."""
        return self.width < 80


PAPER = Style()  # 180 mm at 1.5 mm a staff space
PHONE = Style(width=52.0)  # 328 px at 6.3 px a staff space

LINE_GAP = 1.5  # between two tab lines
FRET_SIZE = 2.0  # font size of a fret number
SMALL = 0.72  # share of it for graces
BRACKETED = 0.8  # share of it for a fret in brackets
ROW_SIZE = 1.65
ROW_GAP = 1.95  # from one row's baseline to the next
STACK_GAP = 1.5  # between two signs of one row that stand above each other
CHORD_SIZE = 2.2
HEADING_SIZE = 1.75
BEND_RISE = 2.1  # from the top line to the point of a bend arrow
SYSTEM_GAP = 2.4  # air between two systems
