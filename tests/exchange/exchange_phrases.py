"""Phrases for the tests of this folder: the worked examples and generated ones."""

from __future__ import annotations

import sys
from pathlib import Path

for _room in ("engrave", "lesson"):
    _folder = str(Path(__file__).parents[1] / _room)
    if _folder not in sys.path:
        sys.path.append(_folder)

import lessons  # noqa: E402
from phrase_builder import grace, n, phrase, quick  # noqa: E402
from phrase_strategies import phrases  # noqa: E402

from lickwright.phrase import Phrase  # noqa: E402


def read(inside: str) -> Phrase:
    """The phrase of a lick block."""
    found = lessons.lick(inside).phrase
    assert found is not None
    return found


WORKED = {name: read(inside) for name, inside in lessons.WORKED.items()}

__all__ = ["WORKED", "grace", "n", "phrase", "phrases", "quick", "read"]
