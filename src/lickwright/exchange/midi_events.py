"""What is an event of a MIDI track, and how do events become a track?"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import mido

DRUMS = 9  # channel 10, counted from 0: never a string's
OFF, TEXT, BEND, ON = range(4)  # order of what falls on one tick


@dataclass(frozen=True, slots=True)
class TrackEvent:
    """A message at a tick from the file's beginning."""

    tick: int
    order: int
    message: mido.Message | mido.MetaMessage


def track_of(events: Iterable[TrackEvent], end: int) -> mido.MidiTrack:
    """Events in order of time, as differences; the track ends at tick `end` or its last event."""
    track = mido.MidiTrack()
    now = 0
    for event in sorted(events, key=lambda e: (e.tick, e.order)):
        track.append(event.message.copy(time=event.tick - now))
        now = event.tick
    track.append(mido.MetaMessage("end_of_track", time=max(0, end - now)))
    return track


def meta(tick: int, kind: str, **values: object) -> TrackEvent:
    """A meta event: a name, text, tempo or signature."""
    return TrackEvent(tick, TEXT, mido.MetaMessage(kind, **values))


def channel(string: int) -> int:
    """Channel, counted from 0, of a string (1 = thinnest): all but the drums'."""
    return string - 1 if string <= DRUMS else string


def free_channels(strings: int) -> list[int]:
    """The channels that so many strings leave for others: three at least, up to twelve strings."""
    taken = {channel(string) for string in range(1, strings + 1)} | {DRUMS}
    return [each for each in range(16) if each not in taken]
