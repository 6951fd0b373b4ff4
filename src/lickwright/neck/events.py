"""What does the fretting hand have to do, moment by moment?

Notes struck together are one moment. What still sounds from before, or is going on to another
number of its run, is kept meanwhile. Muted strings ask for nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby, pairwise

from lickwright.phrase import Entry, LinkKind, Note, Phrase


@dataclass(frozen=True, slots=True)
class Moment:
    """Notes struck together, by their index among the phrase's notes.

    `kept` sound on from before; of these `going` are to be left for another number on their
    string later, and cannot be let go. `rest` says that nothing sounds just before it: the hand is
    free to move.
    """

    struck: tuple[int, ...]
    kept: tuple[int, ...]
    going: tuple[int, ...]
    rest: bool


@dataclass(frozen=True, slots=True)
class Moments:
    """All moments of a phrase. `before`: for a joined note the index of the one it comes from."""

    moments: tuple[Moment, ...]
    before: dict[int, int]


def tapped(note: Note) -> bool:
    """Whether the picking hand frets it."""
    return note.entry is Entry.TAPPED or (note.link is not None and note.link.kind is LinkKind.TAP)


def moments_of(phrase: Phrase) -> Moments:
    """Part a phrase into moments, in the order in which they are played."""
    notes = phrase.notes
    groups = [
        tuple(index for index, _ in group if not notes[index].dead)
        for _, group in groupby(enumerate(notes), key=lambda each: (each[1].onset, each[1].order))
    ]
    groups = [group for group in groups if group]
    number = {index: at for at, group in enumerate(groups) for index in group}
    before = _joined(phrase)
    after = {origin: index for index, origin in before.items()}
    made: list[Moment] = []
    alive: list[int] = []
    for at, group in enumerate(groups):
        onset = notes[group[0]].onset
        going = tuple(i for i in alive if i in after and number[after[i]] > at)
        taken = {notes[index].string for index in group}
        kept = tuple(
            i
            for i in alive
            if i in going or (notes[i].end > onset and notes[i].string not in taken)
        )
        rest = bool(made) and all(notes[i].end < onset for i in made[-1].struck + made[-1].kept)
        made.append(Moment(group, kept, going, rest and not kept))
        alive = [*kept, *group]
    return Moments(tuple(made), before)


def _joined(phrase: Phrase) -> dict[int, int]:
    """For each hammered, pulled or slid note, the index of the note before it in its run."""
    index = {note.id: at for at, note in enumerate(phrase.notes)}
    return {
        index[after.id]: index[before.id]
        for run in phrase.runs
        for before, after in pairwise(run)
        if not before.dead and not after.dead
    }
