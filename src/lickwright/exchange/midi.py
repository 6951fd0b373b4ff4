"""How does an instrument or sequencer read a phrase: as one Standard MIDI File?

Format 1: a conductor track, then one track and one channel a string, thinnest first. Tempo, time
and key signatures follow the Standard MIDI File format, the rest General MIDI.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from io import BytesIO

import mido

from lickwright.band import Backing, pickup_beats
from lickwright.exchange.band_sheet import silent_phrase
from lickwright.exchange.midi_band import band_tracks
from lickwright.exchange.midi_bends import BEND_RANGE, bend_events
from lickwright.exchange.midi_events import (
    BEND,
    DRUMS,
    OFF,
    ON,
    TEXT,
    TrackEvent,
    channel,
    meta,
    track_of,
)
from lickwright.exchange.midi_notes import MidiNote, run_notes
from lickwright.exchange.midi_time import TickGrid, tempo_changes, tick_grid
from lickwright.phrase import Clock, NoteTime, Performance, Phrase, perform
from lickwright.sound.click import count_in_beats, is_accented
from lickwright.theory import Key, Mode

CLEAN_ELECTRIC_GUITAR = 27  # General MIDI program 28, counted from 0
_HIGH_BLOCK, _LOW_BLOCK = 76, 77  # General MIDI percussion: high and low wood block
_CLICK_VELOCITIES = {True: 110, False: 80}  # our choice


def to_midi(
    phrase: Phrase,
    clock: Clock | None = None,
    *,
    title: str = "",
    count_in: bool = False,
    backing: Backing | None = None,
) -> bytes:
    """A phrase as it is performed by `clock` (its own by default), as a Standard MIDI File.

    The file begins on a bar line: on the first bar's, or as many whole bars earlier as the count-in
    and what leads into the first count need, so nothing is lost; `midi_lead` says how far that is.
    The bend range is 12 semitones (RPN 0) on every string's channel. Same phrase, same bytes.

    With a `backing` the band plays too, by its own tempo and feel unless there is a clock: its
    first bar is the phrase's first full one, and its own count-in takes the place of the clicks.
    Its players have the channels that the strings leave; the drums always channel 10.
    """
    if backing is not None and clock is None:
        clock = Clock(backing.tempo, backing.feel, phrase.start)
    performance = perform(phrase, clock)
    grid = _grid(performance, backing, count_in)
    end = grid.beat_tick(_end(phrase, backing))
    conducted = _conductor(performance, grid, title or phrase.title, _end(phrase, backing))
    tracks = [track_of(conducted, end)]
    for string in range(1, len(phrase.tuning) + 1):
        tracks.append(track_of(_string_events(performance, grid, string), end))
    tracks += _accompanied(phrase, backing, grid, end)
    if count_in and backing is None:
        tracks.append(track_of(_clicks(phrase, grid), end))
    return _saved(tracks, grid)


def band_midi(backing: Backing, *, title: str, key: Key) -> bytes:
    """The band alone, from its count-in to its end, as a Standard MIDI File.

    Chords stand as markers where they change.
    """
    silent = silent_phrase(backing, title, key, backing.choruses)
    performance = perform(silent, Clock(backing.tempo, backing.feel))
    grid = _grid(performance, backing, count_in=False)
    end = grid.beat_tick(silent.end)
    tracks = [track_of(_conductor(performance, grid, title, silent.end), end)]
    return _saved(tracks + _accompanied(silent, backing, grid, end), grid)


def _saved(tracks: list[mido.MidiTrack], grid: TickGrid) -> bytes:
    file = mido.MidiFile(type=1, ticks_per_beat=grid.division, charset="utf-8")
    file.tracks.extend(tracks)
    stream = BytesIO()
    file.save(file=stream)
    return stream.getvalue()


def _grid(performance: Performance, backing: Backing | None, count_in: bool) -> TickGrid:
    if backing is None:
        return tick_grid(performance, count_in=count_in)
    counted = backing.count_in * backing.meter.beats
    first = Fraction(pickup_beats(performance.phrase) - counted)
    return tick_grid(performance, count_in=False, first=first)


def _end(phrase: Phrase, backing: Backing | None) -> Fraction:
    """Beat at which the last of phrase and band is over."""
    if backing is None:
        return phrase.end
    return max(phrase.end, Fraction(pickup_beats(phrase) + backing.beats))


def _accompanied(
    phrase: Phrase, backing: Backing | None, grid: TickGrid, end: int
) -> list[mido.MidiTrack]:
    if backing is None:
        return []
    offset, strings = Fraction(pickup_beats(phrase)), len(phrase.tuning)
    return [track_of(events, end) for events in band_tracks(backing, grid, offset, strings)]


def midi_lead(phrase: Phrase, clock: Clock | None = None, *, count_in: bool = False) -> float:
    """Seconds from the beginning of the file of `to_midi` to the phrase's first count."""
    performance = perform(phrase, clock)
    grid = tick_grid(performance, count_in=count_in)
    return grid.origin_seconds + performance.clock.seconds(phrase.start)


def _conductor(
    performance: Performance, grid: TickGrid, title: str, end: Fraction
) -> Iterator[TrackEvent]:
    phrase = performance.phrase
    meter = phrase.meter
    yield meta(0, "track_name", name=title or phrase.name)
    for tick, tempo in tempo_changes(grid, end):
        yield meta(tick, "set_tempo", tempo=tempo)
    yield meta(
        0,
        "time_signature",
        numerator=meter.upper,
        denominator=meter.lower,
        clocks_per_click=round(24 * meter.beat_in_quarters),
        notated_32nd_notes_per_beat=8,
    )
    minor = "m" if phrase.key.mode is Mode.MINOR else ""
    yield meta(0, "key_signature", key=f"{phrase.key.tonic}{minor}")
    yield meta(grid.beat_tick(phrase.start), "marker", text=phrase.name)
    for at in phrase.chords:
        yield meta(grid.beat_tick(max(at.beat, phrase.start)), "marker", text=str(at.chord))


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


def _clicks(phrase: Phrase, grid: TickGrid) -> Iterator[TrackEvent]:
    yield meta(0, "track_name", name="Count-in")
    for beat in count_in_beats(phrase):
        accented = is_accented(beat, phrase)
        block = _HIGH_BLOCK if accented else _LOW_BLOCK
        start = grid.beat_tick(beat)
        strength = _CLICK_VELOCITIES[accented]
        yield TrackEvent(
            start, ON, mido.Message("note_on", channel=DRUMS, note=block, velocity=strength)
        )
        yield TrackEvent(
            start + grid.division // 8,
            OFF,
            mido.Message("note_off", channel=DRUMS, note=block),
        )
