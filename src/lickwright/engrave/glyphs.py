"""What do the music signs look like, and how large are they?

Outlines and boxes are Leipzig's (SIL Open Font License), from verovio's data; 1000 units are 4 sp.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path

from lxml import etree

UNIT = 4 / 1000  # sp

# Code points of SMuFL (W3C community group).
ACCENT = "E4A0"
STACCATO = "E4A2"
DOWN_STROKE = "E610"
UP_STROKE = "E612"
TRILL = "E566"
TAB_CLEF = "E06D"
REPEAT_BAR = "E500"
DOT = "E1E7"
FLAGS_DOWN = {8: "E241", 16: "E243", 32: "E245", 64: "E247"}
TIME_DIGITS = "E080"
TUPLET_DIGITS = "E880"
NOTE_UP = {1: "E1D2", 2: "E1D3", 4: "E1D5", 8: "E1D7", 16: "E1D9"}
RESTS = {1: "E4E3", 2: "E4E4", 4: "E4E5", 8: "E4E6", 16: "E4E7", 32: "E4E8", 64: "E4E9"}
HEAD_BRACKETS = {"E0F5", "E0F6", "E26A", "E26B"}
HEAD_WIDTH = 1.256  # of a filled head


@dataclass(frozen=True, slots=True)
class GlyphBox:
    """Ink of a glyph in sp around its origin, y downward; `advance`: its own width."""

    x0: float
    y0: float
    x1: float
    y1: float
    advance: float


def digit(base: str, number: int) -> str:
    """Code of a decimal digit in a row of digits that begins at code `base`."""
    return f"{int(base, 16) + number:04X}"


def verovio_data() -> Path:
    """Folder of the fonts inside verovio."""
    spec = find_spec("verovio")
    assert spec is not None
    assert spec.origin is not None
    return Path(spec.origin).parent / "data"


@cache
def _boxes() -> dict[str, GlyphBox]:
    root = etree.parse(str(verovio_data() / "Leipzig.xml")).getroot()
    return {str(g.attrib["c"]): _box(g.attrib) for g in root.iter("g")}


def _box(found: object) -> GlyphBox:
    x, y, w, h, advance = (float(found[k]) * UNIT for k in ("x", "y", "w", "h", "h-a-x"))  # type: ignore[index]
    return GlyphBox(x, -y - h, x + w, -y, advance)


def glyph_box(code: str) -> GlyphBox:
    """Ink of a glyph by its code point in hexadecimal digits."""
    return _boxes()[code]


@cache
def glyph_outline(code: str) -> str:
    """SVG path data of a glyph in font units, y upward."""
    path = etree.parse(str(verovio_data() / "Leipzig" / f"{code}.xml")).getroot().find("path")
    assert path is not None
    return str(path.attrib["d"])
