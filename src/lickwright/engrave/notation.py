"""What has verovio drawn, system by system, and where did every note come to stand?"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from lxml import etree

from lickwright.engrave.geometry import numbers, path_extent
from lickwright.engrave.glyphs import HEAD_BRACKETS, HEAD_WIDTH, glyph_box
from lickwright.engrave.ink import IDS, Mark, clean
from lickwright.engrave.sent import Sent
from lickwright.engrave.skyline import Box
from lickwright.engrave.typeset import SVG_UNITS, EngravingError

if TYPE_CHECKING:
    from lxml.etree import _Element

_USE = re.compile(r"translate\((?P<x>-?[\d.]+), (?P<y>-?[\d.]+)\) scale\((?P<k>[\d.]+), [\d.]+\)")
_FULL_SCALE = 0.72
_LEFT_OUT = {"harm", "verse", "mNum", "mRptNum", "placeholder", "systemMilestone", "barLine"}
_SIGNS = {"clef", "keySig", "meterSig"}
_KINDS = {"slur", "tie", "accid", "rest", "notehead", "artic", "beam", "stem", "flag", *_SIGNS}


@dataclass(frozen=True, slots=True)
class Head:
    """Where a head or rest stands: centre of the head, sp from the system's top left."""

    x: float
    y: float
    left: float  # edge of its ink, accidental included


@dataclass(slots=True)
class NotationSystem:
    """One line of notation. y is 0 at the top staff line; x at the left edge of the staff."""

    svg: list[str] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)
    glyphs: set[str] = field(default_factory=set)
    heads: dict[str, Head] = field(default_factory=dict)  # by the id that was sent
    bows: set[str] = field(default_factory=set)  # ids of ties and slurs drawn (their first half)
    columns: dict[str, float] = field(default_factory=dict)  # id of a chord -> x of its column
    bars: list[str] = field(default_factory=list)  # measure ids
    bar_lines: list[float] = field(default_factory=list)  # x, in order; the last may be double
    left: float = 0.0  # end of clef and signatures
    right: float = 0.0  # end of the staff lines
    origin: float = 0.0  # y of the top line in verovio's units


def read_systems(svg: str, sent: Sent) -> list[NotationSystem]:
    """Take verovio's picture apart. Raises EngravingError if a note did not come back."""
    root = etree.fromstring(svg.encode(), etree.XMLParser(huge_tree=True, no_network=True))
    names = {element: head.note.id for element, head in sent.heads.items()}
    names |= {element: note.id for element, note in sent.small.items()}
    systems = [
        _Reader(names).read(element) for element in root.iter("{*}g") if _class(element) == "system"
    ]
    came = {element for system in systems for element in system.heads}
    missing = (set(names) | set(sent.similes)) - came
    if missing:
        raise EngravingError(f"verovio left out {len(missing)} of the notes it was sent")
    return systems


class _Reader:
    """Walks through one system."""

    def __init__(self, names: dict[str, str]) -> None:
        self.names = names
        self.system = NotationSystem()

    def read(self, element: _Element) -> NotationSystem:
        first = next(g for g in element.iter("{*}g") if _class(g) == "staff")
        self.system.origin = path_extent(_paths(first)[0].get("d", ""))[1]
        self._walk(element, "")
        self.system.left = max([0.0, *(m.box.x1 for m in self.system.marks if m.kind in _SIGNS)])
        return self.system

    def _walk(self, element: _Element, kind: str) -> None:
        for child in element:
            if not isinstance(child.tag, str):
                continue
            name = child.tag.rpartition("}")[2]
            if name == "g":
                self._group(child, kind)
            elif name in _DRAW:
                _DRAW[name](self, child, kind)

    def _group(self, element: _Element, kind: str) -> None:
        classes = element.get("class", "").split(" ")
        own = classes[0]
        if own in _READ:
            _READ[own](self, element)
        if _LEFT_OUT.intersection(classes) or own.startswith("systemMilestone"):
            return
        note = self.names.get(element.get("id", ""))
        inner = own if own in _KINDS else kind
        if note is None:
            self._walk(element, inner)
            return
        self.system.svg.append(f'<g data-note="{clean(note)}">')
        self._walk(element, inner)
        self.system.svg.append("</g>")

    def _measure(self, element: _Element) -> None:
        self.system.bars.append(element.get("id", ""))

    def _staff(self, element: _Element) -> None:
        right = path_extent(_paths(element)[0].get("d", ""))[2] / SVG_UNITS
        self.system.right = max(self.system.right, right)

    def _bar_line(self, element: _Element) -> None:
        for path in _paths(element):
            self.system.bar_lines.append(path_extent(path.get("d", ""))[0] / SVG_UNITS)

    def _bow(self, element: _Element) -> None:
        if len(element):
            self.system.bows.add(element.get("id", ""))

    def _place(self, element: _Element) -> None:
        heads = _uses(element, "notehead") or list(element.iter("{*}use"))
        if not heads:
            return
        found = [_USE.fullmatch(use.get("transform", "")) for use in element.iter("{*}use")]
        match = _USE.fullmatch(heads[0].get("transform", ""))
        assert match is not None
        scale = float(match["k"]) / _FULL_SCALE
        x, y = float(match["x"]) / SVG_UNITS, self._y(float(match["y"]))
        width = HEAD_WIDTH * scale
        if _class(element) in ("mRest", "mRpt"):
            width = glyph_box(_code(heads[0])).advance
        left = min(float(m["x"]) for m in found if m) / SVG_UNITS
        self.system.heads[element.get("id", "")] = Head(x + width / 2, y, left)

    def _column(self, element: _Element) -> None:
        """A second sets one head on the wrong side of the stem; the column is the other side."""
        heads = [_USE.fullmatch(u.get("transform", "")) for u in _uses(element, "notehead")]
        places = [(float(m["x"]), float(m["y"])) for m in heads if m]
        stems = [path_extent(p.get("d", "")) for g in _of_class(element, "stem") for p in _paths(g)]
        xs = [x for x, _ in places]
        up = not stems or stems[0][1] < min(y for _, y in places) - SVG_UNITS
        x = min(xs) if up else max(xs)
        self.system.columns[element.get("id", "")] = x / SVG_UNITS + HEAD_WIDTH / 2

    def _y(self, y: float) -> float:
        return (y - self.system.origin) / SVG_UNITS

    def _mark(self, kind: str, extent: tuple[float, float, float, float], pen: float = 0) -> None:
        x0, y0, x1, y1 = extent
        half = pen / 2 / SVG_UNITS
        box = Box(
            x0 / SVG_UNITS - half, self._y(y0) - half, x1 / SVG_UNITS + half, self._y(y1) + half
        )
        self.system.marks.append(Mark(kind or "staff", box))

    def _use(self, element: _Element, kind: str) -> None:
        code = _code(element)
        match = _USE.fullmatch(element.get("transform", ""))
        assert match is not None
        self.system.glyphs.add(code)
        x, y, k = float(match["x"]), float(match["y"]), float(match["k"])
        self.system.svg.append(
            f'<use href="#{IDS}{code}" transform="translate({match["x"]} {match["y"]}) '
            f'scale({match["k"]})"/>'
        )
        box, scale = glyph_box(code), k / _FULL_SCALE * SVG_UNITS
        self._mark(
            kind,
            (x + box.x0 * scale, y + box.y0 * scale, x + box.x1 * scale, y + box.y1 * scale),
        )

    def _path(self, element: _Element, kind: str) -> None:
        data, pen = element.get("d", ""), element.get("stroke-width", "0")
        self.system.svg.append(
            f'<path d="{data}" stroke="currentColor" stroke-width="{pen}" stroke-linejoin="round"/>'
        )
        self._mark(kind, path_extent(data), float(pen))

    def _polygon(self, element: _Element, kind: str) -> None:
        points = element.get("points", "")
        self.system.svg.append(f'<polygon points="{points}"/>')
        self._points(points, kind)

    def _polyline(self, element: _Element, kind: str) -> None:
        points, pen = element.get("points", "").strip(), element.get("stroke-width", "18")
        self.system.svg.append(
            f'<polyline points="{points}" fill="none" stroke="currentColor" stroke-width="{pen}"/>'
        )
        self._points(points, kind)

    def _points(self, points: str, kind: str) -> None:
        values = numbers(points)
        xs, ys = values[::2], values[1::2]
        self._mark(kind, (min(xs), min(ys), max(xs), max(ys)))

    def _ellipse(self, element: _Element, kind: str) -> None:
        cx, cy, rx, ry = (float(element.get(k, "0")) for k in ("cx", "cy", "rx", "ry"))
        self.system.svg.append(f'<ellipse cx="{cx:g}" cy="{cy:g}" rx="{rx:g}" ry="{ry:g}"/>')
        self._mark(kind, (cx - rx, cy - ry, cx + rx, cy + ry))

    def _rect(self, element: _Element, kind: str) -> None:
        x, y, w, h = (float(element.get(k, "0")) for k in ("x", "y", "width", "height"))
        self.system.svg.append(f'<rect x="{x:g}" y="{y:g}" width="{w:g}" height="{h:g}"/>')
        self._mark(kind, (x, y, x + w, y + h))


_READ = {
    "measure": _Reader._measure,
    "staff": _Reader._staff,
    "barLine": _Reader._bar_line,
    "note": _Reader._place,
    "rest": _Reader._place,
    "mRest": _Reader._place,
    "mRpt": _Reader._place,
    "chord": _Reader._column,
    "slur": _Reader._bow,
    "tie": _Reader._bow,
}
_DRAW = {
    "use": _Reader._use,
    "path": _Reader._path,
    "polygon": _Reader._polygon,
    "polyline": _Reader._polyline,
    "ellipse": _Reader._ellipse,
    "rect": _Reader._rect,
}


def _class(element: _Element) -> str:
    return element.get("class", "").partition(" ")[0]


def _of_class(element: _Element, name: str) -> list[_Element]:
    return [g for g in element.iter("{*}g") if _class(g) == name]


def _uses(element: _Element, name: str) -> list[_Element]:
    found = [use for group in _of_class(element, name) for use in group.iter("{*}use")]
    return [use for use in found if _code(use) not in HEAD_BRACKETS]


def _paths(element: _Element) -> list[_Element]:
    return [child for child in element if str(child.tag).endswith("}path")]


def _code(element: _Element) -> str:
    link = element.get("href") or element.get("{http://www.w3.org/1999/xlink}href") or ""
    return link.lstrip("#").partition("-")[0]
