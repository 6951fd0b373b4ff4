"""How wide is each fret on the map, and where do strings and places lie?

Fret distances are those of a real neck, to scale, except that no fret is narrower than its dots
need; what those take the others give.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil

from lickwright.engrave.faces import Cut, text_width
from lickwright.engrave.neck_shapes import TO_WRITE_IN, USUAL, Sizes
from lickwright.engrave.neck_spec import NeckSpec, Spot
from lickwright.engrave.style import ROW_SIZE
from lickwright.neck import fret_distance

EDGE = 0.4  # from the picture's edge to the nearest ink
STUB = 1.1  # how far the strings run on where the neck is cut off
NAME_AIR = 0.9  # between a string's name and what follows
NARROWEST_OPEN = 1.4  # room left of the nut, in radii, on each side of an open string's dot
OCTAVE = 12


@dataclass(frozen=True, slots=True)
class Stretch:
    """A piece of the neck: `wires`, x of each fret wire from that before fret `first` on, sp.

    `y`: of its thinnest string. `open_x`: of open strings and crosses; None if they have no room.
    """

    first: int
    wires: tuple[float, ...]
    y: float
    open_x: float | None
    name_x: float  # right end of the strings' names

    @property
    def last(self) -> int:
        """The highest fret on it."""
        return self.first + len(self.wires) - 2

    def x(self, fret: float, *, on_wire: bool = False) -> float:
        """Middle of a fret's space, or its wire; fractions lie between the two middles."""
        if on_wire:
            return self.wires[int(fret) - self.first + 1]
        if fret == 0:
            return self.wires[0] if self.open_x is None else self.open_x
        low = int(fret)
        here = self._middle(low)
        return here + (fret - low) * (self._middle(low + 1) - here) if fret > low else here

    def _middle(self, fret: int) -> float:
        index = fret - self.first
        return (self.wires[index] + self.wires[index + 1]) / 2


@dataclass(frozen=True, slots=True)
class Layout:
    """Where everything stands, as on a right-handed neck; sp from the top left."""

    stretches: tuple[Stretch, ...]
    sizes: Sizes
    gap: float  # between two strings
    above: float  # room over the thinnest string
    below: float  # room under the thickest string before the side dots
    width: float

    def string_y(self, stretch: Stretch, string: int) -> float:
        """Height of a string (1 = thinnest)."""
        return stretch.y + (string - 1) * self.gap

    def stretch_of(self, fret: float) -> Stretch:
        """The piece of the neck on which a fret lies."""
        return next(s for s in self.stretches if fret <= s.last or s is self.stretches[-1])


def sizes_for(spec: NeckSpec) -> Sizes:
    """Sizes of the dots: larger where the pupil writes into them."""
    sizes = TO_WRITE_IN if spec.worksheet else USUAL
    if _crowded(spec):
        return replace(sizes, least=2 * sizes.least)
    return sizes


def _crowded(spec: NeckSpec) -> bool:
    """Whether a string has a harmonic, drawn on the wire, right beside a fretted note."""
    fretted = {spot.place for spot in spec.spots if not spot.harmonic}
    touched = [spot.place for spot in spec.spots if spot.harmonic]
    return any(
        place in fretted or replace(place, fret=place.fret + 1) in fretted for place in touched
    )


def lay_out(spec: NeckSpec, width: float, under: float) -> Layout:
    """Lay the neck out within `width` sp; wider only if the frets need it.

    `under`: room for what stands under each dot, sp.
    """
    sizes = sizes_for(spec)
    rise = 1.3 if spec.bends else 0.0
    gap = max(sizes.gap, 2 * sizes.radius + 0.45 + under + rise)
    above = max(1.16 * sizes.radius, sizes.radius + rise) + EDGE
    below = 1.16 * sizes.radius + under
    pieces = _pieces(spec, sizes, width)
    step = above + (len(spec.board.tuning) - 1) * gap + below + 4.2
    stretches = tuple(
        _stretch(spec, sizes, piece, (width, above + index * step))
        for index, piece in enumerate(pieces)
    )
    right = max(stretch.wires[-1] for stretch in stretches) + STUB + EDGE
    return Layout(stretches, sizes, gap, above, below, right)


def _pieces(spec: NeckSpec, sizes: Sizes, width: float) -> list[tuple[int, int]]:
    """First and last fret of each piece: one piece if it fits, and always for a phrase's way."""
    first, last = spec.first_fret, spec.high
    count = last - first + 1
    most = max(4, int((width - _left(spec, sizes, first) - STUB - EDGE) / sizes.least))
    if count <= most or spec.path:
        return [(first, last)]
    each = ceil(count / ceil(count / most))
    if first == 1 and count > OCTAVE and each <= OCTAVE <= most and count - OCTAVE <= most:
        each = OCTAVE
    return [(at, min(last, at + each - 1)) for at in range(first, last + 1, each)]


def _open_room(spec: NeckSpec, sizes: Sizes, first: int) -> float:
    """Width of the column for open strings and crosses left of a piece's first wire."""
    shown = (spec.low == 0 or spec.silent) and first == spec.first_fret
    return 2 * NARROWEST_OPEN * sizes.radius if shown else 0.0


def _left(spec: NeckSpec, sizes: Sizes, first: int) -> float:
    """X of a piece's first wire."""
    stub = STUB if first > 1 else 0.6
    return EDGE + name_width(spec) + NAME_AIR + (_open_room(spec, sizes, first) or stub)


def name_width(spec: NeckSpec) -> float:
    """Width of the widest string name."""
    return max(text_width(name, Cut.SANS, ROW_SIZE) for name in string_names(spec))


def string_names(spec: NeckSpec) -> tuple[str, ...]:
    """What each string is called, thinnest first."""
    tuning = spec.board.tuning
    labels = [tuning.label(string) for string in range(1, len(tuning) + 1)]
    return tuple(name[0] + name[1:].replace("b", "♭").replace("#", "♯") for name in labels)


def _stretch(
    spec: NeckSpec, sizes: Sizes, piece: tuple[int, int], room: tuple[float, float]
) -> Stretch:
    first, last = piece
    left = _left(spec, sizes, first)
    capo = spec.board.capo
    true = [fret_distance(capo + fret - 1, capo + fret) for fret in range(first, last + 1)]
    total = min(room[0] - left - STUB - EDGE, sizes.usual * len(true))
    wires = [left]
    for wide in fitted(true, total, sizes.least):
        wires.append(wires[-1] + wide)
    open_room = _open_room(spec, sizes, first)
    open_x = left - open_room / 2 if open_room else None
    return Stretch(first, tuple(wires), room[1], open_x, EDGE + name_width(spec))


def fitted(true: list[float], total: float, least: float) -> list[float]:
    """Widths in proportion to `true` that add up to `total`, none under `least`.

    If `total` is too small for that, all are `least`.
    """
    narrow: set[int] = set()
    while len(narrow) < len(true):
        rest = sum(each for index, each in enumerate(true) if index not in narrow)
        scale = (total - least * len(narrow)) / rest
        found = {i for i, each in enumerate(true) if i not in narrow and each * scale < least}
        if not found:
            return [least if i in narrow else each * scale for i, each in enumerate(true)]
        narrow |= found
    return [least] * len(true)


def spot_place(layout: Layout, spot: Spot) -> tuple[float, float]:
    """Centre of a spot."""
    stretch = layout.stretch_of(spot.place.fret)
    x = stretch.x(spot.place.fret, on_wire=spot.harmonic)
    return x, layout.string_y(stretch, spot.place.string)
