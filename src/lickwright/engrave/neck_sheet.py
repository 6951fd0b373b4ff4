"""How does ink get onto the map of a neck, mirrored for a left-handed player?"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from lickwright.engrave.ink import Ink, Lettering, Mark, Pen, num
from lickwright.engrave.neck_layout import Layout, spot_place
from lickwright.engrave.neck_shapes import Shapes
from lickwright.engrave.neck_spec import NeckSpec, Spot, Tone
from lickwright.engrave.skyline import Box

_MIRRORED = {"start": "end", "end": "start", "middle": "middle"}


@dataclass(slots=True)
class Sheet:
    """The picture while it is drawn. All x are those of a right-handed neck."""

    spec: NeckSpec
    layout: Layout
    shapes: Shapes
    ink: Ink = field(default_factory=Ink)
    holes: dict[tuple[float, float], float] = field(default_factory=dict)  # centre -> half width
    boxes: list[Box] = field(default_factory=list)  # words that the way keeps clear of

    def x(self, x: float) -> float:
        """Where an x of the right-handed neck is drawn."""
        return self.layout.width - x if self.spec.board.left_handed else x

    def text(self, x: float, y: float, text: str, look: Lettering) -> Box:
        """A text; its anchor is mirrored too."""
        if self.spec.board.left_handed:
            look = replace(look, anchor=_MIRRORED[look.anchor])
        box = self.ink.text(self.x(x), y, text, look)
        return self._turned(box)

    def _turned(self, box: Box) -> Box:
        """A drawn box, told as on a right-handed neck."""
        ends = sorted((self.x(box.x0), self.x(box.x1)))
        return Box(ends[0], box.y0, ends[1], box.y1)

    def line(self, start: tuple[float, float], end: tuple[float, float], pen: Pen) -> None:
        """A straight line."""
        self.ink.line((self.x(start[0]), start[1]), (self.x(end[0]), end[1]), pen)

    def shape(
        self, tone: Tone | None, label: str, centre: tuple[float, float], scale: float = 1.0
    ) -> Box:
        """A shape with its label."""
        x, y = self.x(centre[0]), centre[1]
        half = self.layout.sizes.half(tone) * scale
        self.ink.parts.append(self.shapes.use(tone, label, x, y, scale))
        box = Box(x - half, y - half, x + half, y + half)
        self.ink.marks.append(Mark("spot", box))
        return self._turned(box)

    def disc(self, x: float, y: float, radius: float, opacity: float, kind: str) -> None:
        """A small filled disc."""
        cx, r = self.x(x), num(radius)
        self.ink.parts.append(
            f'<path d="M{num(cx - radius)} {num(y)}a{r} {r} 0 1 1 {num(2 * radius)} 0'
            f'a{r} {r} 0 1 1 {num(-2 * radius)} 0z" opacity="{num(opacity)}"/>'
        )
        box = Box(cx - radius, y - radius, cx + radius, y + radius)
        self.ink.marks.append(Mark(kind, box))

    def centre(self, spot: Spot) -> tuple[float, float]:
        """Centre of a spot."""
        return spot_place(self.layout, spot)

    def tone(self, spot: Spot) -> Tone | None:
        """The shape of a spot: on a worksheet all are rings."""
        return None if self.spec.worksheet else spot.tone
