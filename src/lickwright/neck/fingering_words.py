"""Why does this finger play this note, and what would another one cost?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from lickwright.neck.fingering import Fingering
from lickwright.neck.hand import FRETTING, NUMBER
from lickwright.neck.hold import IMPOSSIBLE, OPEN, THUMB, HandState, Hold, Part, presses
from lickwright.phrase import Finger, Note

_ORDINAL = {1: "1st", 2: "2nd", 3: "3rd", 4: "4th"}
_FEWEST = 0.05  # points that are worth a word
_BECAUSE = {
    Part.PLACE: "it would not stand on its own fret",
    Part.STRETCH: "the fingers would be further apart",
    Part.WEAK: "the 4th finger is weaker",
    Part.BARRE: "one finger would have to lie over several strings",
    Part.SEVERAL: "more fingers would have to come down at once",
    Part.ORDER: "a lower finger would be on the thinner string",
    Part.BEND: "it has less strength for the bend",
    Part.VIBRATO: "its vibrato is less steady",
    Part.TRILL: "the trill would be harder",
    Part.SHIFT: "the hand would move more",
    Part.SLIDE: "the slide would be less sure",
    Part.SAME_FINGER: "a finger would have to hop from note to note",
    Part.LEGATO: "the hammer-on or pull-off would be harder",
    Part.LET_GO: "a note would be cut short",
    Part.IMPOSSIBLE: "no hand can hold that",
}
_NEVER = {
    Part.SLIDE: "the slide would have to change fingers",
    Part.LEGATO: "the two notes of the hammer-on or pull-off need two fingers, in order",
    Part.TRILL: "no finger would be left for the trill",
}


@dataclass(frozen=True, slots=True)
class Choice:
    """Another finger for a note. `extra`: points that the whole phrase then costs more.

    `parts`: what they are made of, largest first. `moved`: frets by which the hand would rest
    higher (or, below 0, lower) at that note.
    """

    finger: Finger
    extra: float
    parts: tuple[tuple[Part, float], ...]
    moved: int


def other_fingers(fingering: Fingering, note_id: str) -> tuple[Choice, ...]:
    """Every other finger that could take a note, the cheapest first.

    Empty for a note that no finger holds or whose finger the teacher wrote. KeyError if there is no
    such note.
    """
    index = _index(fingering, note_id)
    moment = _moment(fingering, index)
    if moment is None:
        return ()
    own = fingering.way[moment]
    chosen = _hold(own, index)
    if chosen is None or chosen.finger < 1:
        return ()
    best: dict[int, tuple[float, HandState]] = {}
    for points, state in fingering.lattice.states(moment):
        hold = _hold(state, index)
        if hold is not None and (hold.finger not in best or points < best[hold.finger][0]):
            best[hold.finger] = (points, state)
    found = [
        _choice(fingering, moment, state, index)
        for number, (_, state) in best.items()
        if number != chosen.finger
    ]
    return tuple(sorted(found, key=lambda choice: (choice.extra, choice.finger.value)))


def why_finger(fingering: Fingering, note_id: str) -> str:
    """Why a note has its finger and what the next best would cost, in plain words."""
    index = _index(fingering, note_id)
    note = fingering.phrase.notes[index]
    moment = _moment(fingering, index)
    hold = None if moment is None else _hold(fingering.way[moment], index)
    if moment is None or hold is None:
        return "muted: the hand only lies on the string"
    if hold.finger == OPEN:
        return "open string: no finger"
    if hold.finger < OPEN:
        return "tapped: the picking hand frets it"
    name = "thumb" if hold.finger == THUMB else f"finger {hold.finger}"
    if note.finger is not None and note.finger is not Finger.OPEN:
        return f"{name}: the teacher wrote it"
    reasons = list(_reasons(fingering, moment, hold, note))
    return f"{name}: {' and '.join(reasons[:2])}; {_next_best(fingering, note_id)}"


def _next_best(fingering: Fingering, note_id: str) -> str:
    others = other_fingers(fingering, note_id)
    if not others:
        return "no other finger can take it"
    choice = others[0]
    name = f"the {_ORDINAL[NUMBER[choice.finger]]} finger"
    why = " and ".join(list(_because(choice))[:2])
    if choice.extra >= IMPOSSIBLE:
        return f"no other finger can take it: with {name} {why}"
    if choice.extra < _FEWEST:
        return f"{name} would do as well"
    return f"{name} would cost {choice.extra:.1f} more because {why}"


def _because(choice: Choice) -> Iterator[str]:
    fewest = IMPOSSIBLE if choice.extra >= IMPOSSIBLE else _FEWEST
    for part, points in choice.parts:
        if points < fewest:
            continue
        if points >= IMPOSSIBLE:
            yield _NEVER.get(part, _BECAUSE[part])
        elif part is Part.SHIFT and choice.moved:
            way = "up" if choice.moved > 0 else "down"
            frets = "a fret" if abs(choice.moved) == 1 else f"{abs(choice.moved)} frets"
            yield f"the hand would move {way} {frets}"
        else:
            yield _BECAUSE[part]


def _reasons(fingering: Fingering, moment: int, hold: Hold, note: Note) -> Iterator[str]:
    state = fingering.way[moment]
    if note.bend is not None:
        behind = "with the others behind it" if hold.finger > 2 else "where it is at hand"
        yield f"it bends {behind}" if hold.finger > 1 else "a bend right under it"
    join = fingering.lattice.stages[moment].joins.get(hold.note)
    if join is not None and join.slid:
        yield "the slide stays on one finger"
    for press in presses(state.holds):
        if press.barre and press.finger is FRETTING[hold.finger - 1] and hold.finger > 0:
            yield f"it lies flat over {press.strings[-1] - press.strings[0] + 1} strings"
    yield _stance(hold, state.position)


def _stance(hold: Hold, position: int) -> str:
    away = hold.fret - (position + max(hold.finger, 1) - 1)
    if away == 0:
        return "it stands on its own fret"
    frets = "a fret" if abs(away) == 1 else f"{abs(away)} frets"
    if away > 0:
        return f"it reaches up {frets}"
    return f"it reaches down {frets}" if hold.finger == 1 else f"it is drawn in by {frets}"


def _choice(fingering: Fingering, moment: int, state: HandState, index: int) -> Choice:
    way = fingering.lattice.way_through(moment, state)
    parts = _difference(fingering, way)
    hold = _hold(state, index)
    assert hold is not None
    moved = state.position - fingering.way[moment].position
    extra = max(0.0, sum(points for _, points in parts))
    return Choice(FRETTING[hold.finger - 1], extra, parts, moved)


def _difference(fingering: Fingering, way: tuple[HandState, ...]) -> tuple[tuple[Part, float], ...]:
    """Points by which another way costs more than the fingering's own, by part."""
    sums: dict[Part, float] = {}
    steps = zip(pairwise((None, *fingering.way)), pairwise((None, *way)), strict=True)
    for moment, (mine, other) in enumerate(steps):
        if mine == other:
            continue
        for sign, (before, state) in ((-1, mine), (1, other)):
            assert state is not None
            for _, part, points in fingering.lattice.moment_costs(moment, before, state):
                sums[part] = sums.get(part, 0.0) + sign * points
    return tuple(sorted(sums.items(), key=lambda each: -each[1]))


def _index(fingering: Fingering, note_id: str) -> int:
    for index, note in enumerate(fingering.phrase.notes):
        if note.id == note_id:
            return index
    raise KeyError(f"no note {note_id}")


def _moment(fingering: Fingering, index: int) -> int | None:
    """The moment at which a note is struck; a muted string has none."""
    stages = fingering.lattice.stages
    return next((at for at, stage in enumerate(stages) if index in stage.struck), None)


def _hold(state: HandState, index: int) -> Hold | None:
    return next((hold for hold in state.holds if hold.note == index), None)
