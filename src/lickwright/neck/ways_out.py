"""Which ways out of a trouble are worth trying, the nearest first?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import chain

from lickwright.neck.bend_trouble import bend_limit, widest
from lickwright.neck.bending import widest_bend
from lickwright.neck.effort import bend_force
from lickwright.neck.fingering import Fingering
from lickwright.neck.guitar import Guitar
from lickwright.neck.hand import FRETTING, NUMBER
from lickwright.neck.mending import half_step_down, note_of, other_places, run_of
from lickwright.neck.strings import EXTRA_LIGHT, LIGHT, MEDIUM
from lickwright.neck.trouble import Mend, Trouble, TroubleKind, on_string, steps
from lickwright.phrase import Finger, Note

_SETS = {"extra light": EXTRA_LIGHT, "light": LIGHT, "medium": MEDIUM}
_SLOWEST = Fraction(20)  # beats a minute
_SLOWER = Fraction(97, 100)
_TEMPOS = 5
_BEST_BENDERS = (Finger.THIRD, Finger.SECOND)


def ways_out(fingering: Fingering, trouble: Trouble) -> Iterator[Mend]:
    """Changes that may end a trouble, untried."""
    notes = [note_of(fingering.phrase, note_id) for note_id in trouble.note_ids]
    match trouble.kind:
        case TroubleKind.STRETCH | TroubleKind.FINGERS:
            return chain(_freed(notes), _places(fingering, notes))
        case TroubleKind.SAME_STRING | TroubleKind.BEND_BLOCKED | TroubleKind.BEND_OPEN:
            return _places(fingering, notes)
        case TroubleKind.JUMP:
            return chain(_freed(notes), _places(fingering, notes), _tempos(fingering, trouble))
        case TroubleKind.BEND_HARD:
            return _softer(fingering, notes[0])
        case TroubleKind.BEND_ROOM:
            return chain(_places(fingering, notes), _narrower(fingering, notes[0], roomy=True))
        case TroubleKind.TRILL:
            return chain(_trilling(notes), _freed(notes), _places(fingering, notes))
        case TroubleKind.BARRE_BEND:
            return chain(_for_the_bend(notes[0]), _places(fingering, notes[1:]))


def _freed(notes: list[Note]) -> Iterator[Mend]:
    """Another finger for one note whose finger the teacher wrote."""
    for note in notes:
        if note.finger is not None and note.fret > 0:
            for other in FRETTING:
                if other is not note.finger:
                    yield _finger(note, other)


def _trilling(notes: list[Note]) -> Iterator[Mend]:
    """Another finger to trill with, where the teacher wrote one."""
    for note in notes:
        if note.trill is not None and note.trill.finger is not None:
            for other in FRETTING:
                if other not in (note.trill.finger, note.finger):
                    yield Mend(f"trill with finger {NUMBER[other]}", note.id, trill=other)


def _finger(note: Note, other: Finger) -> Mend:
    words = f"take finger {NUMBER[other]} for the note at fret {note.fret}"
    return Mend(words, note.id, finger=other)


def _places(fingering: Fingering, notes: list[Note]) -> Iterator[Mend]:
    phrase, guitar = fingering.phrase, fingering.lattice.who.guitar
    for note in sorted(notes, key=lambda note: -note.fret):
        for place in other_places(phrase, guitar, note):
            run = run_of(phrase, note)
            joined = " and what is joined to it" if len(run) > 1 else ""
            where = f"{on_string(phrase.tuning, place.string)}, fret {place.fret}"
            words = f"move the note at fret {note.fret}{joined} to {where}: the same pitch"
            yield Mend(words, note.id, place=place)


def _tempos(fingering: Fingering, trouble: Trouble) -> Iterator[Mend]:
    needed = trouble.measures[0]
    assert needed.limit is not None
    share = Fraction(needed.limit / needed.value).limit_denominator(1000)
    tempo = Fraction(int(fingering.phrase.tempo * share))
    for _ in range(_TEMPOS):
        if tempo < _SLOWEST:
            return
        yield Mend(f"play it at {tempo} beats a minute: then there is time to move", tempo=tempo)
        tempo = Fraction(int(tempo * _SLOWER))


def _softer(fingering: Fingering, note: Note) -> Iterator[Mend]:
    yield from (_finger(note, f) for f in _BEST_BENDERS if note.finger not in (None, f))
    yield from _places(fingering, [note])
    yield from _lighter(fingering, note)
    yield from _narrower(fingering, note, roomy=False)


def _lighter(fingering: Fingering, note: Note) -> Iterator[Mend]:
    guitar, width = fingering.lattice.who.guitar, float(widest(note))
    own = guitar.string(note.string)
    for name, strings in reversed(_SETS.items()):
        if len(strings) != len(guitar.strings):
            continue
        if strings.strings[note.string - 1].density < own.density:
            lighter = replace(guitar, strings=strings)
            words = f"use {name} strings ({strings}): {_takes(lighter, note, width)}"
            yield Mend(words, strings=strings)
    lower = half_step_down(guitar.tuning)
    words = _takes(replace(guitar, tuning=lower), note, width)
    yield Mend(f"tune every string a half step down: {words}", tuning=lower)


def _takes(guitar: Guitar, note: Note, width: float) -> str:
    return f"the bend then takes {bend_force(guitar, note.string, note.fret, width):.0f} newtons"


def _narrower(fingering: Fingering, note: Note, *, roomy: bool) -> Iterator[Mend]:
    """A narrower bend within the finger's strength, or at least within the room."""
    own = fingering.fingers.get(note.id, Finger.THIRD)
    limit = float("inf") if roomy else bend_limit(NUMBER.get(own, 3), frozenset())
    half_steps = widest_bend(fingering.lattice.who.guitar, note.string, note.fret, limit)
    width = Fraction(int(half_steps * 2), 2)
    if 0 < width < widest(note):
        yield Mend(f"bend only {steps(width)}", note.id, semitones=width)


def _for_the_bend(note: Note) -> Iterator[Mend]:
    """A finger of its own for the bent note of a barre."""
    for other in (Finger.THIRD, Finger.SECOND, Finger.FOURTH):
        if other is not note.finger:
            yield _finger(note, other)
