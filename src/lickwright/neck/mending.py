"""How does a phrase change when a way out is taken?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from lickwright.neck.guitar import Guitar
from lickwright.neck.pattern import Place
from lickwright.neck.trouble import Mend
from lickwright.phrase import Bend, Finger, Note, Phrase, Release, Trill, Tuning
from lickwright.phrase.note import Gesture
from lickwright.theory import parse_pitch

_NAMES = ("C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B")


def mended(phrase: Phrase, guitar: Guitar, mend: Mend) -> tuple[Phrase, Guitar]:
    """The phrase and guitar after `mend`. A note that moves to another string keeps its id.

    KeyError if the note is not in the phrase.
    """
    if mend.strings is not None:
        return phrase, replace(guitar, strings=mend.strings)
    if mend.tuning is not None:
        return replace(phrase, tuning=mend.tuning), replace(guitar, tuning=mend.tuning)
    if mend.tempo is not None:
        return replace(phrase, tempo=mend.tempo), guitar
    note = note_of(phrase, mend.note_id)
    if mend.place is not None:
        return moved(phrase, note, mend.place), guitar
    if mend.trill is not None:
        return _with(phrase, [_trilled_by(note, mend.trill)]), guitar
    if mend.semitones is not None:
        return _with(phrase, [_narrower(note, mend.semitones)]), guitar
    return _with(phrase, [replace(note, finger=mend.finger)]), guitar


def note_of(phrase: Phrase, note_id: str) -> Note:
    """A note by its id; KeyError if there is none."""
    for note in phrase.notes:
        if note.id == note_id:
            return note
    raise KeyError(f"no note {note_id}")


def run_of(phrase: Phrase, note: Note) -> tuple[Note, ...]:
    """A note and those joined to it on its string."""
    return next(run for run in phrase.runs if any(other.id == note.id for other in run))


def moved(phrase: Phrase, note: Note, place: Place) -> Phrase:
    """The phrase with a note, and those joined to it, on another string at the same pitches.

    Fingers that the teacher wrote for them no longer count.
    """
    up = place.fret - note.fret
    return _with(phrase, [_elsewhere(each, place.string, up) for each in run_of(phrase, note)])


def _elsewhere(note: Note, string: int, up: int) -> Note:
    gestures = tuple(
        replace(g, fret=g.fret + up, finger=None) if isinstance(g, Trill) else g
        for g in note.gestures
    )
    return replace(note, string=string, fret=note.fret + up, finger=None, gestures=gestures)


def _trilled_by(note: Note, finger: Finger) -> Note:
    gestures = tuple(
        replace(g, finger=finger) if isinstance(g, Trill) else g for g in note.gestures
    )
    return replace(note, gestures=gestures)


def other_places(phrase: Phrase, guitar: Guitar, note: Note) -> Iterator[Place]:
    """Where else a note and those joined to it sound the same, on a string that is free meanwhile.

    The places nearest in fret come first; harmonics, muted and tapped notes stay.
    """
    run = run_of(phrase, note)
    if any(each.harmonic or each.dead or each.entry is not None for each in run):
        return
    tuning = phrase.tuning
    sounding = tuning.midi(note.string, note.fret)
    places = [
        Place(string, sounding - tuning.midi(string, 0))
        for string in range(1, len(tuning) + 1)
        if string != note.string
    ]
    for place in sorted(places, key=lambda place: abs(place.fret - note.fret)):
        if _on_the_neck(run, place.fret - note.fret, guitar) and _free(phrase, run, place.string):
            yield place


def _on_the_neck(run: tuple[Note, ...], up: int, guitar: Guitar) -> bool:
    frets = [note.fret + up for note in run]
    frets += [note.trill.fret + up for note in run if note.trill is not None]
    bent = [note.fret + up for note in run if note.bend is not None]
    return min(frets) >= 0 and max(frets) <= guitar.neck.highest and min(bent, default=1) >= 1


def _free(phrase: Phrase, run: tuple[Note, ...], string: int) -> bool:
    start, end = run[0].onset, max(note.end for note in run)
    ids = {note.id for note in run}
    return not any(
        note.string == string and note.id not in ids and note.onset < end and note.end > start
        for note in phrase.notes
    )


def half_step_down(tuning: Tuning) -> Tuning:
    """Every string a half step lower, named with flats."""
    return Tuning(tuple(parse_pitch(_name(pitch.midi - 1)) for pitch in tuning.strings))


def _name(midi: int) -> str:
    return f"{_NAMES[midi % 12]}{midi // 12 - 1}"


def _narrower(note: Note, most: Fraction) -> Note:
    def less(gesture: Gesture) -> Gesture:
        if isinstance(gesture, Bend | Release):
            return replace(gesture, to=min(gesture.to, most))
        return gesture

    return replace(note, gestures=tuple(map(less, note.gestures)))


def _with(phrase: Phrase, changed: list[Note]) -> Phrase:
    by_id = {note.id: note for note in changed}
    return replace(phrase, notes=tuple(by_id.get(note.id, note) for note in phrase.notes))
