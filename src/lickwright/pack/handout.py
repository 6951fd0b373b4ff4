"""What of a lesson is on paper?"""

from __future__ import annotations

from typing import Any

from lickwright.pack.paper import set_pdf

_KEPT = (
    "kind", "level", "title", "facts", "lines", "words", "fits", "grade", "new", "audio", "map",
    "hands",
)  # fmt: skip


def make_handout(data: dict[str, Any]) -> bytes:
    """The PDF, from the same parts as the page without what only a page can show.

    Raises HandoutError.
    """
    return set_pdf("handout.typ", {**data, "parts": [_on_paper(part) for part in data["parts"]]})


def _on_paper(part: dict[str, Any]) -> dict[str, Any]:
    if part["kind"] != "phrase":
        kept = {name: value for name, value in part.items() if name not in ("html", "sounds")}
        files = [{"file": sound["file"]} for sound in part.get("sounds", ())]
        return kept | {"sounds": files}
    kept = {name: part[name] for name in _KEPT}
    return kept | {"reasons": [reason["text"] for reason in part["reasons"]]}
