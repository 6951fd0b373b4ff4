"""How does one say in plain words which hand keeps which strings quiet?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lickwright.neck.quiet import Damper, Damping, Quiet, Risk
from lickwright.phrase import Tuning


def damping_words(found: Sequence[Damping], tuning: Tuning) -> str:
    """The damping of a phrase in a few sentences; empty if no string has to be kept quiet."""
    return " ".join(_sentences(found, tuning))


def _sentences(found: Sequence[Damping], tuning: Tuning) -> Iterator[str]:
    quiet = [each for one in found for each in one.quiet]
    sounding = {string for one in found for string in one.sounding}
    yield from _palm(quiet, sounding, tuning)
    flat = {q.string for q in quiet if q.damper is Damper.FLAT}
    if flat:
        yield f"The fingers lie flat enough to keep {_strings(flat, tuning)} quiet."
    tips = {q.string for q in quiet if q.damper is Damper.TIP and Risk.BENT not in q.risks}
    if tips:
        yield f"The fingertips touch the next thicker string: {_list(tips, tuning)}."
    bent = {q.string for q in quiet if Risk.BENT in q.risks}
    if bent:
        verb = "is" if len(bent) == 1 else "are"
        yield f"In the bend {_strings(bent, tuning)} {verb} pushed along by the fingertip."
    resting = {q.string for q in quiet if q.damper is Damper.RESTING}
    if resting:
        yield f"The fretting hand rests lightly on {_strings(resting, tuning)}."
    bare = {q.string for q in quiet if q.damper is Damper.NOTHING}
    if bare:
        past = "it" if len(bare) == 1 else "them"
        yield f"Nothing is free for {_strings(bare, tuning)}: strike past {past}."


def _palm(quiet: list[Quiet], sounding: set[int], tuning: Tuning) -> Iterator[str]:
    """What the picking hand keeps quiet: fixed strings, or ever those thicker than what sounds."""
    palm = {q.string for q in quiet if q.damper is Damper.PALM and Risk.RAKED not in q.risks}
    fixed = palm - sounding
    if palm & sounding:
        yield "The heel of the picking hand follows: it lies on every thicker string."
    elif fixed:
        yield f"The heel of the picking hand lies on {_strings(fixed, tuning)}."
    raked = {q.string for q in quiet if q.damper is Damper.PALM and Risk.RAKED in q.risks}
    if raked:
        yield f"Across the rake it keeps {_strings(raked, tuning)} quiet as well."


def _strings(numbers: set[int], tuning: Tuning) -> str:
    """The strings in words, thinnest first."""
    if len(numbers) == len(tuning):
        return "all strings"
    return f"the {_list(numbers, tuning)} string{'s' if len(numbers) > 1 else ''}"


def _list(numbers: set[int], tuning: Tuning) -> str:
    names = [tuning.label(number) for number in sorted(numbers)]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
