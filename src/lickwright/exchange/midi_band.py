"""Which tracks of a MIDI file does the band give?

General MIDI 1: each player has a program and a channel, the drums channel 10 with its percussion
keys. Swing is in the onsets, as the clock has it.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import mido

from lickwright.band import Backing, Drum, Event, Keyboard, Player, count_in, play_bar
from lickwright.exchange.midi_events import DRUMS, OFF, ON, TEXT, TrackEvent, free_channels, meta
from lickwright.exchange.midi_time import TickGrid

# General MIDI 1 programs, counted from 0: fingered bass, drawbar organ, electric piano, clean
# electric guitar.
_BASS, _ORGAN, _PIANO, _GUITAR = 33, 16, 4, 27
_NAMES = {
    Player.DRUMS: "Drums",
    Player.BASS: "Bass",
    Player.KEYS: "Keyboard",
    Player.GUITAR: "Rhythm guitar",
    Player.COUNT: "Count-in",
}


def band_tracks(
    backing: Backing, grid: TickGrid, offset: Fraction, strings: int
) -> Iterator[list[TrackEvent]]:
    """The events of each player's track, the count-in's first.

    `offset`: beat of the lead at which the band's first bar begins. `strings`: of the lead, whose
    channels are taken.
    """
    parts: dict[Player, list[Event]] = {Player.COUNT: list(count_in(backing))}
    parts |= {player: [] for player in backing.players}
    for number in range(backing.bar_count):
        for event in play_bar(backing, number):
            parts[event.player].append(event)
    free = iter(free_channels(strings))
    for player, events in parts.items():
        drums = player in (Player.DRUMS, Player.COUNT)
        on = DRUMS if drums else next(free)
        if events:
            named = meta(0, "track_name", name=_NAMES[player])
            start = [] if drums else [_program(player, backing.keyboard, on)]
            yield [named, *start, *_notes(events, grid, offset, on)]


def _program(player: Player, keyboard: Keyboard, on: int) -> TrackEvent:
    keys = _ORGAN if keyboard is Keyboard.ORGAN else _PIANO
    number = {Player.BASS: _BASS, Player.KEYS: keys, Player.GUITAR: _GUITAR}[player]
    return TrackEvent(0, TEXT, mido.Message("program_change", channel=on, program=number))


def _notes(events: list[Event], grid: TickGrid, offset: Fraction, on: int) -> Iterator[TrackEvent]:
    """Notes; the same key struck again ends the one before."""
    following: dict[int, int] = {}
    for event in sorted(events, key=lambda each: -each.onset):
        key = event.sound.value if isinstance(event.sound, Drum) else event.sound
        begin = _tick(event.onset, grid, offset)
        end = max(begin + 1, min(_tick(event.end, grid, offset), following.get(key, 1 << 60)))
        if following.get(key) == begin:
            continue
        following[key] = begin
        velocity = max(1, min(127, round(event.strength * 127)))
        note = {"channel": on, "note": key}
        yield TrackEvent(begin, ON, mido.Message("note_on", velocity=velocity, **note))
        yield TrackEvent(end, OFF, mido.Message("note_off", **note))


def _tick(beat: Fraction, grid: TickGrid, offset: Fraction) -> int:
    return grid.tick(grid.clock.seconds(beat + offset))
