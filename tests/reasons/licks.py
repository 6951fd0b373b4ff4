"""Phrases for the tests of the reasons, read from tab as a teacher writes it."""

from __future__ import annotations

from lickwright.lesson import read_lesson
from lickwright.phrase import Phrase
from lickwright.reasons import Explanation


def lick(rows: str, *settings: str) -> Phrase:
    """One phrase; fails if its tab has a problem."""
    text = "```lick made-up\n" + "\n".join([*settings, "", rows.strip("\n")]) + "\n```\n"
    reading = read_lesson(text)
    assert reading.problems == (), reading.problems
    return reading.lesson.phrases[0]


def sentences(explanation: Explanation) -> dict[str, list[str]]:
    """The sentences of each kind."""
    found: dict[str, list[str]] = {}
    for reason in explanation.reasons:
        found.setdefault(reason.kind, []).append(reason.text)
    return found
