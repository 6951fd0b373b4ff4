"""What of a lesson is on paper?"""

from __future__ import annotations

import re
from dataclasses import asdict, dataclass
from typing import Any

from lickwright.pack.paper import set_pdf

_KEPT = (
    "kind", "level", "title", "facts", "lines", "words", "fits", "grade", "new", "audio", "map",
    "hands", "plan",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Sizes:
    """`unit`: mm of a staff space; `text`, `small`: points of prose and of what stands by music."""

    unit: float = 1.35
    text: float = 10.5
    small: float = 9.5


LARGE = Sizes(2.6, 15.0, 14.0)
_STAND_UNITS = (1.2, 1.1, 1.0, 0.9, 0.8, 0.7, 0.6)  # mm


def make_handout(data: dict[str, Any], sizes: Sizes | None = None) -> bytes:
    """The PDF, from the same parts as the page without what only a page can show.

    Raises HandoutError.
    """
    own = sizes or Sizes()
    parts = [_on_paper(part, data["left_handed"], own) for part in data["parts"]]
    return set_pdf("handout.typ", {**data, **asdict(own), "parts": parts})


def make_stand_sheet(data: dict[str, Any]) -> bytes:
    """One page for the music stand: all phrases, nothing but music and names.

    More than a page only if they do not fit at half their size. Raises HandoutError.
    """
    phrases = [
        {name: part[name] for name in ("title", "facts", "lines", "words")}
        for part in data["parts"]
        if part["kind"] == "phrase"
    ]
    return set_pdf("stand.typ", {**data, "parts": phrases, "unit": _stand_unit(phrases)})


def _stand_unit(phrases: list[dict[str, Any]]) -> float:
    """Millimetres of a staff space at which all lines fit on one page, within what can be read."""
    view = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')
    lines = [line for part in phrases for line in part["lines"]]
    sizes = [view.search(line["picture"]) for line in lines]
    for unit in _STAND_UNITS:
        heights, row, width = [0.0], 0.0, 0.0
        for size in sizes:
            if size is None:
                continue
            wide, high = float(size[1]) * unit + 8, float(size[2]) * unit + 9
            if width + wide > 188:
                heights.append(0.0)
                width = 0.0
            width += wide
            heights[-1] = max(heights[-1], high)
            row = sum(heights)
        if row < 250:
            return unit
    return _STAND_UNITS[-1]


def _on_paper(part: dict[str, Any], left_handed: bool, sizes: Sizes) -> dict[str, Any]:
    if part["kind"] != "phrase":
        kept = {name: value for name, value in part.items() if name not in ("html", "sounds")}
        files = [{"file": sound["file"]} for sound in part.get("sounds", ())]
        kept = _turned(kept) if left_handed and part["kind"] == "neck" else kept
        return kept | {"sounds": files}
    kept = {name: part[name] for name in _KEPT}
    if left_handed:
        kept["map"] = _turned(kept["map"])
    if sizes is LARGE:
        kept["lines"] = part["large"]
    return kept | {"reasons": [reason["text"] for reason in part["reasons"]]}


def _turned(map_: dict[str, Any]) -> dict[str, Any]:
    """A neck map for left-handed players."""
    return map_ | {"picture": map_["left"]}
