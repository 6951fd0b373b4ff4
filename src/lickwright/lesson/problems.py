"""What is wrong in a lesson, where, and how is it mended?"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches


@dataclass(frozen=True, slots=True)
class Fix:
    """A whole corrected line. `line` counts from 1 in the file; `text` has no line ending."""

    line: int
    text: str


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing that is wrong. `line` and `column` count from 1 in the file.

    `fixes` holds the corrected lines if the mend is mechanical, else nothing.
    """

    line: int
    column: int
    code: str
    what: str
    mend: str
    fixes: tuple[Fix, ...] = ()


class Problems:
    """Collects the problems of one file while it is read."""

    def __init__(self) -> None:
        self._found: list[Problem] = []

    def add(
        self, line: int, column: int, code: str, what: str, mend: str, fixes: Iterable[Fix] = ()
    ) -> None:
        """Note a problem. `line` and `column` from 1."""
        self._found.append(Problem(line, column, code, what, mend, tuple(fixes)))

    def __len__(self) -> int:
        return len(self._found)

    def sorted(self) -> tuple[Problem, ...]:
        """All problems in order of place, each once."""
        unique = dict.fromkeys(self._found)
        return tuple(sorted(unique, key=lambda p: (p.line, p.column, p.code)))


def near(word: str, known: Iterable[str]) -> str | None:
    """The known word most like `word`, if any is like it at all (also apart from case)."""
    words = list(known)
    folded = {w.lower(): w for w in words}
    if word.lower() in folded:
        return folded[word.lower()]
    found = get_close_matches(word.lower(), list(folded), n=1, cutoff=0.6)
    return folded[found[0]] if found else None


def sentence_list(words: Iterable[str]) -> str:
    """Join words as one says them: `a, b, c`."""
    return ", ".join(words)
