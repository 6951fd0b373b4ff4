"""How does this room say that it cannot read something, and what would help?"""

from __future__ import annotations

from difflib import get_close_matches
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable


class TheoryError(ValueError):
    """Something is no pitch, key, chord, scale or interval.

    The message says in plain words what was wanted and what was there instead. `mend` is what
    could stand there, or empty if nothing can be proposed.
    """

    def __init__(self, message: str, mend: str = "") -> None:
        super().__init__(message)
        self.mend = mend


def nearest(word: str, known: Iterable[str]) -> str:
    """Return the known word most like `word`, or an empty string if none is near."""
    matches = get_close_matches(word, list(known), n=1, cutoff=0.6)
    return matches[0] if matches else ""
