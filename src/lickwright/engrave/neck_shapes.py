"""What shape has each tone on the neck, and how does its label sit in it?

The root is a filled square with round corners, another chord tone a filled disc, another scale
tone an open ring, any further tone an open diamond with swollen sides. Outline and filling both
tell them apart, so they survive a bad photocopy, grey paper and colour-blind eyes, and from root
to passing tone there is less and less ink. Labels of filled shapes are cut out of them: they show
the page behind, light or dark.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from lickwright.engrave.ink import CAP_HEIGHT, IDS, num
from lickwright.engrave.neck_outline import label_outline
from lickwright.engrave.neck_spec import Tone

PEN = 0.16
ROOM = 0.2  # between a label and the edge of its shape
SMALLEST = 0.7  # share of the usual label size


@dataclass(frozen=True, slots=True)
class Sizes:
    """Lengths in sp.

    `label`: font size; `gap`: between two strings; `least`, `usual`: width of the narrowest fret,
    and of frets on average where there is room.
    """

    radius: float = 1.25
    label: float = 1.75
    gap: float = 2.95
    least: float = 3.0
    usual: float = 5.4

    def half(self, tone: Tone | None) -> float:
        """Half the width and height of a shape; None: a ring to write into."""
        match tone:
            case Tone.ROOT:
                return 0.94 * self.radius
            case Tone.OTHER:
                return 1.16 * self.radius
            case Tone.CHORD | Tone.SCALE | None:
                return self.radius


USUAL = Sizes()
TO_WRITE_IN = Sizes(radius=1.75, gap=4.1, least=4.1, usual=6.6)


@dataclass(slots=True)
class Shapes:
    """The shapes that a map has used, each drawn once and referred to."""

    sizes: Sizes
    found: dict[tuple[Tone | None, str], str]

    def use(self, tone: Tone | None, label: str, x: float, y: float, scale: float = 1.0) -> str:
        """A shape with its label, its centre at x and y."""
        name = self.found.setdefault((tone, label), f"m{len(self.found)}")
        moved = f"translate({num(x)} {num(y)})" + (f" scale({num(scale)})" if scale != 1 else "")
        return f'<use href="#{IDS}{name}" transform="{moved}"/>'

    @property
    def defs(self) -> str:
        """The definitions that `use` refers to."""
        return "<defs>{}</defs>".format(
            "".join(
                f'<g id="{IDS}{name}">{_drawn(tone, label, self.sizes)}</g>'
                for (tone, label), name in self.found.items()
            )
        )


def _drawn(tone: Tone | None, label: str, sizes: Sizes) -> str:
    shape, letters = _outline(tone, sizes), label_path(tone, label, sizes)
    if tone in (Tone.ROOT, Tone.CHORD):
        return f'<path fill-rule="evenodd" d="{shape}{letters}"/>'
    open_shape = f'<path d="{shape}" fill="none" stroke="currentColor" stroke-width="{num(PEN)}"/>'
    return open_shape + (f'<path fill-rule="evenodd" d="{letters}"/>' if letters else "")


def _outline(tone: Tone | None, sizes: Sizes) -> str:
    half = sizes.half(tone)
    match tone:
        case Tone.ROOT:
            return _square(half, 0.3 * half)
        case Tone.CHORD:
            return _circle(half)
        case Tone.SCALE | None:
            return _circle(half - PEN / 2)
        case Tone.OTHER:
            return _diamond(half - PEN / 2)


def _circle(radius: float) -> str:
    r = num(radius)
    return f"M-{r} 0A{r} {r} 0 1 1 {r} 0A{r} {r} 0 1 1 -{r} 0z"


def _square(half: float, corner: float) -> str:
    h, i, r = num(half), num(half - corner), num(corner)
    turn = f"A{r} {r} 0 0 1"
    return (
        f"M-{i} -{h}H{i}{turn} {h} -{i}V{i}{turn} {i} {h}H-{i}{turn} -{h} {i}V-{i}{turn} -{i} -{h}z"
    )


def _diamond(half: float) -> str:
    h, c = num(half), num(0.66 * half)
    return f"M0 -{h}Q{c} -{c} {h} 0Q{c} {c} 0 {h}Q-{c} {c} -{h} 0Q-{c} -{c} 0 -{h}z"


def label_size(tone: Tone | None, label: str, sizes: Sizes) -> float:
    """Font size at which a label fits its shape, sp; never below the smallest."""
    width, half = label_outline(label)[0] / 2, CAP_HEIGHT / 2
    room = sizes.half(tone) - ROOM
    match tone:
        case Tone.ROOT:
            fits = room / max(width, half)
        case Tone.OTHER:
            fits = 1.22 * room / (width + half)
        case Tone.CHORD | Tone.SCALE | None:
            fits = room / hypot(width, half)
    return max(SMALLEST * sizes.label, min(sizes.label, fits))


def label_path(tone: Tone | None, label: str, sizes: Sizes) -> str:
    """Outline of a label in the middle of its shape, to be filled by the even-odd rule."""
    if not label:
        return ""
    size = label_size(tone, label, sizes)
    width, rings = label_outline(label)
    dx, dy = -width * size / 2, CAP_HEIGHT * size / 2
    return "".join(
        "M" + "L".join(f"{_fine(x * size + dx)} {_fine(y * size + dy)}" for x, y in ring) + "z"
        for ring in rings
    )


def _fine(value: float) -> str:
    """Thousandths of a staff space: hundredths would make small letters uneven."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
