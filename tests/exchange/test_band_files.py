"""Do the files of the band play and say what the band plays? Read by mido, pretty_midi, music21.

Outside sources: General MIDI 1 (programs, channel 10, percussion keys); the W3C's MusicXML 4.0
schema; music21's reading of chord symbols.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from io import BytesIO

import pretty_midi
import pytest
from exchange_phrases import n, phrase
from lxml import etree
from midi_reading import read_midi
from music21 import converter, harmony
from musicxml_schema import schema

from lickwright.band import (
    PLAYERS,
    Backing,
    Drum,
    Form,
    Keyboard,
    Player,
    chords_backing,
    form_backing,
    phrase_backing,
    play,
)
from lickwright.exchange import band_midi, band_musicxml, to_midi
from lickwright.phrase import Bend, Feel, Meter
from lickwright.theory import parse_chord, parse_key

F = Fraction
A = parse_key("A")
# General MIDI 1 sound set, counted from 0.
PROGRAMS = {"Bass": 33, "Keyboard": 16, "Rhythm guitar": 27}


def twelve(**changes: object) -> Backing:
    return replace(form_backing(Form.TWELVE_BAR, A), feel=Feel(F(2, 3)), **changes)


def heard(backing: Backing, player: Player) -> list[tuple[float, int]]:
    lead = backing.count_in * backing.meter.beats * backing.clock.beat_seconds
    found = {
        (
            round(backing.clock.seconds(event.onset) + lead, 6),
            event.sound.value if isinstance(event.sound, Drum) else event.sound,
        )
        for event in play(backing)
        if event.player is player
    }
    return sorted(found)


@pytest.mark.parametrize("tempo", [F(84), F(237), F(61, 2)])
def test_every_player_is_heard_when_the_clock_says_over_many_choruses(tempo: Fraction) -> None:
    backing = twelve(tempo=tempo, choruses=10)
    data = band_midi(backing, title="Evening", key=A)
    parts = {part.name: part for part in pretty_midi.PrettyMIDI(BytesIO(data)).instruments}
    names = {"Bass": Player.BASS, "Keyboard": Player.KEYS, "Rhythm guitar": Player.GUITAR,
             "Drums": Player.DRUMS, "Count-in": Player.COUNT}  # fmt: skip
    assert set(parts) == set(names)
    for name, player in names.items():
        found = sorted((round(note.start, 6), note.pitch) for note in parts[name].notes)
        wanted = heard(backing, player)
        assert len(found) == len(wanted)
        for (begin, key), (due, wanted_key) in zip(found, wanted, strict=True):
            assert abs(begin - due) <= 0.001
            assert key == wanted_key or abs(begin - due) <= 0.001
        assert sorted(key for _, key in found) == sorted(key for _, key in wanted)


def test_programs_and_channels_are_those_of_general_midi() -> None:
    backing = twelve(choruses=1)
    _, tracks = read_midi(band_midi(backing, title="x", key=A))
    played = [track for track in tracks if track.notes]
    channels = [channel for track in played for channel in track.channels]
    for track in played:
        if track.name in PROGRAMS:
            assert track.programs == [PROGRAMS[track.name]]
            assert track.channels != {9}
        else:
            assert track.channels == {9}
    pitched = [channel for channel in channels if channel != 9]
    assert len(pitched) == len(set(pitched))
    piano = replace(backing, keyboard=Keyboard.ELECTRIC_PIANO)
    _, tracks = read_midi(band_midi(piano, title="x", key=A))
    assert next(t for t in tracks if t.name == "Keyboard").programs == [4]


@pytest.mark.parametrize("left_out", PLAYERS)
def test_who_is_left_out_has_no_track(left_out: Player) -> None:
    players = tuple(player for player in PLAYERS if player is not left_out)
    data = band_midi(twelve(choruses=1, players=players), title="x", key=A)
    assert len(pretty_midi.PrettyMIDI(BytesIO(data)).instruments) == 4


@pytest.mark.parametrize("meter", [Meter(4, 4), Meter(12, 8), Meter(7, 8)])
def test_a_phrase_stands_on_its_bars_over_the_band(meter: Meter) -> None:
    lead = phrase(
        [n(3, 7, meter.beats, meter.beats + 1, gestures=(Bend(F(2)),))],
        bars=2,
        meter=meter,
        key="A",
    )
    backing = phrase_backing(lead)
    data = to_midi(lead, backing=backing)
    file = pretty_midi.PrettyMIDI(BytesIO(data))
    strings = [part for part in file.instruments if part.name.startswith("String")]
    notes = [note for part in strings for note in part.notes]
    counted = backing.count_in * meter.beats * backing.clock.beat_seconds
    bar = meter.beats * backing.clock.beat_seconds
    assert len(notes) == 1
    assert notes[0].start == pytest.approx(counted + bar, abs=0.001)
    assert any(part.pitch_bends for part in strings)
    drums = next(part for part in file.instruments if part.name == "Drums")
    assert min(note.start for note in drums.notes) == pytest.approx(counted, abs=0.02)


def test_lead_and_band_never_share_a_channel_whatever_the_strings() -> None:
    from lickwright.exchange.midi_events import channel, free_channels  # noqa: PLC0415

    for strings in range(1, 13):
        own = {channel(string) for string in range(1, strings + 1)}
        free = free_channels(strings)
        assert len(free) >= 3
        assert not own & set(free)
        assert 9 not in free


KINDS = ["C", "Am", "D7", "Em7", "Fmaj7", "G9", "Bb6", "C#dim", "F#m7b5", "Ab13", "B7#9", "E7sus4"]


def test_the_chord_sheet_is_valid_and_music21_reads_the_same_chords() -> None:
    chords = [parse_chord(symbol) for symbol in KINDS]
    data = band_musicxml(chords_backing(chords), title="Chords", key=parse_key("C"))
    schema().assertValid(etree.fromstring(data))
    score = converter.parse(data.decode(), format="musicxml")
    found = list(score.recurse().getElementsByClass(harmony.ChordSymbol))
    assert len(found) == len(chords)
    for symbol, chord in zip(found, chords, strict=True):
        assert symbol.root().pitchClass == chord.root.chroma
        sounding = {pitch.pitchClass for pitch in symbol.pitches}
        if "13" in chord.symbol:  # music21 counts the eleventh in, which is left out in practice
            sounding -= {(chord.root.chroma + 5) % 12}
        assert sounding == set(chord.chromas), chord.symbol


def test_the_chord_sheet_has_one_chorus_with_its_meter_and_key() -> None:
    data = band_musicxml(twelve(choruses=5), title="Evening", key=A, author="The class")
    root = etree.fromstring(data)
    assert len(root.findall(".//measure")) == 12
    assert root.findtext(".//key/fifths") == "3"
    assert root.find(".//measure-style/slash") is not None
    assert b"The class" in data
