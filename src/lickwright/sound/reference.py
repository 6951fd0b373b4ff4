"""What does a pupil's ear or tuning fork compare with: a bend's target, the open strings?"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from lickwright.phrase import (
    STANDARD,
    Bar,
    Bend,
    Clock,
    Count,
    Meter,
    Note,
    Phrase,
    Tuning,
    perform,
)
from lickwright.sound.guitar import CLEAN, RATE, Guitar
from lickwright.sound.mix import guitar_sound
from lickwright.sound.track import Begins, Start, Track, finished
from lickwright.theory import parse_key

_LEAD = 0.05  # seconds before the first note
_TAIL = 1.0
_TARGET_BEATS = 3  # the plain note, at a beat a second
_BEND_BEATS = 5
_STRING_BEATS = 4
_HIGHEST = 36  # fret


def bend_reference(phrase: Phrase, note_id: str, times: int = 2, guitar: Guitar = CLEAN) -> Track:
    """The plain note that a bend aims for, then the bend, `times` times.

    A target that lies between two frets, or beyond the neck, is played bent before it is struck.
    Raises ValueError if there is no such note or it is not bent.
    """
    note = next((each for each in phrase.notes if each.id == note_id), None)
    if note is None or note.bend is None:
        raise ValueError(f"{note_id} is no note of {phrase.name} that is bent")
    round_beats = _TARGET_BEATS + _BEND_BEATS
    notes, starts = [], []
    for index in range(times):
        first = Fraction(index * round_beats)
        notes += [_target(note, note.bend, first), _bent(note, first + _TARGET_BEATS)]
        for begins, beat in ((Begins.TARGET, first), (Begins.BEND, first + _TARGET_BEATS)):
            starts.append(Start(_LEAD + float(beat), begins, index + 1, Fraction(0)))
    return _sounded(notes, phrase.tuning, phrase.capo, times * round_beats, guitar, starts)


def open_strings(
    tuning: Tuning = STANDARD, capo: int = 0, times: int = 2, guitar: Guitar = CLEAN
) -> Track:
    """Every open string from the thickest to the thinnest, each `times` times, to tune by."""
    strings = range(len(tuning), 0, -1)
    zero, length = Fraction(0), Fraction(_STRING_BEATS)
    notes = [
        Note(f"open/{string}/{index}", string, 0, zero + beat, beat + length)
        for place, string in enumerate(strings)
        for index in range(times)
        for beat in [length * (place * times + index)]
    ]
    starts = [
        Start(_LEAD + float(note.onset), Begins.STRING, note.string, Fraction(0)) for note in notes
    ]
    beats = _STRING_BEATS * times * len(tuning)
    return _sounded(notes, tuning, capo, beats, guitar, starts)


def _target(note: Note, bend: Bend, onset: Fraction) -> Note:
    end = onset + _TARGET_BEATS - Fraction(1, 2)
    plain = Note(f"{note.id}/target{onset}", note.string, note.fret, onset, end)
    fret = note.fret + bend.to
    if fret.denominator == 1 and fret <= _HIGHEST:
        return replace(plain, fret=int(fret))
    return replace(plain, gestures=(Bend(bend.to, struck_bent=True),))


def _bent(note: Note, onset: Fraction) -> Note:
    """The bend as it is played, held long; a quick one first lets its own fret be heard."""
    bend = note.bend
    assert bend is not None
    moved = replace(
        bend, start=_moved(bend.start, note, onset), arrive=_moved(bend.arrive, note, onset)
    )
    if bend.start is None and bend.arrive is None and not bend.struck_bent:
        moved = replace(bend, start=onset + 1)
    end = onset + _BEND_BEATS - Fraction(1, 2)
    return Note(f"{note.id}/bend{onset}", note.string, note.fret, onset, end, gestures=(moved,))


def _moved(beat: Fraction | None, note: Note, onset: Fraction) -> Fraction | None:
    return None if beat is None else min(beat - note.onset, Fraction(_BEND_BEATS - 2)) + onset


def _sounded(
    notes: list[Note],
    tuning: Tuning,
    capo: int,
    beats: int,
    guitar: Guitar,
    starts: list[Start],
) -> Track:
    """Notes at a beat a second."""
    length = Fraction(beats)
    bar = Bar(1, Fraction(0), length, (Count(Fraction(0)),))
    phrase = Phrase(
        "reference", parse_key("C"), (bar,), tuple(notes), meter=Meter(beats, 4),
        tuning=tuning, capo=capo,
    )  # fmt: skip
    performance = perform(phrase, Clock(Fraction(60)))
    count = round((_LEAD + beats + _TAIL) * RATE)
    return finished(guitar_sound(performance, guitar, _LEAD, count), starts)
