"""What does a lesson file say? The one way in: text to lesson, with every problem noted."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from lickwright.lesson.blocks import (
    Stage,
    read_band,
    read_neck,
    read_stage,
)
from lickwright.lesson.document import (
    BLOCK_WORDS,
    Fence,
    FrontMatter,
    Piece,
    Prose,
    split_document,
    split_lines,
)
from lickwright.lesson.lick import Lick, read_lick
from lickwright.lesson.problems import Fix, Problem, Problems
from lickwright.lesson.references import Block, check_references
from lickwright.lesson.settings import Setting, Settings, read_setting_lines, resolve
from lickwright.lesson.solos import read_solo
from lickwright.lesson.values import READERS
from lickwright.neck import Guitar
from lickwright.phrase import Phrase

MOST_BYTES = 1 << 20
_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


@dataclass(frozen=True, slots=True)
class ProsePart:
    """The teacher's prose (Markdown), as in the file."""

    text: str


@dataclass(frozen=True, slots=True)
class Lesson:
    """A lesson as read. `parts` holds prose and blocks in the order of the file."""

    written: tuple[Setting, ...]
    settings: Settings
    parts: tuple[ProsePart | Block, ...]

    @property
    def licks(self) -> tuple[Lick, ...]:
        """Its lick blocks, readable or not."""
        return tuple(part for part in self.parts if isinstance(part, Lick))

    @property
    def phrases(self) -> tuple[Phrase, ...]:
        """The phrases of all readable lick blocks."""
        return tuple(lick.phrase for lick in self.licks if lick.phrase is not None)

    @property
    def guitars(self) -> dict[str, Guitar]:
        """What each readable phrase is played on, by its name."""
        return {
            lick.phrase.name: lick.guitar
            for lick in self.licks
            if lick.phrase is not None and lick.guitar is not None
        }

    @property
    def stages(self) -> tuple[Stage, ...]:
        """Its practice stages."""
        return tuple(part for part in self.parts if isinstance(part, Stage))


@dataclass(frozen=True, slots=True)
class Reading:
    """A lesson and what is wrong in it. `pieces` are the file's own lines, for writing it back."""

    lesson: Lesson
    problems: tuple[Problem, ...]
    pieces: tuple[Piece, ...]


def read_lesson(text: str) -> Reading:
    """Read a lesson file's text. Never raises for what is in it: all is in `problems`."""
    problems = Problems()
    if len(text.encode("utf-8", "surrogatepass")) > MOST_BYTES:
        problems.add(
            1, 1, "too-long", "a lesson file has at most 1 MiB", "cut it into several lessons"
        )
        return Reading(Lesson((), Settings(), ()), problems.sorted(), ())
    if _control(text, problems):
        return Reading(Lesson((), Settings(), ()), problems.sorted(), ())
    pieces = split_document(text, problems)
    front = next((piece for piece in pieces if isinstance(piece, FrontMatter)), None)
    lines = tuple(line for line in front.inner if line.text.strip()) if front else ()
    written = read_setting_lines(lines, tuple(READERS), problems)
    settings = resolve(written, Settings(), problems)
    _check_names(pieces, problems)
    parts = tuple(_parts(pieces, settings, problems))
    blocks = [part for part in parts if not isinstance(part, ProsePart)]
    fences = [piece for piece in pieces if isinstance(piece, Fence)]
    check_references(list(zip(blocks, fences, strict=True)), problems)
    return Reading(Lesson(written, settings, parts), problems.sorted(), pieces)


def _control(text: str, problems: Problems) -> bool:
    """A binary file is no lesson."""
    zeros = [i for i, char in enumerate(text[:100_000]) if char < " " and char not in "\t\n\r\f"]
    if not zeros or (len(zeros) <= 3 and "\0" not in text):
        return False
    before = split_lines(text[: zeros[0]] + ".")[-1]
    problems.add(
        before.number,
        len(before.text),
        "text",
        "this is no text file: it holds control characters",
        "a lesson is a plain text file in UTF-8",
    )
    return True


def _parts(
    pieces: tuple[Piece, ...], settings: Settings, problems: Problems
) -> Iterator[ProsePart | Block]:
    for piece in pieces:
        match piece:
            case Prose():
                yield ProsePart(piece.raw)
            case Fence(kind="lick"):
                yield read_lick(piece, settings, problems)
            case Fence(kind="neck"):
                yield read_neck(piece, settings, problems)
            case Fence(kind="band"):
                yield read_band(piece, settings, problems)
            case Fence(kind="solo"):
                yield read_solo(piece, settings, problems)
            case Fence(kind="stage"):
                yield read_stage(piece, settings, problems)
            case _:
                pass


def _check_names(pieces: tuple[Piece, ...], problems: Problems) -> None:
    taken: dict[tuple[str, str], int] = {}
    names = {(piece.kind, piece.name) for piece in pieces if isinstance(piece, Fence)}
    for piece in pieces:
        if not isinstance(piece, Fence):
            continue
        number = piece.opening.number
        column = piece.opening.text.index(piece.kind) + 1
        if not piece.name:
            if piece.kind == "lick":
                fresh = _fresh("lick", "my-first-turn", names)
                what, mend = "a lick needs a name of its own", f"lick {fresh}"
                problems.add(number, column, "name", what, mend, [_renamed(piece, fresh)])
            continue
        if not _NAME.fullmatch(piece.name):
            made = re.sub(r"[^a-z0-9]+", "-", piece.name.lower()).strip("-") or "my-first-turn"
            problems.add(
                number,
                column,
                "name",
                f"'{piece.name}' is no name: lower case, digits and hyphens make one",
                f"{piece.kind} {made}",
                [_renamed(piece, made)],
            )
            continue
        if (piece.kind, piece.name) in taken:
            line = taken[piece.kind, piece.name]
            fresh = _fresh(piece.kind, piece.name, names)
            problems.add(
                number,
                column,
                "name",
                f"this name is taken by the {piece.kind} in line {line}",
                fresh,
                [_renamed(piece, fresh)],
            )
        taken.setdefault((piece.kind, piece.name), number)


def _fresh(kind: str, name: str, names: set[tuple[str, str]]) -> str:
    if (kind, name) not in names:
        return name
    number = 2
    while (kind, f"{name}-{number}") in names:
        number += 1
    return f"{name}-{number}"


def _renamed(piece: Fence, name: str) -> Fix:
    head, _, _ = piece.opening.text.partition(piece.kind)
    return Fix(piece.opening.number, f"{head}{piece.kind} {name}")


__all__ = ["BLOCK_WORDS", "Block", "Lesson", "ProsePart", "Reading", "read_lesson"]
