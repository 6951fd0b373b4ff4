"""What does it look like? Tab and notation as SVG, with a place for every note."""

from lickwright.engrave.engraving import Engraving, NotePlace, System, engrave
from lickwright.engrave.faces import (
    Cut,
    FontsMissingError,
    covers,
    font_bytes,
    font_licences,
    text_width,
)
from lickwright.engrave.style import PAPER, PHONE, Row, Style
from lickwright.engrave.typeset import EngravingError

__all__ = [
    "PAPER",
    "PHONE",
    "Cut",
    "Engraving",
    "EngravingError",
    "FontsMissingError",
    "NotePlace",
    "Row",
    "Style",
    "System",
    "covers",
    "engrave",
    "font_bytes",
    "font_licences",
    "text_width",
]
