from __future__ import annotations

from itertools import product
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lickwright.theory import (
    Pitch,
    PitchClass,
    TheoryError,
    cents_between,
    hz_to_midi,
    midi_to_hz,
    parse_pitch,
    parse_pitch_class,
)

from .outside import m21_name

NAMES = [PitchClass(letter, alter) for letter, alter in product("CDEFGAB", range(-3, 4))]
PITCHES = [Pitch(name, octave) for name, octave in product(NAMES, range(-1, 10))]


@pytest.mark.parametrize(
    ("written", "name", "pretty", "chroma"),
    [
        ("C", "C", "C", 0),
        ("Bb", "Bb", "B♭", 10),
        ("B♭", "Bb", "B♭", 10),
        ("b♭", "Bb", "B♭", 10),
        ("F♯", "F#", "F♯", 6),
        ("F##", "F##", "F♯♯", 7),
        ("F𝄪", "F##", "F♯♯", 7),
        ("E𝄫", "Ebb", "E♭♭", 2),
        ("B#", "B#", "B♯", 0),
        ("Cb", "Cb", "C♭", 11),
    ],
)
def test_worksheet_of_note_names(written: str, name: str, pretty: str, chroma: int) -> None:
    read = parse_pitch_class(written)
    assert (str(read), read.pretty, read.chroma) == (name, pretty, chroma)


def test_every_name_reads_back_as_itself() -> None:
    for name in NAMES:
        assert parse_pitch_class(str(name)) == name
        assert parse_pitch_class(name.pretty) == name


def test_every_pitch_reads_back_as_itself() -> None:
    for pitch in PITCHES:
        assert parse_pitch(str(pitch)) == pitch
        assert parse_pitch(pitch.pretty) == pitch


def test_midi_numbers_and_frequencies_agree_with_music21(m21: SimpleNamespace) -> None:
    # Source: music21 pitch.Pitch. `ps` is its MIDI number without the limits of MIDI.
    for pitch in PITCHES:
        theirs = m21.pitch.Pitch(
            step=pitch.name.letter, accidental=float(pitch.name.alter), octave=pitch.octave
        )
        assert pitch.midi == theirs.ps
        assert pitch.name.chroma == theirs.pitchClass
        assert abs(cents_between(midi_to_hz(pitch.midi), theirs.frequency)) < 1e-6
        assert theirs.nameWithOctave == m21_name(pitch)


# Source: ISO 16:1975 fixes A4 at 440 Hz; the others by 440 * 2 ** ((m - 69) / 12), standard tuning.
@pytest.mark.parametrize(
    ("name", "midi", "hz"),
    [
        ("A4", 69, 440.0), ("E2", 40, 82.4069), ("A2", 45, 110.0), ("D3", 50, 146.8324),
        ("G3", 55, 195.9977), ("B3", 59, 246.9417), ("E4", 64, 329.6276),
    ],
)  # fmt: skip
def test_standard_tuning_in_hz(name: str, midi: int, hz: float) -> None:
    assert parse_pitch(name).midi == midi
    assert abs(cents_between(midi_to_hz(midi), hz)) < 0.01


@pytest.mark.parametrize(
    ("name", "sounds_like"), [("B#3", "C4"), ("Cb4", "B3"), ("Fb4", "E4"), ("E##4", "F#4")]
)
def test_the_octave_belongs_to_the_letter(name: str, sounds_like: str) -> None:
    assert parse_pitch(name).midi == parse_pitch(sounds_like).midi


@given(st.floats(-10, 140), st.floats(400, 480))
def test_hz_and_midi_undo_each_other(midi: float, a4_hz: float) -> None:
    assert hz_to_midi(midi_to_hz(midi, a4_hz), a4_hz) == pytest.approx(midi, abs=1e-9)


@given(st.floats(0, 127), st.floats(-24, 24))
def test_a_semitone_is_a_hundred_cents(midi: float, semitones: float) -> None:
    heard = cents_between(midi_to_hz(midi), midi_to_hz(midi + semitones))
    assert heard == pytest.approx(100 * semitones, abs=1e-6)


@pytest.mark.parametrize(
    ("text", "message", "mend"),
    [
        ("H", "'H': the note H is written B here", "B"),
        ("h♭", "'h♭': the note H is written B here", "Bb"),
        ("J", "'J' is not a note name such as C, F# or Bb", ""),
        ("", "'' is not a note name such as C, F# or Bb", ""),
        ("C#b", "'C#b' is not a note name such as C, F# or Bb", ""),
        ("Cbbbbb", "C with 5 accidentals cannot be written; 4 are the most", ""),
    ],
)
def test_what_is_said_about_a_wrong_name(text: str, message: str, mend: str) -> None:
    with pytest.raises(TheoryError) as caught:
        parse_pitch_class(text)
    assert (str(caught.value), caught.value.mend) == (message, mend)


@pytest.mark.parametrize(
    ("text", "message", "mend"),
    [
        ("H2", "'H2': the note H is written B here", "B2"),
        ("Bb", "'Bb' is not a note name with its octave, such as C4 or Bb3", ""),
        ("C12", "'C12' is not a note name with its octave, such as C4 or Bb3", ""),
    ],
)
def test_what_is_said_about_a_wrong_pitch(text: str, message: str, mend: str) -> None:
    with pytest.raises(TheoryError) as caught:
        parse_pitch(text)
    assert (str(caught.value), caught.value.mend) == (message, mend)


@pytest.mark.parametrize("letter", ["H", "c", "", "CD"])
def test_a_letter_outside_the_alphabet_of_notes(letter: str) -> None:
    with pytest.raises(TheoryError, match="a letter from A to G"):
        PitchClass(letter, 0)


@pytest.mark.parametrize("hz", [0.0, -1.0, float("nan"), float("inf")])
def test_a_frequency_that_cannot_sound(hz: float) -> None:
    with pytest.raises(TheoryError, match="a number of Hz above 0"):
        hz_to_midi(hz)
    with pytest.raises(TheoryError, match="a number of Hz above 0"):
        cents_between(440.0, hz)
