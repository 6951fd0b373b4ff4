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
_MOST_TRIES, _MOST_NAMED = 200, 20
_MAY_BREAK = "\u200b"  # zero width space
_LONG_WORD = re.compile(r"\S{20}(?=\S)")


class HandoutError(Exception):
    """The PDF could not be set."""


def set_pdf(template: str, data: dict[str, Any]) -> bytes:
    """Set a PDF with one of our templates. `data` is what the template shows.

    The same data gives the same bytes, as long as it holds no characters that our own fonts lack:
    these are taken from the fonts of the machine, and where it has none a `?` stands for them (see
    `missing_characters`). Raises HandoutError with typst's own words.
    """
    foreign = foreign_characters(data)
    missing = missing_characters(foreign)
    text = (resources.files("lickwright.pack") / "templates" / template).read_bytes()
    shown = _each_text(data, lambda words: _breakable(_without(words, missing)))
    return _compiled(text, shown, own_fonts=not foreign)


def foreign_characters(data: Any) -> str:
    """Every character in the texts of `data` that our own fonts lack, in order, each once."""
    used = {character for text in _texts(data) for character in text}
    found = {
        character
        for character in used
        if not covers(character, Cut.SANS) and unicodedata.category(character) not in _UNSEEN
    }
    return "".join(sorted(found))


def paper_remarks(data: Any) -> tuple[str, ...]:
    """What a teacher should know of how `data` comes out on paper, in whole sentences."""
    missing = missing_characters(foreign_characters(data))
    if not missing:
        return ()
    more = f" and {len(missing) - _MOST_NAMED} more" if len(missing) > _MOST_NAMED else ""
    named = " ".join(missing[:_MOST_NAMED])
    return (f"No font of this machine has {named}{more}: on paper a ? stands for each.",)


@cache
def missing_characters(characters: str) -> str:
    """Those of some characters that no font of this machine has.

    Found by setting them, in halves of halves. After `_MOST_TRIES` tries what was not set counts as
    missing, so that thousands of them take no longer.
    """
    missing, waiting, tries = "", [characters] if characters else [], 0
    while waiting:
        piece = waiting.pop()
        tries += 1
        if tries <= _MOST_TRIES and _can_be_set(piece):
            continue
        if len(piece) == 1 or tries > _MOST_TRIES:
            missing += piece
        else:
            half = len(piece) // 2
            waiting += [piece[half:], piece[:half]]
    return missing


def _can_be_set(characters: str) -> bool:
    text = b'#set document(title: "x")\n#set text(font: "Lickwright Sans")\n#json("data.json")'
    try:
        _compiled(text, characters, own_fonts=False)
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


def _without(text: str, missing: str) -> str:
    """The same with a `?` for each missing character."""
    return text.translate(dict.fromkeys(map(ord, missing), "?"))


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
