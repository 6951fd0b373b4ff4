"""What do the chord, finger, pick and mark rows say, word by word and column by column?"""

from __future__ import annotations

import re
from dataclasses import dataclass

from lickwright.lesson.music import Row
from lickwright.lesson.problems import Fix, Problems, near
from lickwright.phrase import Finger, Mark, Stroke

_WORD = re.compile(r"[^\s|]+")
_MARK = re.compile(r"(PM|ring|rake|accent|stac|>|\.)(-*)")
_DASHES = re.compile(r"-+")
_MARKS = {
    "PM": Mark.PALM_MUTE,
    "ring": Mark.LET_RING,
    "rake": Mark.RAKE,
    "accent": Mark.ACCENT,
    ">": Mark.ACCENT,
    "stac": Mark.STACCATO,
    ".": Mark.STACCATO,
}
SPANNING = (Mark.PALM_MUTE, Mark.LET_RING, Mark.RAKE)


@dataclass(frozen=True, slots=True)
class Word:
    """A word of a row; `column` from 0."""

    column: int
    text: str


@dataclass(frozen=True, slots=True)
class RawMark:
    """A mark over the columns from `first` to `last` (from 0, both included)."""

    mark: Mark
    first: int
    last: int
    row: Row


def words_of(row: Row) -> tuple[Word, ...]:
    """The words between a row's bar lines."""
    start = row.bar_lines[0] + 1
    return tuple(Word(m.start(), m[0]) for m in _WORD.finditer(row.text, start))


def read_marks(row: Row, problems: Problems) -> list[RawMark]:
    """Marks of a mark row, joined over bar lines where dashes go on."""
    marks: list[RawMark] = []
    for word in words_of(row):
        before = row.text[word.column - 1]
        if _DASHES.fullmatch(word.text) and before == "|" and _goes_on(marks, row, word):
            last = marks.pop()
            marks.append(RawMark(last.mark, last.first, word.column + len(word.text) - 1, row))
            continue
        match = _MARK.fullmatch(word.text)
        if match is None:
            _unknown_mark(row, word, problems)
            continue
        mark, dashes = _MARKS[match[1]], match[2]
        covers = len(word.text) if mark in SPANNING or dashes else 1
        marks.append(RawMark(mark, word.column, word.column + covers - 1, row))
    return marks


def _goes_on(marks: list[RawMark], row: Row, word: Word) -> bool:
    between = row.text[marks[-1].last + 1 : word.column] if marks else " "
    return bool(marks) and between.strip(" ") == "|"


def _unknown_mark(row: Row, word: Word, problems: Problems) -> None:
    bare = word.text.rstrip("-")
    names = {"PM": "PM", "p.m.": "PM", "ring": "ring", "let": "ring", "rake": "rake"}
    names |= {"accent": "accent", "stac": "stac", "staccato": "stac", "acc": "accent"}
    guess = near(bare, names) if bare else None
    meant = names[guess] if guess else "PM"
    dashes = word.text[len(bare) :]
    spare = len(meant) - len(bare)
    tail = row.text[word.column + len(bare) :]
    if spare > 0 and tail[:spare].strip("- ") == "":
        tail = tail[spare:]
    elif spare < 0:
        tail = ("-" if _MARKS[meant] in SPANNING else " ") * -spare + tail
    fixes = []
    if guess:
        fixes = [Fix(row.line.number, row.text[: word.column] + meant + tail)]
    problems.add(
        row.line.number,
        word.column + 1,
        "mark",
        f"'{bare or word.text}' is no mark",
        _example(meant, dashes) if guess else "PM, ring, rake, accent (or >), stac (or .)",
        fixes,
    )


def _example(word: str, dashes: str) -> str:
    """A mark as it is written: over letters and dashes if it covers several counts."""
    return f"{word}-----" if _MARKS[word] in SPANNING else word + dashes


def finger_signs(text: str) -> tuple[Finger | None, ...] | None:
    """Fingers of one word, thickest string first; '-' leaves one open; None if unreadable."""
    try:
        return tuple(None if sign == "-" else Finger(sign) for sign in text)
    except ValueError:
        return None


def stroke_signs(text: str) -> tuple[Stroke | None, ...] | None:
    """Strokes of one word, thickest string first; '-' leaves one open; None if unreadable."""
    try:
        return tuple(None if sign == "-" else Stroke(sign) for sign in text)
    except ValueError:
        return None
