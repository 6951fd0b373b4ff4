"""How is a line, a sign or a text put into the picture, and what room does it take?"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from html import escape

from lickwright.engrave.faces import Cut, text_width
from lickwright.engrave.glyphs import UNIT, glyph_box
from lickwright.engrave.skyline import Box

CAP_HEIGHT = 0.66  # em; also that of the digits (Source Sans 3)
DESCENT = 0.225  # em; of g, p and q
BRACKETS = (0.735, 0.18)  # em; height and depth of round brackets
PEN = 0.13
IDS = "\x01"  # stands for the prefix of all ids until the drawing is joined


@dataclass(frozen=True, slots=True)
class Mark:
    """Ink of one kind, for the check that nothing overlaps: fret, bend, amount, chord, row …"""

    kind: str
    box: Box


@dataclass(frozen=True, slots=True)
class Lettering:
    """How a text looks. `size`: font size, sp; `anchor`: start, middle or end; `kind`: of ink."""

    size: float
    cut: Cut = Cut.SANS
    kind: str = "text"
    anchor: str = "middle"
    opacity: float = 1.0


@dataclass(frozen=True, slots=True)
class Pen:
    """What a straight line is drawn with. `width`: sp; `dash`: as SVG says it, sp."""

    width: float = PEN
    kind: str = "line"
    dash: str = ""
    opacity: float = 1.0


PLAIN = Pen()
_NOT_IN_XML = re.compile("[\x00-\x1f\ud800-\udfff\ufffe-\U0010ffff]")


def num(value: float) -> str:
    """A number for SVG: at most two decimals, no trailing zeros."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def clean(text: str) -> str:
    """Escape for XML and drop characters that XML does not allow."""
    return escape(_NOT_IN_XML.sub("", text), quote=True)


def depth(text: str) -> float:
    """How far a text reaches below its baseline, em."""
    if any(c in "gjpqyQ,;" for c in text):
        return DESCENT
    return BRACKETS[1] if any(c in "()[]/" for c in text) else 0.02


def face_attributes(cut: Cut, size: float) -> str:
    """Font attributes of a text element."""
    face = cut.value
    text = f'font-family="{face.family}" font-size="{num(size)}"'
    if face.weight != 400:
        text += f' font-weight="{face.weight}"'
    return text + (' font-style="italic"' if face.italic else "")


def text_box(place: tuple[float, float], text: str, look: Lettering) -> Box:
    """Ink of a text; `place`: its anchor on its baseline."""
    (x, y), size = place, look.size
    width = text_width(text, look.cut, size)
    left = x - {"start": 0.0, "middle": width / 2, "end": width}[look.anchor]
    height = BRACKETS[0] if any(c in "()[]fhlkbdt" for c in text) else CAP_HEIGHT
    return Box(left, y - height * size, left + width, y + depth(text) * size)


class Ink:
    """Collects SVG elements and their boxes. Coordinates are sp, y downward."""

    def __init__(self) -> None:
        self.parts: list[str] = []
        self.marks: list[Mark] = []
        self.glyphs: set[str] = set()

    def _took(self, kind: str, x0: float, y0: float, x1: float, y1: float) -> Box:
        box = Box(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
        self.marks.append(Mark(kind, box))
        return box

    @contextmanager
    def group(self, attributes: Mapping[str, str]) -> Iterator[None]:
        """Put what follows into one group; an empty group is left out."""
        start = len(self.parts)
        shown = "".join(f' {name}="{clean(value)}"' for name, value in attributes.items())
        self.parts.append(f"<g{shown}>")
        yield
        if len(self.parts) == start + 1:
            self.parts.pop()
        else:
            self.parts.append("</g>")

    def text(self, x: float, y: float, text: str, look: Lettering) -> Box:
        """A text with its baseline at y."""
        more = f' opacity="{num(look.opacity)}"' if look.opacity < 1 else ""
        more += f' text-anchor="{look.anchor}"' if look.anchor != "start" else ""
        self.parts.append(
            f'<text class="{look.kind}" x="{num(x)}" y="{num(y)}" '
            f"{face_attributes(look.cut, look.size)}{more}>{clean(text)}</text>"
        )
        return self._took(look.kind, *text_box((x, y), text, look))

    def glyph(
        self, x: float, y: float, code: str, scale: float = 1.0, *, kind: str = "sign"
    ) -> Box:
        """A music sign with its origin at a place."""
        self.glyphs.add(code)
        k = scale * UNIT
        self.parts.append(
            f'<use href="#{IDS}{code}" transform="translate({num(x)} {num(y)}) scale({k:.5f})"/>'
        )
        box = glyph_box(code)
        return self._took(
            kind, x + box.x0 * scale, y + box.y0 * scale, x + box.x1 * scale, y + box.y1 * scale
        )

    def line(self, start: tuple[float, float], end: tuple[float, float], pen: Pen = PLAIN) -> Box:
        """A straight line."""
        (x0, y0), (x1, y1) = start, end
        more = f' stroke-dasharray="{pen.dash}"' if pen.dash else ""
        more += f' opacity="{num(pen.opacity)}"' if pen.opacity < 1 else ""
        self.parts.append(
            f'<path d="M{num(x0)} {num(y0)}L{num(x1)} {num(y1)}" stroke="currentColor" '
            f'stroke-width="{num(pen.width)}"{more}/>'
        )
        half = pen.width / 2
        upright = abs(x1 - x0) < 1e-6
        wide, high = (half, 0.0) if upright else (0.0, half)
        return self._took(
            pen.kind,
            min(x0, x1) - wide, min(y0, y1) - high, max(x0, x1) + wide, max(y0, y1) + high,
        )  # fmt: skip

    def stroke(self, path: str, box: Box, pen: float = PEN, *, kind: str = "line") -> Box:
        """A path drawn with a pen; `box` is its ink."""
        self.parts.append(
            f'<path d="{path}" fill="none" stroke="currentColor" stroke-width="{num(pen)}" '
            'stroke-linecap="round" stroke-linejoin="round"/>'
        )
        return self._took(kind, *box)

    def fill(self, path: str, box: Box, *, kind: str = "line") -> Box:
        """A filled path; `box` is its ink."""
        self.parts.append(f'<path d="{path}"/>')
        return self._took(kind, *box)
