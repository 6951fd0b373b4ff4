"""What is wrong in a lesson, where, and how is it mended?"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache


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


_LONG_WORD = re.compile(r"[^\s']{80,}")
LONGEST_GUESSED = 60  # letters of a word that is no known one
MOST_ON_A_LINE = 40  # more of one line are told when those are mended


class Problems:
    """Collects the problems of one file while it is read."""

    def __init__(self) -> None:
        self._found: list[Problem] = []
        self._on_line: Counter[int] = Counter()

    def add(
        self, line: int, column: int, code: str, what: str, mend: str, fixes: Iterable[Fix] = ()
    ) -> None:
        """Note a problem. `line` and `column` from 1."""
        self._on_line[line] += 1
        if self._on_line[line] > MOST_ON_A_LINE:
            return
        what = _LONG_WORD.sub(lambda match: match[0][:30] + "…", what)
        self._found.append(Problem(line, column, code, what, mend, tuple(fixes)))

    def take(self, found: Iterable[Problem]) -> None:
        """Note problems that others found."""
        for one in found:
            self.add(one.line, one.column, one.code, one.what, one.mend, one.fixes)

    def __len__(self) -> int:
        return len(self._found)

    def sorted(self) -> tuple[Problem, ...]:
        """All problems in order of place, each once."""
        unique = dict.fromkeys(self._found)
        return tuple(sorted(unique, key=lambda p: (p.line, p.column, p.code)))


def near(word: str, known: Iterable[str]) -> str | None:
    """The known word most like `word`, if any is like it at all (also apart from case)."""
    return _near(word, tuple(known))


@lru_cache(maxsize=1024)
def _near(word: str, words: tuple[str, ...]) -> str | None:
    folded = {w.lower(): w for w in words}
    if word.lower() in folded:
        return folded[word.lower()]
    if len(word) > LONGEST_GUESSED:
        return None
    found = get_close_matches(word.lower(), list(folded), n=1, cutoff=0.6)
    return folded[found[0]] if found else None
