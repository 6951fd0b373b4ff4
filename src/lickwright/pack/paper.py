"""How does something become a PDF, tagged for screen readers?"""

from __future__ import annotations

import json
import re
import tempfile
import unicodedata
from collections.abc import Callable, Iterator
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from lickwright.engrave import covers, font_bytes
from lickwright.engrave.faces import Cut

_NOT_READ = ("picture", "left", "wide", "narrow", "html", "target")
_UNSEEN = ("Cc", "Cf", "Zs", "Zl", "Zp", "Mn")
_MAY_BREAK = "\u200b"  # zero width space
_LONG_WORD = re.compile(r"\S{20}(?=\S)")


class HandoutError(Exception):
    """The PDF could not be set."""


def set_pdf(template: str, data: dict[str, Any]) -> bytes:
    """Set a PDF with one of our templates. `data` is what the template shows.

    The same data gives the same bytes, as long as it holds no signs that our own fonts lack: these
    are taken from the fonts of the machine, and where it has none a `?` stands for them (see
    `lost_signs`). Raises HandoutError with typst's own words.
    """
    foreign = foreign_signs(data)
    lost = lost_signs(foreign)
    text = (resources.files("lickwright.pack") / "templates" / template).read_bytes()
    shown = _each_text(data, lambda words: _breakable(_without(words, lost)))
    return _compiled(text, shown, own_fonts=not foreign)


def foreign_signs(data: Any) -> str:
    """Every sign in the texts of `data` that our own fonts lack, in order, each once."""
    found = {
        sign
        for text in _texts(data)
        for sign in text
        if not covers(sign, Cut.SANS) and unicodedata.category(sign) not in _UNSEEN
    }
    return "".join(sorted(found))


@cache
def lost_signs(signs: str) -> str:
    """Those of some signs that no font of this machine has."""
    if not signs or _can_be_set(signs):
        return ""
    return "".join(sign for sign in signs if not _can_be_set(sign))


def _can_be_set(signs: str) -> bool:
    text = b'#set document(title: "x")\n#set text(font: "Lickwright Sans")\n#json("data.json")'
    try:
        _compiled(text, signs, own_fonts=False)
    except HandoutError:
        return False
    return True


def _texts(data: Any) -> Iterator[str]:
    """All texts in `data` but pictures and addresses."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        for name, value in data.items():
            if name not in _NOT_READ:
                yield from _texts(value)
    elif isinstance(data, list | tuple):
        for value in data:
            yield from _texts(value)


def _without(text: str, lost: str) -> str:
    """The same with a `?` for each lost sign."""
    return text.translate(dict.fromkeys(map(ord, lost), "?"))


def _breakable(text: str) -> str:
    """The same, where a word longer than a line may go on in the next one."""
    return _LONG_WORD.sub(lambda word: word.group() + _MAY_BREAK, text)


def _each_text(data: Any, change: Callable[[str], str]) -> Any:
    """The same data with every text but pictures and addresses changed."""
    if isinstance(data, str):
        return change(data)
    if isinstance(data, dict):
        return {n: v if n in _NOT_READ else _each_text(v, change) for n, v in data.items()}
    if isinstance(data, list | tuple):
        return [_each_text(value, change) for value in data]
    return data


def _compiled(text: bytes, data: Any, *, own_fonts: bool) -> bytes:
    import typst  # noqa: PLC0415 - slow to import

    compile_files: Any = typst.compile  # takes files in memory, which its own types leave out
    files = {"main.typ": text, "data.json": json.dumps(data).encode()}
    with tempfile.TemporaryDirectory() as fonts:
        _write_fonts(Path(fonts))
        try:
            return bytes(
                compile_files(
                    files, format="pdf", font_paths=[fonts], ignore_system_fonts=own_fonts,
                    pdf_standards=["ua-1"],
                )
            )  # fmt: skip
        except typst.TypstError as error:
            raise HandoutError(str(error)) from error


def _write_fonts(folder: Path) -> None:
    """Put the text fonts where typst finds them."""
    for cut in Cut:
        (folder / f"{cut.value.file}.ttf").write_bytes(font_bytes(cut))
