"""Fingers by trying everything: every finger, every position, every way through a short phrase."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import product

from tests.neck.made import line, n, phrase

from lickwright.neck.fingering import Fingering
from lickwright.neck.hold import OPEN, TAPPED, HandState, Hold, sound_shape
from lickwright.neck.stages import Stage
from lickwright.phrase import Bend, Entry, Finger, Note, Phrase, Trill, Vibrato

HIGHEST = 24
NUMBERS = {Finger.THUMB: 0, Finger.FIRST: 1, Finger.SECOND: 2, Finger.THIRD: 3, Finger.FOURTH: 4}


def cheapest(fingering: Fingering) -> float:
    """The least cost among all ways through the phrase, found by walking every one of them."""
    lattice = fingering.lattice
    last = len(lattice.stages) - 1
    known: dict[tuple[int, HandState | None], list[tuple[float, HandState]]] = {}

    def follow(moment: int, before: HandState | None) -> list[tuple[float, HandState]]:
        if (moment, before) not in known:
            known[moment, before] = [
                (sum(c.points for c in lattice.moment_costs(moment, before, state)), state)
                for state in successors(fingering, lattice.stages[moment], before)
            ]
        return known[moment, before]

    def walk(moment: int, before: HandState | None) -> float:
        steps = follow(moment, before)
        if moment == last:
            return min(points for points, _ in steps)
        return min(points + walk(moment + 1, state) for points, state in steps)

    return walk(0, None)


def successors(fingering: Fingering, stage: Stage, before: HandState | None) -> Iterator[HandState]:
    """Every state that may follow, written down once more from the rules in words."""
    who, notes = fingering.lattice.who, fingering.phrase.notes
    tapped = _tapped(notes)
    old = before.holds if before is not None else ()
    going = tuple(h for h in old if h.note in stage.going)
    kept = [h for h in old if h.note in stage.kept and h.note not in stage.going]
    found = []
    for fingers in product(*(_open_to(notes[i], tapped) for i in stage.struck)):
        new = tuple(
            Hold(i, notes[i].string, notes[i].fret, f)
            for i, f in zip(stage.struck, fingers, strict=True)
        )
        if not _tidy(new):
            continue
        now = (*going, *new)
        if not sound_shape(now, who.neck, who.size):
            continue
        rest = [h for h in kept if sound_shape((h, *now), who.neck, who.size)]
        while not sound_shape((*rest, *now), who.neck, who.size):
            rest.pop(0)
        found.append((*rest, *now))
    assert found, "these phrases are playable"
    for holds in found:
        for position in _positions(notes, stage, holds, before):
            yield HandState(position, holds)


def _tapped(notes: tuple[Note, ...]) -> set[str]:
    """Ids of what the picking hand frets: tapped notes and where it slides on to."""
    found: set[str] = set()
    last: dict[int, Note] = {}
    for note in notes:
        slid = note.link is not None and note.link.slide and last[note.string].id in found
        if note.entry is Entry.TAPPED or slid:
            found.add(note.id)
        last[note.string] = note
    return found


def _open_to(note: Note, tapped: set[str]) -> tuple[int, ...]:
    """Fingers that may take a note."""
    if note.id in tapped or note.fret == 0:
        return (TAPPED if note.id in tapped else OPEN,)
    return (NUMBERS[note.finger],) if note.finger in NUMBERS else (1, 2, 3, 4)


def _tidy(new: tuple[Hold, ...]) -> bool:
    """One finger only takes neighbours in one fret, counting the notes struck in that fret."""
    frets = {hold.fret for hold in new}
    for fret in frets:
        row = sorted((h for h in new if h.fret == fret and h.finger >= 0), key=lambda h: h.string)
        seen: list[int] = []
        for hold in row:
            if hold.finger in seen[:-1] and seen[-1] != hold.finger:
                return False
            seen.append(hold.finger)
    return True


def _positions(
    notes: tuple[Note, ...], stage: Stage, holds: tuple[Hold, ...], before: HandState | None
) -> list[int]:
    """Where each finger is at most one fret from its own, for some of those held."""
    homes = [h.fret - (h.finger - 1 if h.finger else 0) for h in holds if h.finger >= 0]
    trills = [trill.fret for i in stage.struck if (trill := notes[i].trill) is not None]
    if not homes and trills:
        return [p for p in range(1, HIGHEST + 1) if min(trills) - 3 <= p <= max(trills)]
    if not homes:
        return [before.position if before is not None else 0]
    low, high = max(1, min(homes) - 1), max(1, max(homes) + 1)
    return [p for p in range(1, HIGHEST + 1) if low <= p <= high]


def random_line(dice: random.Random, count: int) -> Phrase:
    """A line of single notes near one place, with joins, bends, trills, open strings, fingers."""
    home, each = dice.randint(1, 12), dice.choice(["1/4", "1/2", "1/3", "1"])
    made = line(
        *[(dice.randint(1, 6), _fret(dice, home)) for _ in range(count)],
        each=each,
        tempo=Fraction(dice.choice([60, 90, 140, 200])),
    )
    notes = list(made.notes)
    for index in range(1, count):
        if dice.random() < 0.3:
            notes[index] = _joined(dice, notes[index - 1], notes[index])
    return phrase([_played(dice, note) for note in notes], tempo=made.tempo)


def _fret(dice: random.Random, home: int) -> int:
    return 0 if dice.random() < 0.1 else max(1, home + dice.randint(-1, 5))


def _joined(dice: random.Random, before: Note, note: Note) -> Note:
    """Make a note follow the one before it on its string, if the frets allow it."""
    if note.fret == before.fret or dice.random() < 0.3:
        return note
    up = note.fret > before.fret
    slide = note.fret > 0 and dice.random() < 0.4
    kind = ("/" if up else "\\") if slide else ("h" if up else "p")
    if not slide and abs(note.fret - before.fret) > 3 and 0 not in (note.fret, before.fret):
        return note
    return n(before.string, note.fret, note.onset, note.end, link=kind)


def _played(dice: random.Random, note: Note) -> Note:
    moves: tuple[Bend | Vibrato | Trill, ...] = ()
    what = dice.random()
    if note.fret and what < 0.15:
        moves = (Bend(dice.choice([Fraction(1, 2), Fraction(1), Fraction(2)])),)
    elif note.fret and what < 0.25:
        moves = (Vibrato(wide=dice.random() < 0.5),)
    elif what < 0.32:
        moves = (Trill(note.fret + dice.randint(1, 2)),)
    elif note.link is None and what < 0.36 and note.fret:
        return replace(note, entry=Entry.TAPPED)
    return replace(note, gestures=moves)


def random_chords(dice: random.Random, count: int) -> Phrase:
    """Notes struck together and notes that ring on under others."""
    home = dice.randint(1, 10)
    made: list[Note] = []
    ringing: dict[int, Fraction] = {}
    for index in range(count):
        onset = Fraction(index)
        free = [s for s in range(1, 7) if ringing.get(s, Fraction(0)) <= onset]
        for string in dice.sample(free, min(len(free), dice.choice([1, 1, 2, 3]))):
            fret = 0 if dice.random() < 0.2 else home + dice.randint(0, 2)
            length = dice.choice([1, 1, 1, 2, 3])
            made.append(n(string, fret, onset, onset + length))
            ringing[string] = onset + length
    return phrase(made, tempo=Fraction(dice.choice([60, 120])))
