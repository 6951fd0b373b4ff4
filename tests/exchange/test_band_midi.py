"""Does the MIDI file of the band play what the band plays? Read by mido 1.3.3, pretty_midi 0.2.11.

Outside sources: General MIDI 1's programs and percussion keys, as pretty_midi holds them; the
Standard MIDI File format. Onsets are compared with the band's own clock.
"""

from __future__ import annotations

from fractions import Fraction
from io import BytesIO
from itertools import chain, combinations

import pretty_midi
import pytest
from band_reading import (
    GM_DRUMS,
    METERS,
    NAMES,
    ONSET_SECONDS,
    SHUFFLE,
    F,
    backings,
    check_band,
    check_channels,
    expected,
    first_one,
    keyed,
    of_chords,
    players,
    twelve,
    worst,
)
from hypothesis import given, settings
from midi_reading import read_midi

from lickwright.band import PLAYERS, Backing, Drum, Keyboard, Player, play
from lickwright.exchange import band_midi
from lickwright.phrase import Feel, Meter
from lickwright.theory import parse_key

# The last would be half a microsecond a quarter off if a tempo were written but once.
TEMPOS = [F(84), F(237), F(61, 2), F(60_000_000) / F(400_000.5)]


def check(backing: Backing) -> float:
    _, tracks = read_midi(band_midi(backing, title="x"))
    check_channels(tracks)
    return check_band(backing, tracks, first_one(backing))


@pytest.mark.parametrize("tempo", TEMPOS)
def test_onsets_over_24_choruses(tempo: Fraction) -> None:
    check(twelve(tempo=tempo, choruses=24))


def test_pretty_midi_hears_the_same_over_24_choruses() -> None:
    backing = twelve(tempo=F(113), choruses=24)
    wanted = expected(backing, first_one(backing))
    parts = pretty_midi.PrettyMIDI(BytesIO(band_midi(backing, title="x"))).instruments
    assert {NAMES[part.name] for part in parts} == set(wanted)
    for part in parts:
        found: dict[int, list[float]] = {}
        for note in sorted(part.notes, key=lambda each: each.start):
            found.setdefault(note.pitch, []).append(note.start)
        assert worst(found, keyed(wanted[NAMES[part.name]])) <= ONSET_SECONDS


@pytest.mark.parametrize("meter", METERS, ids=str)
@pytest.mark.parametrize("feel", [Feel(), SHUFFLE], ids=str)
def test_onsets_in_every_meter(meter: Meter, feel: Feel) -> None:
    check(twelve(meter, feel=feel, choruses=2, count_in=2))


@settings(max_examples=40, deadline=None)
@given(backings())
def test_onsets_and_channels_of_generated_bands(backing: Backing) -> None:
    check(backing)


def test_long_forms() -> None:
    check(of_chords("Am7 " * 255 + "E7#9", Meter(7, 8), choruses=2))
    check(of_chords("E7", Meter(12, 8), choruses=200, tempo=F(400)))


def test_shuffled_offbeats_are_late() -> None:
    # Two thirds of a beat of 1 s (by definition of the usual shuffle).
    backing = twelve(tempo=F(60), choruses=1, players=(Player.DRUMS,))
    _, tracks = read_midi(band_midi(backing, title="x"))
    parts = {round(note.begin % 1, 3) for note in tracks[1].notes}
    assert parts == {0.0, 0.667}


@pytest.mark.parametrize("out", PLAYERS)
def test_each_player_left_out(out: Player) -> None:
    backing = twelve(choruses=2, players=tuple(p for p in PLAYERS if p is not out))
    check(backing)
    _, tracks = read_midi(band_midi(backing, title="x"))
    assert out not in players(tracks)
    assert len(tracks) == (5 if out is Player.DRUMS else 4)


def test_a_player_has_one_channel_whoever_else_plays() -> None:
    seen: dict[str, set[int]] = {}
    for some in chain.from_iterable(combinations(PLAYERS, count) for count in range(5)):
        _, tracks = read_midi(band_midi(twelve(choruses=1, players=some), title="x"))
        assert len(tracks) == 1 + max(1, len(some) + (Player.DRUMS not in some))
        for track in tracks[1:]:
            seen.setdefault(track.name, track.channels)
            assert track.channels == seen[track.name]


def test_nobody_and_no_count_is_a_file_of_silence() -> None:
    backing = twelve(choruses=1, players=(), count_in=0)
    file, tracks = read_midi(band_midi(backing, title="x"))
    assert len(tracks) == 1
    assert file.length == pytest.approx(13 * 4 * 60 / 90, abs=0.001)


@pytest.mark.parametrize(
    ("keyboard", "name"),
    [(Keyboard.ORGAN, "Drawbar Organ"), (Keyboard.ELECTRIC_PIANO, "Electric Piano 1")],
)
def test_programs_are_those_of_general_midi(keyboard: Keyboard, name: str) -> None:
    data = band_midi(twelve(choruses=1, keyboard=keyboard), title="x")
    parts = pretty_midi.PrettyMIDI(BytesIO(data)).instruments
    said = {
        part.name: pretty_midi.program_to_instrument_name(part.program)
        for part in parts
        if not part.is_drum
    }
    assert said == {
        "Bass": "Electric Bass (finger)",
        "Keyboard": name,
        "Rhythm guitar": "Electric Guitar (clean)",
    }
    assert [part.name for part in parts if part.is_drum] == ["Drums"]


def test_drum_keys_are_those_of_general_midi() -> None:
    backing = twelve(choruses=9)
    struck = {event.sound for event in play(backing) if isinstance(event.sound, Drum)}
    assert struck >= set(Drum) - {Drum.RIDE_BELL}
    _, tracks = read_midi(band_midi(backing, title="x"))
    named = {
        pretty_midi.note_number_to_drum_name(note.number)
        for note in players(tracks)[Player.DRUMS].notes
    }
    assert named == {GM_DRUMS[drum] for drum in struck}


@pytest.mark.parametrize("bars", range(5))
def test_the_count_in_is_at_the_beginning(bars: int) -> None:
    backing = twelve(Meter(7, 8), tempo=F(140), choruses=1, players=(), count_in=bars)
    _, tracks = read_midi(band_midi(backing, title="x"))
    begins = [note.begin for track in tracks for note in track.notes]
    assert begins == pytest.approx([beat * 60 / 140 for beat in range(7 * bars)], abs=0.0005)
    loud = [note.velocity for track in tracks for note in track.notes]
    assert all((strength == max(loud)) == (i % 7 == 0) for i, strength in enumerate(loud))


@pytest.mark.parametrize("ending", [True, False])
def test_the_file_ends_with_the_last_bar(ending: bool) -> None:
    backing = twelve(Meter(12, 8), tempo=F(71), choruses=3, ending=ending, count_in=2)
    file, _ = read_midi(band_midi(backing, title="x"))
    bars = 2 + 36 + ending
    assert file.length == pytest.approx(bars * 4 * 60 / 71, abs=0.001)


def test_notes_last_as_long_as_they_are_held() -> None:
    backing = twelve(choruses=4)
    first, clock = first_one(backing), backing.clock
    _, tracks = read_midi(band_midi(backing, title="x"))
    events = [event for event in play(backing) if event.player is Player.BASS]
    notes = players(tracks)[Player.BASS].notes
    for event, note in zip(events, notes, strict=True):
        assert note.end == pytest.approx(first + clock.seconds(event.end), abs=0.001)
        assert note.velocity == pytest.approx(event.strength * 127, abs=0.5)


def test_chords_are_markers_where_they_are_heard() -> None:
    backing = of_chords("Bb7 Eb9", feel=SHUFFLE, tempo=F(60), choruses=2, count_in=1)
    change = backing.changes[1]
    moved = type(change)(F(7, 2), change.chord)
    backing = type(backing)((backing.changes[0], moved), 2, feel=SHUFFLE, tempo=F(60), choruses=2)
    _, tracks = read_midi(band_midi(backing, title="x"))
    found = [(round(seconds, 3), text) for seconds, text in tracks[0].markers]
    # Beats of 1 s after a bar of count-in; 4& in a shuffle is two thirds into its beat.
    assert found == [
        (4.0, "Bb7"), (7.667, "Eb9"), (12.0, "Bb7"), (15.667, "Eb9"), (20.0, "Bb7"),
    ]  # fmt: skip


def test_title_author_key_and_meter() -> None:
    backing = twelve(Meter(12, 8), choruses=1)
    data = band_midi(backing, title="B♭ evening", author="Tuesday class", key=parse_key("F# minor"))
    file, tracks = read_midi(data)
    assert file.type == 1
    assert tracks[0].name == "B♭ evening"
    assert tracks[0].texts == {"Tuesday class": 0.0}
    assert b"\xff\x58\x04\x0c\x03\x24\x08" in data  # 12, 8 = 2**3, 36 clocks a dotted quarter
    assert b"\xff\x59\x02\x03\x01" in data  # three sharps, minor
    assert b"\xff\x59" not in band_midi(backing, title="x")


def test_same_bytes() -> None:
    assert band_midi(twelve(), title="x") == band_midi(twelve(), title="x")
