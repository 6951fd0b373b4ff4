"""Does the MIDI file play what is performed? Read back by mido 1.3.3 and pretty_midi 0.2.11.

Outside sources: the Standard MIDI File format and MIDI 1.0 for bytes and for RPN 0; ISO 16 and
equal temperament through `perform` and `run_curve`, whose own tests have their sources.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from io import BytesIO
from itertools import pairwise

import mido
import numpy as np
import pretty_midi
import pytest
from exchange_phrases import WORKED, grace, n, phrase, phrases, quick
from hypothesis import given, settings
from hypothesis import strategies as st
from midi_reading import Track, read_midi

from lickwright.exchange import midi_lead, to_midi
from lickwright.exchange.midi_bends import bend_value
from lickwright.phrase import (
    STANDARD,
    STRAIGHT,
    Bend,
    Entry,
    Feel,
    Mark,
    Meter,
    Performance,
    Phrase,
    Span,
    Stroke,
    Tuning,
    Vibrato,
    perform,
    run_curve,
)
from lickwright.theory import parse_pitch

F = Fraction
ONSET_SECONDS = 0.001
BEND_CENTS = 2.0
_CENTS_A_STEP = 1200 / 8192


def strings(tracks: list[Track]) -> list[Track]:
    return [track for track in tracks if track.name.startswith("String ")]


def check_onsets(of: Phrase, **more: bool) -> None:
    """Every struck note has a note-on, and every note a text, at its own time."""
    lead = midi_lead(of, **more)
    _, tracks = read_midi(to_midi(of, **more))
    for string, track in enumerate(strings(tracks), start=1):
        times = [t for t in perform(of).times if t.note.string == string]
        assert set(track.texts) == {t.note.id for t in times}
        for time in times:
            assert track.texts[time.note.id] == pytest.approx(lead + time.begin, abs=ONSET_SECONDS)
        begins = sorted(note.begin for note in track.notes)
        struck = sorted(lead + t.begin for t in times if t.note.struck)
        if not any(t.note.link for t in times):
            assert begins == pytest.approx(struck, abs=ONSET_SECONDS)
        for begin in struck:
            assert min(abs(b - begin) for b in begins) < ONSET_SECONDS
        for a, b in pairwise(track.notes):
            assert a.end <= b.begin  # one string, one note


def check_bends(of: Phrase) -> tuple[int, int]:
    """The held pitch is the curve's within 2 cents; returns instants compared and left out.

    Compared every 0.31 ms from a millisecond after a run begins to a millisecond before it ends.
    Left out is an instant around which (a millisecond either way) the curve moves by more than 2
    cents: there a thousand messages a second cannot follow; and pitches over 12 semitones from
    the note's number, which no bend reaches.
    """
    lead, performance = midi_lead(of), perform(of)
    _, tracks = read_midi(to_midi(of))
    compared = skipped = 0
    for run in performance.runs:
        curve = run_curve(performance, run)
        if curve is None:
            continue
        track = strings(tracks)[run[0].note.string - 1]
        others = [r[0].begin for r in performance.runs if r[0].note.string == run[0].note.string]
        end = min([curve.end, *(begin for begin in others if begin > curve.begin)])
        if others.count(curve.begin) > 1:
            continue  # two runs of a string begin together: quick notes that are crowded
        for seconds in np.arange(curve.begin + 0.001, end - 0.001, 0.00031):
            near = curve.at(seconds + np.linspace(-0.001, 0.001, 9))
            note = next(m for m in track.notes if m.begin <= seconds + lead < m.end)
            if np.ptp(near) > 0.02 or abs(near[4] - note.number) > 12:
                skipped += 1
                continue
            held = note.number * 100 + track.held(seconds + lead) * _CENTS_A_STEP
            assert held == pytest.approx(near[4] * 100, abs=BEND_CENTS)
            compared += 1
    return compared, skipped


@pytest.mark.parametrize("count_in", [False, True])
@pytest.mark.parametrize("name", WORKED)
def test_onsets_of_the_worked_examples(name, count_in):
    check_onsets(WORKED[name], count_in=count_in)


@pytest.mark.parametrize("name", WORKED)
def test_bends_of_the_worked_examples(name):
    compared, skipped = check_bends(WORKED[name])
    assert compared > 5 * skipped


@settings(max_examples=40, deadline=None)
@given(
    phrases(most_bars=2),
    st.fractions(20, 400, max_denominator=100),
    st.sampled_from([F(1, 2), F(3, 5), F(2, 3), F(3, 4)]),
)
def test_onsets_of_generated_phrases(generated, tempo, offbeat):
    swung = replace(generated, tempo=tempo, feel=Feel(offbeat))
    places = sorted({place for note in generated.notes for place in (note.onset, note.end)})
    heard = [swung.feel.sounding(place) for place in places]
    # A lesson whose swing changes the order of what is played is refused when it is read.
    in_order = all(a < b for a, b in pairwise(heard))
    check_onsets(swung if in_order else replace(swung, feel=STRAIGHT))


@settings(max_examples=10, deadline=None)
@given(phrases(most_bars=1))
def test_bends_of_generated_phrases(generated):
    check_bends(generated)


def test_slow_bend_and_vibrato_leave_nothing_out():
    # The rise of two beats at 90 goes at 0.2 cents a millisecond at most, the vibrato at 0.6.
    of = phrase([n(3, 10, 0, 8, gestures=[Bend(F(2), F(0), F(2)), Vibrato(start=F(3))])])
    compared, skipped = check_bends(of)
    assert compared > 15000
    assert skipped == 0


@pytest.mark.parametrize("name", WORKED)
def test_no_more_than_a_thousand_bends_a_second(name):
    _, tracks = read_midi(to_midi(WORKED[name]))
    for track in strings(tracks):
        begins = {note.begin for note in track.notes}
        times = [time for time, _ in track.bends if time not in begins]
        for start in times:
            assert sum(start <= time < start + 0.1 for time in times) <= 110


# Source: value = round(8192 cents / (100 range)); computed for a range of 12 outside the project.
@pytest.mark.parametrize(
    ("semitones", "value", "raw"),
    [(1, 683, (0x2B, 0x45)), (2, 1365, (0x55, 0x4A)), (3, 2048, (0x00, 0x50)),
     (0, 0, (0x00, 0x40)), (12, 8191, (0x7F, 0x7F)), (-12, -8192, (0, 0)), (40, 8191, (127, 127))],
)  # fmt: skip
def test_bend_values(semitones, value, raw):
    assert bend_value(semitones) == value
    assert tuple(mido.Message("pitchwheel", pitch=value).bytes()[1:]) == raw


def test_a_bend_of_a_whole_tone_stands_at_its_value():
    _, tracks = read_midi(to_midi(phrase([n(3, 10, 0, 4, gestures=[Bend(F(2))])])))
    track = strings(tracks)[2]
    assert track.notes[0].number == 65  # open G is 55
    assert track.held(1.0) == 1365


# Source: MIDI 1.0: RPN 0 is chosen by controllers 101 and 100, set by 6 (semitones) and 38 (cents);
# 127 127 chooses none.
def test_bend_range_and_program_on_every_string():
    file, tracks = read_midi(to_midi(WORKED["slides-bends"]))
    assert file.type == 1
    assert len(strings(tracks)) == 6
    for track in strings(tracks):
        assert track.controls == [(101, 0), (100, 0), (6, 12), (38, 0), (101, 127), (100, 127)]
        assert track.programs == [27]


@pytest.mark.parametrize("count", [6, 12])
def test_one_channel_a_string_never_the_drums(count):
    tuning = Tuning(tuple(parse_pitch("E4") for _ in range(count)))
    of = phrase([n(s, 5, s, s + 1) for s in range(1, count + 1)], tuning=tuning)
    _, tracks = read_midi(to_midi(of, count_in=True))
    channels = [track.channels for track in strings(tracks)]
    assert all(len(found) == 1 for found in channels)
    assert len(set.union(*channels)) == count
    assert 9 not in set.union(*channels)  # General MIDI: channel 10 is percussion
    assert tracks[-1].channels == {9}


# Source: Standard MIDI File format: FF 51 03 microseconds, FF 58 04 n d(power of 2) clocks 8,
# FF 59 02 sharps minor. 90 beats a minute are 666667 microseconds: 0A 2C 2B.
@pytest.mark.parametrize(
    ("meter", "key", "expected"),
    [
        (Meter(4, 4), "A minor", ("FF51030A2C2B", "FF580404021808", "FF59020001")),
        (Meter(12, 8), "Bb", ("FF510306C81C", "FF58040C032408", "FF5902FE00")),
        (Meter(7, 8), "F# minor", ("FF5103145855", "FF580407030C08", "FF59020301")),
    ],
)
def test_bytes_of_tempo_time_and_key(meter, key, expected):
    data = to_midi(phrase([n(3, 5, 0, 1)], meter=meter, key=key)).hex().upper()
    assert data.startswith("4D546864000000060001")
    for found in expected:
        assert data.count(found) == 1
    assert data.endswith("FF2F00")


# Source: 2:1 at 90 beats a minute puts the off-beat 444.4 ms after the beat.
def test_swing_is_in_the_onsets():
    of = replace(phrase([n(3, 5, 0, "1/2"), n(3, 7, "1/2", 1)]), feel=Feel(F(2, 3)))
    _, tracks = read_midi(to_midi(of))
    assert [note.begin for note in strings(tracks)[2].notes] == pytest.approx([0, 0.4444], abs=2e-4)


def test_what_leads_into_the_first_count_is_kept():
    of = phrase([grace(3, 5, 0), n(3, 7, 0, 4, link="h"), n(2, 5, 0, 4, entry=Entry.FROM_BELOW)])
    assert min(t.begin for t in perform(of).times) < 0
    assert midi_lead(of) == pytest.approx(4 * 60 / 90)
    check_onsets(of)


def test_a_pickup_stands_in_its_bar():
    of = WORKED["pickup-tie-hold"]
    assert midi_lead(of) == pytest.approx(3 * 60 / 90)
    assert midi_lead(of, count_in=True) == pytest.approx(7 * 60 / 90)
    _, tracks = read_midi(to_midi(of, count_in=True))
    begins = [note.begin for note in tracks[-1].notes]
    assert begins == pytest.approx([beat * 60 / 90 for beat in range(7)], abs=1e-3)
    assert [note.number for note in tracks[-1].notes] == [76, 77, 77, 77, 76, 77, 77]


def test_a_string_sounds_one_note_at_a_time():
    """A quick note and the next count's grace fall together when there is no room for both."""
    crowded = [
        n(4, 4, 1, 1), quick(4, 6, 1, "6/5", link="/", stroke=Stroke.UP),
        grace(4, 5, "6/5"),
        n(4, 7, "6/5", 2, link="h"),
    ]  # fmt: skip
    of = phrase(crowded, tempo=F(300))
    begins = [time.begin for time in perform(of).times]
    assert begins[1] == begins[2]
    check_onsets(of)


def test_a_swung_pickup_leads_to_the_bar_line():
    notes = [n(3, 5, "7/2", 4), n(3, 7, 4, 5)]
    of = replace(phrase(notes, pickup="1/2"), feel=Feel(F(2, 3)))
    _, tracks = read_midi(to_midi(of))
    begins = [note.begin * 1.5 for note in strings(tracks)[2].notes]  # beats at 90 a minute
    assert begins == pytest.approx([3 + 2 / 3, 4], abs=1e-3)


def test_joined_notes_are_bends_up_to_an_octave_away():
    joined = [
        n(3, 5, 0, 1),
        n(3, 7, 1, 2, link="h"),
        n(3, 5, 2, 3, link="p"),
        n(3, 17, 3, 4, link="/"),
    ]
    _, tracks = read_midi(to_midi(phrase(joined)))
    assert len(strings(tracks)[2].notes) == 1
    far = [n(3, 2, 0, 1), n(3, 15, 1, 2, link="t"), n(3, 14, 2, 3, link="p", stroke=Stroke.UP)]
    _, tracks = read_midi(to_midi(phrase(far)))
    notes = strings(tracks)[2].notes
    assert [note.number for note in notes] == [57, 70, 69]
    assert [note.velocity for note in notes] == [90, 72, 90]


# Our choice of loudness; what is checked is the order.
def test_velocities():
    of = phrase(
        [n(3, 5, 0, 1), n(3, 5, 1, 2, marks=[Mark.ACCENT]), n(3, 5, 2, 3, ghost=True),
         n(3, 0, 3, 4, dead=True), n(3, 5, 4, 5)],
        spans=(Span(Mark.PALM_MUTE, F(4), F(5)),),
    )  # fmt: skip
    notes = strings(read_midi(to_midi(of))[1])[2].notes
    plain, accent, ghost, dead, muted = (note.velocity for note in notes)
    assert ghost < dead < muted < plain < accent <= 127
    assert notes[3].end - notes[3].begin == pytest.approx(0.05, abs=1e-3)
    assert notes[3].number == 55


@pytest.mark.parametrize("tempo", [F(20), F(97), F(40_000_000, 400_001), F(400)])
@pytest.mark.parametrize("meter", [Meter(12, 4), Meter(12, 8), Meter(7, 8), Meter(2, 2)])
def test_a_long_phrase_does_not_drift(tempo, meter):
    last = 255 * meter.beats
    of = phrase([n(3, 5, 0, 1), n(3, 7, last, last + 1)], meter=meter, tempo=tempo)
    check_onsets(of)


def test_drift_is_really_held_back():
    # Half a microsecond a quarter over 3060 quarters would be 1.5 ms.
    tempo = F(60_000_000) / F(400_000.5)
    of = phrase([n(3, 5, 0, 1), n(3, 7, 3060, 3061)], meter=Meter(12, 4), tempo=tempo)
    check_onsets(of)
    file, _ = read_midi(to_midi(of))
    assert {m.tempo for m in file.tracks[0] if m.type == "set_tempo"} <= {399_999, 400_000, 400_001}
    assert len([m for m in file.tracks[0] if m.type == "set_tempo"]) > 1


def test_chords_are_markers_and_names_may_hold_any_sign():
    of = phrase([n(3, 5, 0, 8)], chords=[(0, "Bb7"), (4, "Eb9")])
    _, tracks = read_midi(to_midi(of, title="B♭ blues"))
    assert tracks[0].name == "B♭ blues"
    texts = [(round(time, 3), text) for time, text in tracks[0].markers]
    assert texts == [(0.0, "p"), (0.0, "Bb7"), (2.667, "Eb9")]


@pytest.mark.parametrize("name", WORKED)
def test_pretty_midi_reads_the_same(name):
    data = to_midi(WORKED[name])
    _, tracks = read_midi(data)
    other = pretty_midi.PrettyMIDI(BytesIO(data))
    used = [track for track in strings(tracks) if track.notes]
    assert len(other.instruments) == len(used)
    for instrument, track in zip(other.instruments, used, strict=True):
        assert instrument.program == 27
        assert not instrument.is_drum
        assert [m.pitch for m in instrument.notes] == [m.number for m in track.notes]
        assert [m.start for m in instrument.notes] == pytest.approx([m.begin for m in track.notes])
        # pretty_midi assumes a bend range of 2 whatever RPN 0 says, so values are compared.
        assert [b.pitch for b in instrument.pitch_bends] == [value for _, value in track.bends]
        assert [b.time for b in instrument.pitch_bends] == pytest.approx(
            [time for time, _ in track.bends]
        )


def test_same_bytes_and_another_tempo():
    of = WORKED["lean-and-answer"]
    assert to_midi(of) == to_midi(of)
    slow = of.clock.at_tempo(F(45))
    _, tracks = read_midi(to_midi(of, slow))
    begins = sorted(note.begin for track in strings(tracks) for note in track.notes)
    performed: Performance = perform(of, slow)
    assert begins == pytest.approx(sorted(t.begin for t in performed.times), abs=ONSET_SECONDS)


def test_standard_tuning_is_named():
    _, tracks = read_midi(to_midi(WORKED["lean-and-answer"]))
    assert [track.name for track in strings(tracks)] == [
        f"String {i} of 6 ({p})" for i, p in enumerate(STANDARD.strings, start=1)
    ]
