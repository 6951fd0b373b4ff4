"""A MIDI file as the tests look at it, read by mido 1.3.3."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from io import BytesIO

import mido


@dataclass
class Played:
    """One MIDI note in seconds of the file."""

    number: int
    velocity: int
    begin: float
    end: float = 0.0


@dataclass
class Track:
    """One track. Times are seconds from the file's beginning; bends are signed values."""

    name: str = ""
    channels: set[int] = field(default_factory=set)
    notes: list[Played] = field(default_factory=list)
    bends: list[tuple[float, int]] = field(default_factory=list)
    texts: dict[str, float] = field(default_factory=dict)
    markers: list[tuple[float, str]] = field(default_factory=list)
    controls: list[tuple[int, int]] = field(default_factory=list)
    programs: list[int] = field(default_factory=list)
    metas: list[mido.MetaMessage] = field(default_factory=list)

    def held(self, seconds: float) -> int:
        """The bend value that holds at a moment."""
        at = bisect_right(self.bends, seconds, key=lambda bend: bend[0])
        return self.bends[at - 1][1]


def read_midi(data: bytes) -> tuple[mido.MidiFile, list[Track]]:
    file = mido.MidiFile(file=BytesIO(data), charset="utf-8")
    tempos = _tempos(file)
    return file, [_track(track, file.ticks_per_beat, tempos) for track in file.tracks]


def _tempos(file: mido.MidiFile) -> list[tuple[int, int]]:
    now, found = 0, []
    for message in file.tracks[0]:
        now += message.time
        if message.type == "set_tempo":
            found.append((now, message.tempo))
    return found


def _seconds(tick: int, division: int, tempos: list[tuple[int, int]]) -> float:
    total = 0.0
    for index, (start, tempo) in enumerate(tempos):
        stop = tempos[index + 1][0] if index + 1 < len(tempos) else tick
        total += max(0, min(stop, tick) - start) * tempo / 1e6 / division
    return total


def _track(messages: mido.MidiTrack, division: int, tempos: list[tuple[int, int]]) -> Track:
    found, tick = Track(), 0
    sounding: dict[int, Played] = {}
    for message in messages:
        tick += message.time
        now = _seconds(tick, division, tempos)
        if message.is_meta:
            found.metas.append(message)
        else:
            found.channels.add(message.channel)
        match message.type:
            case "note_on":
                assert message.velocity
                assert message.note not in sounding
                sounding[message.note] = Played(message.note, message.velocity, now)
                found.notes.append(sounding[message.note])
            case "note_off":
                sounding.pop(message.note).end = now
            case "pitchwheel":
                found.bends.append((now, message.pitch))
            case "control_change":
                found.controls.append((message.control, message.value))
            case "program_change":
                found.programs.append(message.program)
            case "text":
                found.texts[message.text] = now
            case "marker":
                found.markers.append((now, message.text))
            case "track_name":
                found.name = message.name
    assert not sounding
    return found
