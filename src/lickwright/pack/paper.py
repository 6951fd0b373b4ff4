"""How does something become a PDF, tagged for screen readers?"""

from __future__ import annotations

import json
import tempfile
from importlib import resources
from pathlib import Path
from typing import Any

from lickwright.engrave import font_bytes
from lickwright.engrave.faces import Cut


class HandoutError(Exception):
    """The PDF could not be set."""


def set_pdf(template: str, data: dict[str, Any]) -> bytes:
    """Set a PDF with one of our templates. `data` is what the template shows.

    The same data gives the same bytes. Raises HandoutError with typst's own words.
    """
    import typst  # noqa: PLC0415 - slow to import

    compile_files: Any = typst.compile  # takes files in memory, which its own types leave out

    text = (resources.files("lickwright.pack") / "templates" / template).read_bytes()
    files = {"main.typ": text, "data.json": json.dumps(data).encode()}
    with tempfile.TemporaryDirectory() as fonts:
        _write_fonts(Path(fonts))
        try:
            return bytes(
                compile_files(
                    files, format="pdf", font_paths=[fonts], ignore_system_fonts=True,
                    pdf_standards=["ua-1"],
                )
            )  # fmt: skip
        except typst.TypstError as error:
            raise HandoutError(str(error)) from error


def _write_fonts(folder: Path) -> None:
    """Put the text fonts where typst finds them."""
    for cut in Cut:
        (folder / f"{cut.value.file}.ttf").write_bytes(font_bytes(cut))
