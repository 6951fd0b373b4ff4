"""Which parts of a Markdown text are the lesson's blocks, and which are the teacher's prose?"""

from __future__ import annotations

import re
from dataclasses import dataclass

from markdown_it import MarkdownIt

from lickwright.lesson.problems import Fix, Problems

BLOCK_WORDS = ("lick", "neck", "band", "solo", "stage")
_MARKDOWN = MarkdownIt("commonmark").disable(["inline", "text_join"])  # only blocks are asked for
_OPENING = re.compile(r" {0,3}(?:`{3,}|~{3,})\s*((?:" + "|".join(BLOCK_WORDS) + r")(?:\s[^`]*)?)")
_SETTING = re.compile(r"\s*[a-z][a-z-]*(?: \d+)?\s*:")
_LINE_END = re.compile(r"\r\n|\n|\r")


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the file. `number` from 1; `text` without `ending`."""

    number: int
    text: str
    ending: str = "\n"

    @property
    def raw(self) -> str:
        """The line with its ending, as in the file."""
        return self.text + self.ending


@dataclass(frozen=True, slots=True)
class Prose:
    """Lines that are no block of the lesson: kept byte for byte."""

    lines: tuple[Line, ...]

    @property
    def raw(self) -> str:
        """The text as in the file."""
        return "".join(line.raw for line in self.lines)


@dataclass(frozen=True, slots=True)
class Fence:
    """One fenced block of the lesson: its opening line, inner lines and closing line."""

    kind: str  # one of BLOCK_WORDS
    name: str  # what follows the kind, '' if nothing
    opening: Line
    inner: tuple[Line, ...]
    closing: Line | None


@dataclass(frozen=True, slots=True)
class FrontMatter:
    """The settings between two --- lines at the top."""

    opening: Line
    inner: tuple[Line, ...]
    closing: Line


Piece = Prose | Fence | FrontMatter


def split_lines(text: str) -> tuple[Line, ...]:
    """Split at any line ending (CRLF, LF, CR); joining the raws gives `text` back."""
    lines: list[Line] = []
    start = 0
    for match in _LINE_END.finditer(text):
        lines.append(Line(len(lines) + 1, text[start : match.start()], match.group()))
        start = match.end()
    if start < len(text):
        lines.append(Line(len(lines) + 1, text[start:], ""))
    return tuple(lines)


def split_document(text: str, problems: Problems) -> tuple[Piece, ...]:
    """Cut a file's text into front matter, prose and the lesson's blocks, in order."""
    lines = split_lines(text)
    pieces: list[Piece] = []
    at = 0
    front = _front_matter(lines, problems)
    if front is not None:
        pieces.append(front)
        at = 2 + len(front.inner)
    offset = at
    for start, end, info, closed in _fences(lines[at:]):
        first, last = offset + start, offset + end
        pieces += _prose(lines[at:first])
        at = last if closed else _end_of_rows(lines, first, last)
        pieces.append(_fence(lines[first:at], info, closed, problems))
    pieces += _prose(lines[at:])
    return tuple(pieces)


def _prose(lines: tuple[Line, ...]) -> list[Piece]:
    return [Prose(lines)] if lines else []


def _front_matter(lines: tuple[Line, ...], problems: Problems) -> FrontMatter | None:
    if not lines or lines[0].text.removeprefix("\ufeff").rstrip() != "---":
        return None
    for index, line in enumerate(lines[1:], start=1):
        if line.text.rstrip() == "---":
            return FrontMatter(lines[0], lines[1:index], line)
        if line.text.strip() and ":" not in line.text:
            break
    problems.add(
        1,
        1,
        "fence",
        "the settings begun in line 1 have no closing ---",
        "a line of three hyphens after the last setting",
    )
    return None


def _fences(lines: tuple[Line, ...]) -> list[tuple[int, int, str, bool]]:
    """(first line, line after the last, info, closed) of each of the lesson's fences, from 0."""
    text = "\n".join(line.text.replace("\0", " ") for line in lines).removeprefix("\ufeff")
    found = []
    for token in _MARKDOWN.parse(text):
        if token.type != "fence" or token.map is None or token.level != 0:
            continue
        words = token.info.split()
        if not words or words[0] not in BLOCK_WORDS:
            continue
        start, end = token.map
        end = min(end, len(lines))
        last = lines[end - 1].text.strip()
        fence = token.markup
        closed = end - 1 > start and last == fence[0] * len(last) and len(last) >= len(fence)
        found += _split_at_openings(lines, start, end, token.info, closed)
    return found


def _split_at_openings(
    lines: tuple[Line, ...], start: int, end: int, info: str, closed: bool
) -> list[tuple[int, int, str, bool]]:
    """A block of the lesson that opens inside another: the outer one was never closed."""
    parts: list[tuple[int, int, str, bool]] = []
    for index in range(start + 1, end):
        opening = _OPENING.fullmatch(lines[index].text.rstrip())
        if opening:
            parts.append((start, index, info, False))
            start, info = index, opening[1]
    return [*parts, (start, end, info, closed)]


def _fence(lines: tuple[Line, ...], info: str, closed: bool, problems: Problems) -> Fence:
    words = info.split()
    opening = lines[0]
    if not closed:
        problems.add(
            opening.number,
            1,
            "fence",
            f"the {words[0]} begun in line {opening.number} has no closing fence",
            "three backticks after its last row",
            [_close(lines)],
        )
    inner = lines[1:-1] if closed else lines[1:]
    return Fence(words[0], " ".join(words[1:]), opening, inner, lines[-1] if closed else None)


def _end_of_rows(lines: tuple[Line, ...], first: int, last: int) -> int:
    """Where a block that was never closed ends: behind its last row or setting before prose."""
    end = first + 1
    for index in range(first + 1, last):
        text = lines[index].text
        if "|" in text or _SETTING.match(text):
            end = index + 1
        elif text.strip():
            break
    return end


def _close(lines: tuple[Line, ...]) -> Fix:
    """Close a fence behind its last line."""
    fence = lines[0].text.removeprefix("\ufeff").strip()
    mark = fence[: len(fence) - len(fence.lstrip("`~"))]
    return Fix(lines[-1].number, f"{lines[-1].text}\n{mark}")
