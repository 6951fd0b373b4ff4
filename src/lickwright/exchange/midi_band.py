"""Which tracks of a MIDI file does the band give?

General MIDI 1: each player has a program and a channel, the drums channel 10 with its percussion
keys. Swing is in the onsets, as the clock has it.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import mido

from lickwright.band import (
    PLAYERS,
    Backing,
    BandError,
    Drum,
    Event,
    Keyboard,
    Player,
    count_in,
    play_bar,
)
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
_PITCHED = (Player.BASS, Player.KEYS, Player.GUITAR)
_SIDE_STICK = 37  # General MIDI 1 has no key for sticks; its map begins at 35


def band_tracks(
    backing: Backing, grid: TickGrid, offset: Fraction, strings: int
) -> Iterator[list[TrackEvent]]:
    """The events of each player's track, the drums' first.

    `offset`: beat of the lead at which the band's first bar begins. `strings`: of the lead, whose
    channels are taken. A player has the same channel whoever else is left out. The count-in is in
    the drums' track, or alone in its own if there are no drums.

    Raises BandError if the strings leave too few channels.
    """
    free = free_channels(strings)
    if len(free) < len(_PITCHED):
        raise BandError(f"a band leaves channels for 12 strings, got {strings}")
    channels = dict(zip(_PITCHED, free, strict=False))
    for player, events in _parts(backing).items():
        on = channels.get(player, DRUMS)
        named = meta(0, "track_name", name=_NAMES[player])
        start = [_program(player, backing.keyboard, on)] if player in channels else []
        yield [named, *start, *_notes(events, grid, offset, on)]


def _parts(backing: Backing) -> dict[Player, list[Event]]:
    """What each player plays who plays at all."""
    parts: dict[Player, list[Event]] = {player: [] for player in (*PLAYERS, Player.COUNT)}
    drummer = Player.DRUMS if backing.plays(Player.DRUMS) else Player.COUNT
    parts[drummer] += count_in(backing)
    for number in range(backing.bar_count):
        for event in play_bar(backing, number):
            parts[event.player].append(event)
    return {player: events for player, events in parts.items() if events}


def _program(player: Player, keyboard: Keyboard, on: int) -> TrackEvent:
    keys = _ORGAN if keyboard is Keyboard.ORGAN else _PIANO
    number = {Player.BASS: _BASS, Player.KEYS: keys, Player.GUITAR: _GUITAR}[player]
    return TrackEvent(0, TEXT, mido.Message("program_change", channel=on, program=number))


def _notes(events: list[Event], grid: TickGrid, offset: Fraction, on: int) -> Iterator[TrackEvent]:
    """Notes; the same key struck again ends the one before, and two strokes at once are one."""
    following: dict[int, int] = {}
    for event in sorted(events, key=lambda each: (-each.onset, -each.strength)):
        key = _key(event.sound)
        begin, end = (grid.heard_tick(beat + offset) for beat in (event.onset, event.end))
        if following.get(key) == begin:
            continue
        end = max(begin + 1, min(end, following.get(key, end)))
        following[key] = begin
        velocity = max(1, min(127, round(event.strength * 127)))
        note = {"channel": on, "note": key}
        yield TrackEvent(begin, ON, mido.Message("note_on", velocity=velocity, **note))
        yield TrackEvent(end, OFF, mido.Message("note_off", **note))


def _key(sound: int | Drum) -> int:
    if isinstance(sound, Drum):
        return _SIDE_STICK if sound is Drum.STICKS else sound.value
    return sound
