"""Which finger plays each note of a phrase?

The answer is the cheapest way of the hand through the phrase (see `lickwright.neck.lattice`); what
it costs is in points, of which one is about the trouble of moving the hand by a fret. Fingers that
the teacher wrote stay as they are.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from lickwright.neck.change import one_finger_slides
from lickwright.neck.effort import Player, trill_choice
from lickwright.neck.guitar import Guitar
from lickwright.neck.hand import FRETTING, Fault, FaultKind, HandSize
from lickwright.neck.hold import (
    IMPOSSIBLE,
    OPEN,
    THUMB,
    HandState,
    Part,
    fretted,
    shape_faults,
)
from lickwright.neck.lattice import Lattice
from lickwright.neck.stages import Stage, stages_of
from lickwright.phrase import Finger, Phrase

_KEPT = 4  # in memory: the grade, the picture and the words of a phrase ask one after the other
_FINGERS = {OPEN: Finger.OPEN, THUMB: Finger.THUMB, **dict(enumerate(FRETTING, start=1))}


@dataclass(frozen=True, slots=True)
class Rest:
    """Where the hand rests while notes are struck. `fret`: the first finger's; 0: anywhere."""

    note_ids: tuple[str, ...]
    beat: Fraction
    fret: int


@dataclass(frozen=True, slots=True)
class HandFault:
    """One thing that no hand can do, and the notes that ask for it."""

    note_ids: tuple[str, ...]
    fault: Fault


@dataclass(frozen=True, slots=True)
class Fingering:
    """The fingers of a phrase.

    `fingers`: by note id, of every fretted or open note; notes that the picking hand frets and
    muted strings only have the finger that the teacher wrote. `trills`: by note id, of the other
    note of a trill. `rests`: one a moment. `cost`: points in all; `parts`: by note id, what they
    are made of. `faults`: empty if a hand can play it.
    """

    phrase: Phrase
    fingers: Mapping[str, Finger]
    trills: Mapping[str, Finger]
    rests: tuple[Rest, ...]
    cost: float
    parts: Mapping[str, tuple[tuple[Part, float], ...]]
    faults: tuple[HandFault, ...]
    way: tuple[HandState, ...] = field(repr=False)
    lattice: Lattice = field(repr=False, compare=False)

    @property
    def playable(self) -> bool:
        """Whether a hand can do all of it."""
        return not self.faults


@lru_cache(maxsize=_KEPT)
def finger(phrase: Phrase, guitar: Guitar, size: HandSize = HandSize.AVERAGE) -> Fingering:
    """The best finger for every note of `phrase`, at its own tempo.

    A phrase that no hand can play gets the least bad fingers, and its faults.
    """
    stages = stages_of(phrase)
    lattice = Lattice(phrase, Player(guitar, guitar.neck, size), stages)
    way = lattice.best()
    parts = _parts(phrase, lattice, way)
    return Fingering(
        phrase,
        _fingers(phrase, way),
        dict(_trills(lattice, way)),
        tuple(_rest(phrase, *each) for each in zip(stages, way, strict=True)),
        sum(points for some in parts.values() for _, points in some),
        parts,
        tuple(_faults(lattice, way)),
        way,
        lattice,
    )


def with_fingers(fingering: Fingering) -> Phrase:
    """The phrase with every finger filled in; what the teacher wrote is unchanged."""
    notes = []
    for note in fingering.phrase.notes:
        gestures = tuple(
            replace(g, finger=g.finger or fingering.trills[note.id])
            if g is note.trill and note.id in fingering.trills
            else g
            for g in note.gestures
        )
        own = note.finger or fingering.fingers.get(note.id)
        notes.append(replace(note, finger=own, gestures=gestures))
    return replace(fingering.phrase, notes=tuple(notes))


def _fingers(phrase: Phrase, way: tuple[HandState, ...]) -> dict[str, Finger]:
    found = {note.id: note.finger for note in phrase.notes if note.finger is not None}
    for state in way:
        for hold in state.holds:
            note = phrase.notes[hold.note]
            if hold.finger in _FINGERS and (note.finger is None or note.finger is Finger.OPEN):
                found[note.id] = _FINGERS[hold.finger]
    return {note.id: found[note.id] for note in phrase.notes if note.id in found}


def _rest(phrase: Phrase, stage: Stage, state: HandState) -> Rest:
    notes = [phrase.notes[index] for index in stage.struck]
    return Rest(tuple(note.id for note in notes), notes[0].onset, state.position)


def _trills(lattice: Lattice, way: tuple[HandState, ...]) -> Iterator[tuple[str, Finger]]:
    for stage, state in zip(lattice.stages, way, strict=True):
        for hold in state.holds:
            note = lattice.notes[hold.note]
            if note.trill is not None and hold.note in stage.struck:
                chosen = trill_choice(hold, note.trill, state.holds, state.position, lattice.who)
                yield note.id, _FINGERS[chosen.finger]


def _parts(
    phrase: Phrase, lattice: Lattice, way: tuple[HandState, ...]
) -> dict[str, tuple[tuple[Part, float], ...]]:
    sums: dict[str, dict[Part, float]] = {}
    for moment, (before, state) in enumerate(pairwise((None, *way))):
        assert state is not None
        for index, part, points in lattice.moment_costs(moment, before, state):
            if points:
                mine = sums.setdefault(phrase.notes[index].id, {})
                mine[part] = mine.get(part, 0.0) + points
    return {note: tuple(mine.items()) for note, mine in sums.items()}


def _faults(lattice: Lattice, way: tuple[HandState, ...]) -> Iterator[HandFault]:
    notes, who = lattice.notes, lattice.who
    for moment, (before, state) in enumerate(pairwise((None, *way))):
        assert state is not None
        stage = lattice.stages[moment]
        for fault in shape_faults(state.holds, who.neck, who.size):
            ids = tuple(
                notes[hold.note].id
                for hold in fretted(state.holds)
                if _FINGERS[hold.finger] in fault.fingers
            )
            yield HandFault(ids, fault)
        if before is not None:
            yield from _join_faults(lattice, stage, before, state)
        yield from _trill_faults(lattice, stage, state)


def _join_faults(
    lattice: Lattice, stage: Stage, before: HandState, state: HandState
) -> Iterator[HandFault]:
    old = {hold.note: hold for hold in before.holds}
    for hold in state.holds:
        join = stage.joins.get(hold.note)
        origin = old.get(join.origin) if join is not None else None
        if join is None or origin is None:
            continue
        ids = (lattice.notes[origin.note].id, lattice.notes[hold.note].id)
        pair = fretted((origin, hold))
        if join.slid:
            if not one_finger_slides(origin, hold):
                fingers = tuple(_FINGERS[h.finger] for h in pair)
                yield HandFault(ids, Fault(FaultKind.SLID, fingers))
        elif len(pair) == 2:
            for fault in shape_faults(pair, lattice.who.neck, lattice.who.size):
                yield HandFault(ids, fault)


def _trill_faults(lattice: Lattice, stage: Stage, state: HandState) -> Iterator[HandFault]:
    for hold in state.holds:
        note = lattice.notes[hold.note]
        if note.trill is None or hold.note not in stage.struck:
            continue
        chosen = trill_choice(hold, note.trill, state.holds, state.position, lattice.who)
        if chosen.points >= IMPOSSIBLE:
            yield HandFault((note.id,), Fault(FaultKind.TRILL, (_FINGERS[chosen.finger],)))
