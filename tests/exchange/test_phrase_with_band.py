"""Does a phrase lie over the band as it should, each on channels of its own?

Read by mido 1.3.3 and pretty_midi 0.2.11. Outside sources: MIDI 1.0 (sixteen channels), General
MIDI 1 (drums on channel 10). The lead is compared with `to_midi`, whose own tests have theirs.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from io import BytesIO

import mido
import pretty_midi
import pytest
from band_reading import SHUFFLE, F, check_band, check_channels, first_one, players, twelve
from exchange_phrases import WORKED, n, phrase, phrases
from hypothesis import given, settings
from hypothesis import strategies as st
from midi_reading import Track, read_midi

from lickwright.band import (
    PLAYERS,
    Backing,
    BandError,
    Player,
    chords_backing,
    phrase_backing,
    pickup_beats,
)
from lickwright.exchange import band_midi, midi_lead, phrase_with_band_midi, to_midi
from lickwright.phrase import STANDARD, Bend, Clock, Feel, Meter, Phrase, Tuning, Vibrato, perform
from lickwright.theory import parse_chord, parse_pitch

METERS = [Meter(4, 4), Meter(12, 8), Meter(7, 8), Meter(3, 4), Meter(2, 2)]


def strings(tracks: list[Track]) -> list[Track]:
    return [track for track in tracks if track.name.startswith("String ")]


def said(data: bytes, names: tuple[str, ...]) -> tuple[int, list[list[tuple[int, object]]]]:
    """Ticks a quarter; all channel messages of tracks so named, ticks from the file's beginning."""
    file, found = mido.MidiFile(file=BytesIO(data), charset="utf-8"), []
    for track in file.tracks:
        if not track.name.startswith(names):
            continue
        now, messages = 0, []
        for message in track:
            now += message.time
            if not message.is_meta:
                messages.append((now, message.copy(time=0, channel=0)))
        found.append(messages)
    return file.ticks_per_beat, found


def check(lead: Phrase, backing: Backing) -> None:
    """Band and lead stand where band and phrase say, and the lead is that of `to_midi`."""
    data = phrase_with_band_midi(lead, backing, title="x")
    _, tracks = read_midi(data)
    check_channels(tracks)
    clock = Clock(backing.tempo, backing.feel, lead.start)
    begin = midi_lead(lead, backing=backing)
    # The bar of a pickup lies before the band's first one: `pickup_beats` later is its 1.
    one = begin + clock.seconds(Fraction(pickup_beats(lead)))
    assert one >= first_one(backing) - 1e-9
    check_band(backing, tracks, one)
    for time in perform(lead, clock).times:
        heard = strings(tracks)[time.note.string - 1].texts[time.note.id]
        assert heard == pytest.approx(begin + time.begin, abs=0.001)
    check_lead(data, to_midi(lead, clock))


def check_lead(data: bytes, alone: bytes) -> None:
    """Every message of every string is that of the phrase alone, so many whole bars later."""
    division, found = said(data, ("String ",))
    other, wanted = said(alone, ("String ",))
    assert division == other
    moved = set()
    for track, plain in zip(found, wanted, strict=True):
        assert [message for _, message in track] == [message for _, message in plain]
        played = [(a, b) for (a, message), (b, _) in zip(track, plain, strict=True) if b or a]
        moved |= {a - b for a, b in played}
    assert len(moved - {0}) <= 1


@pytest.mark.parametrize("name", WORKED)
def test_the_worked_examples_over_their_own_chords(name: str) -> None:
    check(WORKED[name], phrase_backing(WORKED[name]))


@pytest.mark.parametrize("name", WORKED)
def test_the_worked_examples_over_another_band(name: str) -> None:
    lead = WORKED[name]
    backing = twelve(lead.meter, tempo=F(131), choruses=24, feel=Feel(F(3, 5)))
    check(lead, backing)


@settings(max_examples=30, deadline=None)
@given(phrases(), st.integers(0, 2), st.sampled_from([Feel(), SHUFFLE]), st.integers(40, 240))
def test_generated_phrases(generated: Phrase, count_in: int, feel: Feel, tempo: int) -> None:
    backing = phrase_backing(generated)
    check(generated, replace(backing, count_in=count_in, feel=feel, tempo=F(tempo), choruses=2))


def with_pickup(meter: Meter, pickup: str) -> Phrase:
    beats, start = meter.beats, meter.beats - Fraction(pickup)
    notes = [n(3, 5, start, beats), n(2, 5, beats, beats + 1, gestures=(Bend(F(2)),))]
    return phrase(notes, meter=meter, pickup=pickup, bars=3, chords=[(beats, "A7")])


@pytest.mark.parametrize("count_in", [0, 1, 2])
@pytest.mark.parametrize("pickup", ["1", "1/2"])
@pytest.mark.parametrize("meter", METERS, ids=str)
def test_a_pickup_sounds_in_the_bar_before(meter: Meter, pickup: str, count_in: int) -> None:
    lead = with_pickup(meter, pickup)
    backing = replace(phrase_backing(lead), count_in=count_in, tempo=F(60), feel=SHUFFLE)
    check(lead, backing)
    _, tracks = read_midi(phrase_with_band_midi(lead, backing, title="x"))
    # At 60 beats a minute a beat is a second. Without a count-in the pickup's bar is in front.
    one = max(count_in, 1) * meter.beats
    struck = sorted(note.begin for track in strings(tracks) for note in track.notes)
    late = SHUFFLE.offbeat if pickup == "1/2" else 0
    assert struck == pytest.approx([one - 1 + late, one], abs=0.001)
    kick = next(note for note in players(tracks)[Player.DRUMS].notes if note.number == 36)
    assert kick.begin == pytest.approx(one, abs=0.001)


def test_a_phrase_without_a_pickup_begins_with_the_band() -> None:
    lead = phrase([n(3, 5, 0, 1)])
    _, tracks = read_midi(phrase_with_band_midi(lead, phrase_backing(lead), title="x"))
    assert strings(tracks)[2].notes[0].begin == pytest.approx(4 * 60 / 90, abs=0.001)


def test_pretty_midi_hears_the_bend_over_the_band() -> None:
    lead = with_pickup(Meter(12, 8), "1")
    data = phrase_with_band_midi(lead, phrase_backing(lead), title="x")
    parts = {part.name: part for part in pretty_midi.PrettyMIDI(BytesIO(data)).instruments}
    assert {"Drums", "Bass", "Keyboard", "Rhythm guitar"} < set(parts)
    bent = parts["String 2 of 6 (B3)"].pitch_bends
    assert max(bend.pitch for bend in bent) == 1365  # MIDI 1.0: 8192 * 200 / 1200
    assert not any(parts[name].pitch_bends for name in ("Bass", "Keyboard", "Rhythm guitar"))


@pytest.mark.parametrize("out", PLAYERS)
def test_each_player_left_out(out: Player) -> None:
    lead = with_pickup(Meter(7, 8), "2")
    some = tuple(player for player in PLAYERS if player is not out)
    check(lead, replace(phrase_backing(lead), players=some))


def test_the_lead_alone_with_a_count_in() -> None:
    lead = with_pickup(Meter(4, 4), "1")
    check(lead, replace(phrase_backing(lead), players=()))


def test_a_phrase_longer_than_its_band_and_a_band_longer_than_its_phrase() -> None:
    lead = phrase([n(3, 5, 0, 1), n(3, 7, 30, 32)], tempo=F(60))
    short = replace(chords_backing([parse_chord("A7")]), tempo=F(60), choruses=1, ending=False)
    for backing, bars in ((short, 1 + 8), (replace(short, choruses=20), 1 + 20)):
        check(lead, backing)
        file, _ = read_midi(phrase_with_band_midi(lead, backing, title="x"))
        assert file.length == pytest.approx(bars * 4, abs=0.001)


def necked(count: int) -> Phrase:
    tuning = Tuning(tuple(parse_pitch("E4") for _ in range(count)))
    notes = [
        n(string, 5, string % 4, string % 4 + 1, gestures=(Bend(F(1)), Vibrato()))
        for string in range(1, count + 1)
    ]
    return phrase(notes, tuning=tuning, chords=[(0, "E7")])


@pytest.mark.parametrize("count", range(1, 13))
def test_up_to_twelve_strings_each_with_its_own_bends(count: int) -> None:
    lead = necked(count)
    check(lead, phrase_backing(lead))
    _, tracks = read_midi(phrase_with_band_midi(lead, phrase_backing(lead), title="x"))
    assert len(strings(tracks)) == count
    assert all(max(value for _, value in track.bends) > 600 for track in strings(tracks))
    used = {channel for track in tracks for channel in track.channels}
    assert len(used) == count + 4
    assert used <= set(range(16))


def test_more_than_twelve_strings_are_refused_in_plain_words() -> None:
    lead = necked(13)
    with pytest.raises(BandError, match="12 strings, got 13"):
        phrase_with_band_midi(lead, phrase_backing(lead), title="x")


def test_another_meter_is_refused_in_plain_words() -> None:
    lead = phrase([n(3, 5, 0, 1)], meter=Meter(12, 8))
    with pytest.raises(BandError, match="is in 12/8, the band plays 4/4") as caught:
        phrase_with_band_midi(lead, twelve(), title="x")
    assert caught.value.mend == "meter: 12/8"


def test_the_bands_chords_are_marked_and_the_phrase_is_named() -> None:
    lead = phrase([n(3, 5, 0, 4)], name="lean", chords=[(0, "C")], tempo=F(60))
    backing = replace(
        chords_backing([parse_chord("Am7"), parse_chord("D9")]), tempo=F(60), choruses=2
    )
    data = phrase_with_band_midi(lead, backing, title="Lean", author="Tuesday class")
    _, tracks = read_midi(data)
    found = [(round(seconds, 3), text) for seconds, text in tracks[0].markers]
    assert found == [
        (4.0, "lean"), (4.0, "Am7"), (8.0, "D9"), (12.0, "Am7"), (16.0, "D9"), (20.0, "Am7"),
    ]  # fmt: skip
    assert tracks[0].name == "Lean"
    assert tracks[0].texts == {"Tuesday class": 0.0}


def test_the_band_plays_what_it_plays_alone() -> None:
    lead = with_pickup(Meter(4, 4), "2")
    backing = replace(phrase_backing(lead), feel=SHUFFLE, choruses=3)
    names = ("Drums", "Bass", "Keyboard", "Rhythm guitar")
    alone = said(band_midi(backing, title="x"), names)
    assert len(lead.tuning) == len(STANDARD)
    assert said(phrase_with_band_midi(lead, backing, title="x"), names) == alone


def test_same_bytes() -> None:
    lead = WORKED["lean-and-answer"]
    backing = phrase_backing(lead)
    first = phrase_with_band_midi(lead, backing, title="x")
    assert first == phrase_with_band_midi(lead, backing, title="x")
    assert first == to_midi(lead, title="x", backing=backing)
