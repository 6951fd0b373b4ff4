"""How does an instrument or sequencer read a phrase: as one Standard MIDI File?

Format 1: a conductor track, then one track and one channel a string, thinnest first. Tempo, time
and key signatures follow the Standard MIDI File format, the rest General MIDI.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from io import BytesIO

import mido

from lickwright.exchange.midi_bends import BEND_RANGE, bend_events
from lickwright.exchange.midi_notes import MidiNote, run_notes
from lickwright.exchange.midi_time import TickGrid, tempo_changes, tick_grid
from lickwright.phrase import Clock, NoteTime, Performance, Phrase, perform
from lickwright.sound.click import count_in_beats, is_accented
from lickwright.theory import Mode

CLEAN_ELECTRIC_GUITAR = 27  # General MIDI program 28, counted from 0
DRUMS = 9  # channel 10, counted from 0: never a string's
_HIGH_BLOCK, _LOW_BLOCK = 76, 77  # General MIDI percussion: high and low wood block
_CLICK_VELOCITIES = {True: 110, False: 80}  # our choice
_OFF, _TEXT, _BEND, _ON = range(4)  # order of what falls on one tick


@dataclass(frozen=True, slots=True)
class _Event:
    tick: int
    order: int
    message: mido.Message | mido.MetaMessage


def to_midi(
    phrase: Phrase, clock: Clock | None = None, *, title: str = "", count_in: bool = False
) -> bytes:
    """A phrase as it is performed by `clock` (its own by default), as a Standard MIDI File.

    The file begins on a bar line: on the first bar's, or as many whole bars earlier as the count-in
    and what leads into the first count need, so nothing is lost; `midi_lead` says how far that is.
    The bend range is 12 semitones (RPN 0) on every string's channel. Same phrase, same bytes.
    """
    performance = perform(phrase, clock)
    grid = tick_grid(performance, count_in=count_in)
    file = mido.MidiFile(type=1, ticks_per_beat=grid.division, charset="utf-8")
    end = grid.beat_tick(phrase.end)
    file.tracks.append(_track(_conductor(performance, grid, title or phrase.title), end))
    for string in range(1, len(phrase.tuning) + 1):
        file.tracks.append(_track(_string_events(performance, grid, string), end))
    if count_in:
        file.tracks.append(_track(_clicks(phrase, grid), end))
    stream = BytesIO()
    file.save(file=stream)
    return stream.getvalue()


def midi_lead(phrase: Phrase, clock: Clock | None = None, *, count_in: bool = False) -> float:
    """Seconds from the beginning of the file of `to_midi` to the phrase's first count."""
    performance = perform(phrase, clock)
    grid = tick_grid(performance, count_in=count_in)
    return grid.origin_seconds + performance.clock.seconds(phrase.start)


def channel(string: int) -> int:
    """Channel, counted from 0, of a string (1 = thinnest): all but the drums'."""
    return string - 1 if string <= DRUMS else string


def _track(events: Iterable[_Event], end: int) -> mido.MidiTrack:
    """Events in order of time, as differences; the track ends at tick `end` or its last event."""
    track = mido.MidiTrack()
    now = 0
    for event in sorted(events, key=lambda e: (e.tick, e.order)):
        track.append(event.message.copy(time=event.tick - now))
        now = event.tick
    track.append(mido.MetaMessage("end_of_track", time=max(0, end - now)))
    return track


def _meta(tick: int, kind: str, **values: object) -> _Event:
    return _Event(tick, _TEXT, mido.MetaMessage(kind, **values))


def _conductor(performance: Performance, grid: TickGrid, title: str) -> Iterator[_Event]:
    phrase = performance.phrase
    meter = phrase.meter
    yield _meta(0, "track_name", name=title or phrase.name)
    for tick, tempo in tempo_changes(grid, phrase.end):
        yield _meta(tick, "set_tempo", tempo=tempo)
    yield _meta(
        0,
        "time_signature",
        numerator=meter.upper,
        denominator=meter.lower,
        clocks_per_click=round(24 * meter.beat_in_quarters),
        notated_32nd_notes_per_beat=8,
    )
    minor = "m" if phrase.key.mode is Mode.MINOR else ""
    yield _meta(0, "key_signature", key=f"{phrase.key.tonic}{minor}")
    yield _meta(grid.beat_tick(phrase.start), "marker", text=phrase.name)
    for at in phrase.chords:
        yield _meta(grid.beat_tick(max(at.beat, phrase.start)), "marker", text=str(at.chord))


def _string_events(performance: Performance, grid: TickGrid, string: int) -> Iterator[_Event]:
    number = len(performance.phrase.tuning)
    pitch = performance.phrase.tuning.strings[string - 1]
    yield _meta(0, "track_name", name=f"String {string} of {number} ({pitch})")
    yield from _set_up(channel(string))
    runs = [run for run in performance.runs if run[0].note.string == string]
    for run in runs:
        yield from _texts(run, grid)
    for note, begin, end in _one_at_a_time(performance, runs, grid):
        yield from _played(note, begin, end, grid, channel(string))


def _set_up(on: int) -> Iterator[_Event]:
    """Program, bend range by RPN 0, and no parameter chosen after it (RPN 127 127)."""
    yield _Event(
        0, _TEXT, mido.Message("program_change", channel=on, program=CLEAN_ELECTRIC_GUITAR)
    )
    for control, value in ((101, 0), (100, 0), (6, BEND_RANGE), (38, 0), (101, 127), (100, 127)):
        yield _Event(
            0, _TEXT, mido.Message("control_change", channel=on, control=control, value=value)
        )
    yield _Event(0, _TEXT, mido.Message("pitchwheel", channel=on, pitch=0))


def _texts(run: tuple[NoteTime, ...], grid: TickGrid) -> Iterator[_Event]:
    for time in run:
        yield _meta(grid.tick(time.begin), "text", text=time.note.id)


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


def _played(note: MidiNote, begin: int, end: int, grid: TickGrid, on: int) -> Iterator[_Event]:
    bends = [(begin, 0)]
    if note.curve is not None:
        bends = list(bend_events(note.curve, note.number, begin, end, grid))
    for tick, value in bends:
        yield _Event(tick, _BEND, mido.Message("pitchwheel", channel=on, pitch=value))
    start = mido.Message("note_on", channel=on, note=note.number, velocity=note.velocity)
    yield _Event(begin, _ON, start)
    yield _Event(end, _OFF, mido.Message("note_off", channel=on, note=note.number))


def _clicks(phrase: Phrase, grid: TickGrid) -> Iterator[_Event]:
    yield _meta(0, "track_name", name="Count-in")
    for beat in count_in_beats(phrase):
        accented = is_accented(beat, phrase)
        block = _HIGH_BLOCK if accented else _LOW_BLOCK
        start = grid.beat_tick(beat)
        strength = _CLICK_VELOCITIES[accented]
        yield _Event(
            start, _ON, mido.Message("note_on", channel=DRUMS, note=block, velocity=strength)
        )
        yield _Event(
            start + grid.division // 8,
            _OFF,
            mido.Message("note_off", channel=DRUMS, note=block),
        )
