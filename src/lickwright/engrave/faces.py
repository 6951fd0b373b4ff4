"""Which text fonts are there, and how wide is a text in them?"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from functools import cache
from importlib import resources
from io import BytesIO
from typing import Literal

from lickwright.installed import NotInstalledError


@dataclass(frozen=True, slots=True)
class Face:
    """Name, weight and slant of a cut, as CSS says them; `file`: its file without the ending."""

    family: str
    weight: int
    italic: bool
    file: str


class Cut(Enum):
    """The six cuts that ship with the package."""

    SANS = Face("Lickwright Sans", 400, False, "LickwrightSans-Regular")
    SANS_SEMIBOLD = Face("Lickwright Sans", 600, False, "LickwrightSans-SemiBold")
    SANS_ITALIC = Face("Lickwright Sans", 400, True, "LickwrightSans-Italic")
    SERIF = Face("Lickwright Serif", 400, False, "LickwrightSerif-Regular")
    SERIF_SEMIBOLD = Face("Lickwright Serif", 600, False, "LickwrightSerif-SemiBold")
    SERIF_ITALIC = Face("Lickwright Serif", 400, True, "LickwrightSerif-Italic")


@cache
def font_bytes(cut: Cut, form: Literal["ttf", "woff2"] = "ttf") -> bytes:
    """The font file of a cut. Raises NotInstalledError if the package was not fully built."""
    file = resources.files("lickwright.engrave") / "fonts" / f"{cut.value.file}.{form}"
    if not file.is_file():
        raise NotInstalledError(f"the font {cut.value.family}")
    return file.read_bytes()


def font_licences() -> dict[str, str]:
    """Text of the SIL Open Font License for each family."""
    folder = resources.files("lickwright.engrave") / "fonts"
    return {
        family: (folder / f"OFL-{family.replace(' ', '')}.txt").read_text(encoding="utf-8")
        for family in ("Lickwright Sans", "Lickwright Serif")
    }


@cache
def _advances(cut: Cut) -> tuple[dict[int, float], float]:
    """Advance width in em of each character, and of the sign for a missing one."""
    from fontTools.ttLib import TTFont  # noqa: PLC0415

    font = TTFont(BytesIO(font_bytes(cut)), lazy=True)
    em = font["head"].unitsPerEm
    widths = font["hmtx"].metrics
    return {code: widths[name][0] / em for code, name in font.getBestCmap().items()}, widths[
        ".notdef"
    ][0] / em


def text_width(text: str, cut: Cut, size: float) -> float:
    """Width of a text in the unit of `size` (its font size), from the font's own advances."""
    advances, missing = _advances(cut)
    return size * sum(advances.get(ord(char), missing) for char in text)


def covers(text: str, cut: Cut) -> bool:
    """True if the cut has every character of the text."""
    return all(ord(char) in _advances(cut)[0] for char in text)
