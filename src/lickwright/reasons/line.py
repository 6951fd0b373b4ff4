"""Which tones make the line that one would sing?"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from fractions import Fraction
from itertools import groupby

from lickwright.reasons.tones import How, Tone


def melody(tones: Sequence[Tone]) -> tuple[Tone, ...]:
    """The highest tone of every moment; quick graces and the other note of a trill left out.

    No two tones of the line begin at the same beat.
    """
    sung = [tone for tone in tones if tone.how not in (How.GRACE, How.TRILLED)]
    moments = groupby(_last_of_moment(sung), key=_start)
    return tuple(max(group, key=lambda tone: tone.midi) for _, group in moments)


def _last_of_moment(tones: list[Tone]) -> list[Tone]:
    """Drop tones that move on at once: of an immediate bend only the goal is sung."""
    kept = []
    for place, tone in enumerate(tones):
        later = tones[place + 1] if place + 1 < len(tones) else None
        moves_on = (
            tone.lasts == 0
            and later is not None
            and later.start == tone.start
            and later.note.string == tone.note.string
        )
        if not moves_on:
            kept.append(tone)
    return kept


def _start(tone: Tone) -> Fraction:
    return tone.start


def next_in_line(line: Sequence[Tone], tone: Tone) -> Tone | None:
    """The tone of the line that is heard after `tone`, None if there is none."""
    place = bisect_right(line, tone.start, key=_start)
    return line[place] if place < len(line) else None


def before_in_line(line: Sequence[Tone], tone: Tone) -> Tone | None:
    """The tone of the line that is heard before `tone`, None if there is none."""
    place = bisect_left(line, tone.start, key=_start)
    return line[place - 1] if place else None


def between(line: Sequence[Tone], start: Fraction, end: Fraction) -> Sequence[Tone]:
    """The tones of the line that begin from beat `start` up to, not including, `end`."""
    return line[bisect_left(line, start, key=_start) : bisect_left(line, end, key=_start)]


def note_ids(tones: Sequence[Tone]) -> tuple[str, ...]:
    """Ids of the notes that give these tones, each once."""
    return tuple(dict.fromkeys(tone.note.id for tone in tones))
