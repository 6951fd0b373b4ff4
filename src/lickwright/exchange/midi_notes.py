"""Which MIDI notes are a run on one string, and how loud is each?

A hammer-on, pull-off, tap or slide is no new MIDI note but a pitch bend of the note before, for the
string is not struck again and a new note would sound like a second stroke. Only where the pitch
would leave the bend range of 12 semitones around the struck fret does a new, softer note take over.
Every number of the run, also one that is only bent to, has a text event with its id.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from lickwright.exchange.midi_bends import BEND_RANGE
from lickwright.phrase import Mark, Note, NoteTime, Performance, PitchCurve, run_curve

# Note-on velocities. Our choice.
PLAIN_VELOCITY = 90
ACCENT_VELOCITY = 116
GHOST_VELOCITY = 56
DEAD_VELOCITY = 64
PALM_MUTE_VELOCITY = 78
JOINED_VELOCITY = 72  # a new note that is not struck
DEAD_SECONDS = 0.05  # a muted string is heard no longer


@dataclass(frozen=True, slots=True)
class MidiNote:
    """One MIDI note: `begin` and `end` in seconds of the performance; no curve if it is muted."""

    number: int
    velocity: int
    begin: float
    end: float
    curve: PitchCurve | None


def run_notes(performance: Performance, run: tuple[NoteTime, ...]) -> Iterator[MidiNote]:
    """The MIDI notes of one run."""
    curve = run_curve(performance, run)
    for part in _parts(performance, run, curve):
        number = _number(performance, part[0].note)
        begin, end = part[0].begin, part[-1].end
        if curve is None:
            end = min(end, begin + DEAD_SECONDS)
        yield MidiNote(number, velocity(performance, part[0].note), begin, end, curve)


def _parts(
    performance: Performance, run: tuple[NoteTime, ...], curve: PitchCurve | None
) -> list[list[NoteTime]]:
    """Cut a run where the string is struck again, or where its pitch is out of the bend's reach."""
    parts: list[list[NoteTime]] = []
    for time in run:
        if not parts or time.note.struck or not _reaches(performance, parts[-1][0], time, curve):
            parts.append([])
        parts[-1].append(time)
    return parts


def _reaches(
    performance: Performance, first: NoteTime, time: NoteTime, curve: PitchCurve | None
) -> bool:
    if curve is None:
        return True
    pitches = curve.at(np.linspace(time.start, time.end, 64))
    number = _number(performance, first.note)
    return bool(np.max(np.abs(pitches - number)) <= BEND_RANGE)


def _number(performance: Performance, note: Note) -> int:
    """MIDI number nearest to the fretted pitch; of a muted string, to its open one."""
    phrase = performance.phrase
    midi = phrase.midi(note)
    if midi is None:
        return phrase.tuning.midi(note.string, 0, phrase.capo)
    return min(max(round(midi), 0), 127)


def velocity(performance: Performance, note: Note) -> int:
    """Note-on velocity of a note, by how it is played."""
    muted = Mark.PALM_MUTE in note.marks or any(
        span.mark is Mark.PALM_MUTE and span.start <= note.onset < span.end
        for span in performance.phrase.spans
    )
    cases = (
        (note.ghost, GHOST_VELOCITY),
        (Mark.ACCENT in note.marks, ACCENT_VELOCITY),
        (note.dead, DEAD_VELOCITY),
        (muted, PALM_MUTE_VELOCITY),
        (not note.struck, JOINED_VELOCITY),
    )
    return next((value for applies, value in cases if applies), PLAIN_VELOCITY)
