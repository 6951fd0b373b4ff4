"""Which bends of a fingered phrase are too hard, have no room, or run into a sounding string?"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from lickwright.neck.bending import BendEffort, Direction, bend_effort
from lickwright.neck.effort import Player
from lickwright.neck.fingering import Fingering
from lickwright.neck.hand import NUMBER
from lickwright.neck.hold import HandState, Hold
from lickwright.neck.trouble import (
    BEND_NEWTONS,
    UNSUPPORTED_SHARE,
    Measure,
    Trouble,
    TroubleKind,
    on_string,
    steps,
)
from lickwright.phrase import Bend, Finger, Note

_CLEAR_MM = 1.0  # a finger stops so far from the edge of the fingerboard
_FINGERS = {number: finger for finger, number in NUMBER.items()}


def bend_troubles(fingering: Fingering) -> Iterator[Trouble]:
    """Every bend that asks too much."""
    for stage, state in zip(fingering.lattice.stages, fingering.way, strict=True):
        for hold in state.holds:
            note = fingering.phrase.notes[hold.note]
            width = widest(note)
            if hold.note in stage.struck and width > 0:
                yield from _of_one_bend(fingering, state, hold, note, width)


def widest(note: Note) -> Fraction:
    """The widest of a note's bends in semitones; 0 if it has none."""
    return max((g.to for g in note.gestures if isinstance(g, Bend)), default=Fraction(0))


def _of_one_bend(
    fingering: Fingering, state: HandState, hold: Hold, note: Note, width: Fraction
) -> Iterator[Trouble]:
    string = on_string(fingering.phrase.tuning, note.string)
    if note.fret == 0:
        words = f"{string} is open: no finger is there to bend it"
        told = Measure("bend", float(width), "semitones")
        yield Trouble(TroubleKind.BEND_OPEN, (note.id,), (told,), words)
        return
    twins = [
        h
        for h in state.holds
        if h.finger == hold.finger
        and h.note != hold.note
        and not fingering.phrase.notes[h.note].bend
    ]
    if twins and hold.finger >= 0:
        yield _barre_bend(fingering, note, twins, hold)
    who = fingering.lattice.who
    what = f"a bend of {steps(width)} at fret {note.fret} on {string}"
    try:
        effort = bend_effort(who.guitar, note.string, note.fret, float(width))
    except ValueError:
        told = Measure("bend", float(width), "semitones")
        words = f"{what}: no string goes so far"
        yield Trouble(TroubleKind.BEND_ROOM, (note.id,), (told,), words)
        return
    yield from _hard(note, hold, state, effort, what)
    yield from _room(note, state, hold, effort, who, what, fingering)


def bend_limit(finger: int, busy: frozenset[int]) -> float:
    """Newtons that a finger holds while the fingers `busy` hold other notes."""
    limit = BEND_NEWTONS.get(_FINGERS.get(finger, Finger.THIRD), BEND_NEWTONS[Finger.THIRD])
    return limit * (UNSUPPORTED_SHARE if finger - 1 in busy and finger > 1 else 1.0)


def _hard(
    note: Note, hold: Hold, state: HandState, effort: BendEffort, what: str
) -> Iterator[Trouble]:
    busy = frozenset(h.finger for h in state.holds if h.note != hold.note)
    limit = bend_limit(hold.finger, busy)
    if effort.force <= limit:
        return
    alone = hold.finger - 1 in busy and hold.finger > 1
    name = "the thumb" if hold.finger == 0 else f"finger {hold.finger}"
    behind = ", with the finger behind it busy," if alone else ""
    words = (
        f"{what} takes {effort.force:.0f} newtons over {effort.travel_mm:.0f} mm; "
        f"{name}{behind} holds about {limit:.0f}"
    )
    measures = (
        Measure("force", effort.force, "newtons", limit),
        Measure("travel", effort.travel_mm, "mm"),
    )
    yield Trouble(TroubleKind.BEND_HARD, (note.id,), measures, words)


def _room(
    note: Note, state: HandState, hold: Hold, effort: BendEffort, who: Player, what: str,
    fingering: Fingering,
) -> Iterator[Trouble]:  # fmt: skip
    usual = _in_the_way(state, hold, effort.travel_mm, effort.direction, who)
    if effort.fits and not usual:
        return
    turned = (
        Direction.TOWARD_TREBLE
        if effort.direction is Direction.TOWARD_BASS
        else Direction.TOWARD_BASS
    )
    room = _room_mm(hold, turned, who)
    if effort.travel_mm <= room and not _in_the_way(state, hold, effort.travel_mm, turned, who):
        return
    if not effort.fits:
        words = f"{what} goes {effort.travel_mm:.0f} mm sideways; there are {effort.room_mm:.0f} mm"
        travel = Measure("travel", effort.travel_mm, "mm", effort.room_mm)
        yield Trouble(TroubleKind.BEND_ROOM, (note.id,), (travel,), words)
        return
    other = fingering.phrase.notes[usual[0].note]
    why = "off the neck" if effort.travel_mm > room else "into another that sounds"
    words = (
        f"{what} would run into {on_string(fingering.phrase.tuning, other.string)}, which sounds; "
        f"the other way it goes {why}"
    )
    travel = Measure("travel", effort.travel_mm, "mm", max(room, 0.0))
    yield Trouble(TroubleKind.BEND_BLOCKED, (note.id, other.id), (travel,), words)


def _room_mm(hold: Hold, direction: Direction, who: Player) -> float:
    toward_bass = direction is Direction.TOWARD_BASS
    return who.neck.room(hold.string, hold.fret, toward_bass=toward_bass) - _CLEAR_MM


def _in_the_way(
    state: HandState, hold: Hold, travel: float, direction: Direction, who: Player
) -> list[Hold]:
    """Sounding strings that a bend would reach, the nearest first."""
    sign = 1 if direction is Direction.TOWARD_BASS else -1
    spacing = who.neck.spacing(hold.fret)
    found = [
        other
        for other in state.holds
        if other.note != hold.note and 0 < (other.string - hold.string) * sign * spacing <= travel
    ]
    return sorted(found, key=lambda other: abs(other.string - hold.string))


def _barre_bend(fingering: Fingering, note: Note, twins: list[Hold], hold: Hold) -> Trouble:
    ids = (note.id, *(fingering.phrase.notes[twin.note].id for twin in twins))
    words = (
        f"finger {hold.finger} lies over {len(ids)} strings and has to bend one of them: "
        "the others would be bent too"
    )
    return Trouble(TroubleKind.BARRE_BEND, ids, (Measure("barre", len(ids), "strings", 1),), words)
