"""Which tracks of a MIDI file does a guitar give: one track and one channel a string?"""

from __future__ import annotations

from collections.abc import Iterator

import mido

from lickwright.exchange.midi_bends import BEND_RANGE, bend_events
from lickwright.exchange.midi_events import BEND, OFF, ON, TEXT, TrackEvent, channel, meta
from lickwright.exchange.midi_notes import MidiNote, run_notes
from lickwright.exchange.midi_time import TickGrid
from lickwright.phrase import NoteTime, Performance

CLEAN_ELECTRIC_GUITAR = 27  # General MIDI program 28, counted from 0


def string_tracks(performance: Performance, grid: TickGrid) -> Iterator[list[TrackEvent]]:
    """The events of each string's track, thinnest string first."""
    for string in range(1, len(performance.phrase.tuning) + 1):
        yield list(_string_events(performance, grid, string))


def _string_events(performance: Performance, grid: TickGrid, string: int) -> Iterator[TrackEvent]:
    number = len(performance.phrase.tuning)
    pitch = performance.phrase.tuning.strings[string - 1]
    yield meta(0, "track_name", name=f"String {string} of {number} ({pitch})")
    yield from _set_up(channel(string))
    runs = [run for run in performance.runs if run[0].note.string == string]
    for run in runs:
        yield from _texts(run, grid)
    for note, begin, end in _one_at_a_time(performance, runs, grid):
        yield from _played(note, begin, end, grid, channel(string))


def _set_up(on: int) -> Iterator[TrackEvent]:
    """Program, bend range by RPN 0, and no parameter chosen after it (RPN 127 127)."""
    yield TrackEvent(
        0, TEXT, mido.Message("program_change", channel=on, program=CLEAN_ELECTRIC_GUITAR)
    )
    for control, value in ((101, 0), (100, 0), (6, BEND_RANGE), (38, 0), (101, 127), (100, 127)):
        yield TrackEvent(
            0, TEXT, mido.Message("control_change", channel=on, control=control, value=value)
        )
    yield TrackEvent(0, TEXT, mido.Message("pitchwheel", channel=on, pitch=0))


def _texts(run: tuple[NoteTime, ...], grid: TickGrid) -> Iterator[TrackEvent]:
    for time in run:
        yield meta(grid.tick(time.begin), "text", text=time.note.id)


def _one_at_a_time(
    performance: Performance, runs: list[tuple[NoteTime, ...]], grid: TickGrid
) -> Iterator[tuple[MidiNote, int, int]]:
    """MIDI notes of one string with the ticks at which they begin and end.

    A string sounds one note at a time: the next ends the one before. Of two that begin together,
    as quick notes may when they are crowded, the later is a tick late.
    """
    notes = [note for run in runs for note in run_notes(performance, run)]
    notes.sort(key=lambda note: note.begin)
    begins: list[int] = []
    for note in notes:
        begins.append(max(grid.tick(note.begin), begins[-1] + 1 if begins else 0))
    for index, (note, begin) in enumerate(zip(notes, begins, strict=True)):
        end = max(grid.tick(note.end), begin + 1)
        yield note, begin, min([end, *begins[index + 1 : index + 2]])


def _played(note: MidiNote, begin: int, end: int, grid: TickGrid, on: int) -> Iterator[TrackEvent]:
    bends = [(begin, 0)]
    if note.curve is not None:
        bends = list(bend_events(note.curve, note.number, begin, end, grid))
    for tick, value in bends:
        yield TrackEvent(tick, BEND, mido.Message("pitchwheel", channel=on, pitch=value))
    start = mido.Message("note_on", channel=on, note=note.number, velocity=note.velocity)
    yield TrackEvent(begin, ON, start)
    yield TrackEvent(end, OFF, mido.Message("note_off", channel=on, note=note.number))
