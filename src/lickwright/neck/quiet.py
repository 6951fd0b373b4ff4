"""Which idle strings may ring, and which finger or hand keeps them quiet?

Common practice, no source, but for sympathy: a string answers a pitch that is one of its own first
partials (physics of the ideal string).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from lickwright.neck.bend_trouble import widest
from lickwright.neck.bending import Direction, bend_effort
from lickwright.neck.fingering import Fingering
from lickwright.neck.hand import FRETTING
from lickwright.neck.hold import THUMB, HandState, Hold, fretted
from lickwright.neck.stages import Stage
from lickwright.phrase import Finger, Mark, Note

# Semitones from an open string up to its first partials that lie on a fret's pitch: 1, 2, 3, 4.
_PARTIALS = (0, 12, 19, 24)


class Risk(Enum):
    """Why an idle string may ring."""

    ENDED = "it sounded just before"
    NEIGHBOUR = "the pick passes beside it"
    BETWEEN = "the stroke crosses it"
    BENT = "the bend pushes it"
    SYMPATHY = "it answers the same pitch"
    RAKED = "it is struck muted"


class Damper(Enum):
    """What keeps a string quiet."""

    TIP = "the fingertip touches it"
    FLAT = "the finger lies flat across it"  # the thumb: its tip touches it from above
    RESTING = "the fretting hand rests on it"
    PALM = "the heel of the picking hand lies on it"
    NOTHING = "nothing is free: strike past it"


@dataclass(frozen=True, slots=True)
class Quiet:
    """One idle string and what keeps it quiet. `finger`: of the fretting hand, if one does."""

    string: int
    risks: tuple[Risk, ...]
    damper: Damper
    finger: Finger | None = None


@dataclass(frozen=True, slots=True)
class Damping:
    """The idle strings that may ring while `note_ids` are struck, and those that sound.

    Thinnest first.
    """

    note_ids: tuple[str, ...]
    beat: Fraction
    quiet: tuple[Quiet, ...]
    sounding: tuple[int, ...] = ()


def damping(fingering: Fingering) -> tuple[Damping, ...]:
    """For every moment, and every muted stroke, the strings to be kept quiet."""
    found = [*_muted(fingering.phrase.notes), *_sounding(fingering)]
    return tuple(sorted(found, key=lambda each: each.beat))


def _muted(notes: tuple[Note, ...]) -> Iterator[Damping]:
    for note in notes:
        if note.dead:
            raked = Mark.RAKE in note.marks
            damper = Damper.PALM if raked else Damper.RESTING
            quiet = Quiet(note.string, (Risk.RAKED,), damper)
            yield Damping((note.id,), note.onset, (quiet,))


def _sounding(fingering: Fingering) -> Iterator[Damping]:
    notes, before = fingering.phrase.notes, HandState(0, ())
    for stage, state in zip(fingering.lattice.stages, fingering.way, strict=True):
        quiet = tuple(_quiet(fingering, stage, before, state))
        ids = tuple(notes[i].id for i in stage.struck)
        sounding = tuple(sorted({hold.string for hold in state.holds}))
        yield Damping(ids, notes[stage.struck[0]].onset, quiet, sounding)
        before = state


def _quiet(
    fingering: Fingering, stage: Stage, before: HandState, state: HandState
) -> Iterator[Quiet]:
    sounding = {hold.string for hold in state.holds}
    pushed = dict(_pushed(fingering, stage, state))
    for string in range(1, len(fingering.phrase.tuning) + 1):
        if string in sounding:
            continue
        risks = tuple(_risks(fingering, stage, before, state, string))
        if string in pushed:
            yield Quiet(string, (Risk.BENT, *risks), Damper.TIP, pushed[string])
        elif risks:
            yield Quiet(string, risks, *_damper(string, state.holds))


def _pushed(
    fingering: Fingering, stage: Stage, state: HandState
) -> Iterator[tuple[int, Finger | None]]:
    """Idle strings that a bend takes along, each with the finger that bends."""
    who = fingering.lattice.who
    for hold in state.holds:
        note = fingering.phrase.notes[hold.note]
        width = widest(note)
        if hold.note not in stage.struck or hold.finger < 0 or width == 0:
            continue
        try:
            effort = bend_effort(who.guitar, hold.string, hold.fret, float(width))
        except ValueError:
            continue
        sign = 1 if effort.direction is Direction.TOWARD_BASS else -1
        crossed = int(effort.travel_mm // who.neck.spacing(hold.fret))
        for step in range(1, crossed + 1):
            yield hold.string + sign * step, _name(hold)


def _risks(
    fingering: Fingering, stage: Stage, before: HandState, state: HandState, string: int
) -> Iterator[Risk]:
    notes = fingering.phrase.notes
    if any(hold.string == string for hold in before.holds):
        yield Risk.ENDED
    struck = [notes[i].string for i in stage.struck if notes[i].struck]
    if struck and min(struck) < string < max(struck):
        yield Risk.BETWEEN
    elif string - 1 in struck or string + 1 in struck:
        yield Risk.NEIGHBOUR
    if any(_answers(fingering, string, notes[i]) for i in stage.struck):
        yield Risk.SYMPATHY


def _answers(fingering: Fingering, string: int, note: Note) -> bool:
    """Whether an open string has a partial at the pitch of a note."""
    phrase = fingering.phrase
    midi = phrase.midi(note)
    return midi is not None and midi - phrase.tuning.midi(string, 0, phrase.capo) in _PARTIALS


def _damper(string: int, holds: tuple[Hold, ...]) -> tuple[Damper, Finger | None]:
    """What can keep an idle string quiet while `holds` sound."""
    sounding = [hold.string for hold in holds]
    held = {hold.string: hold for hold in fretted(holds)}
    if string - 1 in held and held[string - 1].finger != THUMB:
        return Damper.TIP, _name(held[string - 1])
    if string > max(sounding):
        return Damper.PALM, None
    if string + 1 in held:
        return Damper.FLAT, _name(held[string + 1])
    if string > min(sounding):
        return Damper.NOTHING, None
    return _thinner(held, min(sounding))


def _thinner(held: dict[int, Hold], thinnest: int) -> tuple[Damper, Finger | None]:
    """For a string thinner than all that sound, and not next to a finger: the first lies flat."""
    first = Finger.FIRST
    busy = any(hold.finger == 1 and hold.string != thinnest for hold in held.values())
    return (Damper.FLAT, first) if held and not busy else (Damper.RESTING, None)


def _name(hold: Hold) -> Finger | None:
    return FRETTING[hold.finger - 1] if hold.finger >= 1 else Finger.THUMB
