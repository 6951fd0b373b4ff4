"""Can this phrase be played, and if not, what is the nearest way out?

Every way out that is offered was tried: the phrase, or the stretch of it around the trouble, was
fingered again, and there the trouble was gone and no other had come.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from lickwright.neck.bend_trouble import bend_troubles
from lickwright.neck.fingering import Fingering, finger
from lickwright.neck.guitar import Guitar
from lickwright.neck.hand import HandSize
from lickwright.neck.hand_trouble import hand_troubles
from lickwright.neck.mending import mended
from lickwright.neck.trouble import Mend, Trouble
from lickwright.neck.ways_out import ways_out
from lickwright.phrase import Phrase

_AROUND = 4  # moments before and after a trouble that are fingered again
_MOST_MENDS = 3  # of different kinds
_MOST_TRIED = 16
_MOST_TROUBLES = 50


def playability(
    phrase: Phrase, guitar: Guitar, size: HandSize = HandSize.AVERAGE
) -> tuple[Trouble, ...]:
    """Everything in `phrase` that is too hard for the hand; empty if nothing is.

    Ways out are tried for the first 50 troubles: a phrase with more is not a phrase for the hand.
    """
    fingering = finger(phrase, guitar, size)
    found = troubles(fingering)
    tried = [
        replace(trouble, mends=tuple(_mends(fingering, trouble)))
        for trouble in found[:_MOST_TROUBLES]
    ]
    return (*tried, *found[_MOST_TROUBLES:])


def troubles(fingering: Fingering) -> tuple[Trouble, ...]:
    """What is too hard in a fingered phrase, in its order, without ways out."""
    order = {note.id: index for index, note in enumerate(fingering.phrase.notes)}
    found = [*hand_troubles(fingering), *bend_troubles(fingering)]
    return tuple(sorted(found, key=lambda trouble: min(order[i] for i in trouble.note_ids)))


def _mends(fingering: Fingering, trouble: Trouble) -> Iterator[Mend]:
    guitar, size = fingering.lattice.who.guitar, fingering.lattice.who.size
    piece = _around(fingering, trouble)
    now = finger(piece, guitar, size)
    before = len(troubles(now))
    found: set[str] = set()
    for tried, mend in enumerate(ways_out(now, trouble)):
        if len(found) == _MOST_MENDS or tried == _MOST_TRIED:
            return
        if mend.changes not in found:
            changed, strung = mended(piece, guitar, mend)
            if _solved(finger(changed, strung, size), trouble, before):
                found.add(mend.changes)
                yield mend


def _solved(after: Fingering, trouble: Trouble, before: int) -> bool:
    left = troubles(after)
    ids = set(trouble.note_ids)
    same = any(
        t.kind is trouble.kind and (ids <= set(t.note_ids) or set(t.note_ids) <= ids) for t in left
    )
    return not same and len(left) < before


def _around(fingering: Fingering, trouble: Trouble) -> Phrase:
    """The piece of the phrase around a trouble, runs whole."""
    phrase, stages = fingering.phrase, fingering.lattice.stages
    wanted = set(trouble.note_ids)
    at = [
        moment
        for moment, stage in enumerate(stages)
        if any(phrase.notes[i].id in wanted for i in stage.struck)
    ]
    if not at or len(stages) <= 2 * _AROUND + 1:
        return phrase
    near = stages[max(0, min(at) - _AROUND) : max(at) + _AROUND + 1]
    ids = wanted | {phrase.notes[i].id for stage in near for i in stage.struck}
    whole = {note.id for run in phrase.runs if any(n.id in ids for n in run) for note in run}
    return replace(phrase, notes=tuple(note for note in phrase.notes if note.id in whole))
