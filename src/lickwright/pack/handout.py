"""How is the lesson set on paper? A PDF, tagged for screen readers."""

from __future__ import annotations

import json
from importlib import resources
from typing import Any

from lickwright.engrave import font_bytes
from lickwright.engrave.faces import Cut


class HandoutError(Exception):
    """The PDF could not be set."""


def make_handout(data: dict[str, Any], font_folder: str) -> bytes:
    """Set the handout. `data` is what the template shows; `font_folder` holds our fonts.

    The same data gives the same bytes. Raises HandoutError with typst's own words.
    """
    import typst  # noqa: PLC0415 - slow to import

    compile_files: Any = typst.compile  # takes files in memory, which its own types leave out

    template = resources.files("lickwright.pack") / "templates" / "handout.typ"
    files = {"main.typ": template.read_bytes(), "data.json": json.dumps(data).encode()}
    try:
        return bytes(
            compile_files(
                files, format="pdf", font_paths=[font_folder], ignore_system_fonts=True,
                pdf_standards=["ua-1"],
            )
        )  # fmt: skip
    except typst.TypstError as error:
        raise HandoutError(str(error)) from error


def write_fonts(folder: str) -> None:
    """Put the text fonts where typst finds them."""
    from pathlib import Path  # noqa: PLC0415

    for cut in Cut:
        (Path(folder) / f"{cut.value.file}.ttf").write_bytes(font_bytes(cut))
