"""How is a phrase written as a lick block of its own, whatever lesson it is pasted into?"""

from __future__ import annotations

from fractions import Fraction

from lickwright.lesson.tidy import music_lines
from lickwright.phrase import Phrase


def phrase_block(phrase: Phrase) -> list[str]:
    """The lines of a whole lick block, fences and all settings included.

    Reading them gives an equal phrase, whatever the settings of the file around them. A phrase
    without chords says so with `N.C.` only if it is pasted under a file's `chords`: that is left
    to the teacher.
    """
    settings = [
        f"title: {phrase.title}" if phrase.title else "",
        f"key: {phrase.key}",
        f"tempo: {_number(phrase.tempo)}",
        f"meter: {phrase.meter}",
        f"feel: {phrase.feel}",
        f"tuning: {phrase.tuning}",
        f"capo: {phrase.capo}",
    ]
    rows = music_lines(phrase, chord_row=bool(phrase.chords))
    return [f"```lick {phrase.name}", *(line for line in settings if line), "", *rows, "```"]


def _number(value: Fraction) -> str:
    """A tempo as a teacher writes it: 84, 92.5, 200/3."""
    if value.denominator == 1:
        return str(value.numerator)
    short = f"{float(value):g}"
    return short if Fraction(short) == value else str(value)
