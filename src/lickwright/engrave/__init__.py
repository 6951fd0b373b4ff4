"""What does it look like? Tab and notation as SVG, with a place for every note."""

from lickwright.engrave.engraving import Engraving, NotePlace, System, engrave
from lickwright.engrave.faces import (
    Cut,
    covers,
    font_bytes,
    font_licences,
    text_width,
)
from lickwright.engrave.neck_block import block_map
from lickwright.engrave.neck_phrase import phrase_map
from lickwright.engrave.neck_picture import NeckPicture, SpotPlace, neck_map
from lickwright.engrave.neck_scales import chord_map, grip_map, scale_map
from lickwright.engrave.neck_spec import Board, NeckMapError, NeckSpec, Tone
from lickwright.engrave.style import PAPER, PHONE, Row, Style
from lickwright.engrave.typeset import EngravingError

__all__ = [
    "PAPER",
    "PHONE",
    "Board",
    "Cut",
    "Engraving",
    "EngravingError",
    "NeckMapError",
    "NeckPicture",
    "NeckSpec",
    "NotePlace",
    "Row",
    "SpotPlace",
    "Style",
    "System",
    "Tone",
    "block_map",
    "chord_map",
    "covers",
    "engrave",
    "font_bytes",
    "font_licences",
    "grip_map",
    "neck_map",
    "phrase_map",
    "scale_map",
    "text_width",
]
