"""Which tones make the line that one would sing?"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from lickwright.reasons.tones import How, Tone


def melody(tones: Sequence[Tone]) -> tuple[Tone, ...]:
    """The highest tone of every moment; quick graces and the other note of a trill left out."""
    sung = [tone for tone in tones if tone.how not in (How.GRACE, How.TRILLED)]
    moments = groupby(_last_of_moment(sung), key=lambda tone: tone.start)
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


def next_in_line(line: Sequence[Tone], tone: Tone) -> Tone | None:
    """The tone of the line that is heard after `tone`, None if there is none."""
    return next((later for later in line if later.start > tone.start), None)


def before_in_line(line: Sequence[Tone], tone: Tone) -> Tone | None:
    """The tone of the line that is heard before `tone`, None if there is none."""
    earlier = [each for each in line if each.start < tone.start]
    return earlier[-1] if earlier else None


def note_ids(tones: Sequence[Tone]) -> tuple[str, ...]:
    """Ids of the notes that give these tones, each once."""
    return tuple(dict.fromkeys(tone.note.id for tone in tones))
