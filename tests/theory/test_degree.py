from __future__ import annotations

from itertools import product
from types import SimpleNamespace

import pytest

from lickwright.theory import (
    CHORD_KINDS,
    NO_CHORD,
    Degree,
    Key,
    Mode,
    PitchClass,
    TheoryError,
    degree_of,
    name_at,
    parse_chord,
    parse_degree,
    parse_key,
    parse_pitch_class,
    roman,
    spell,
)

from .outside import KEYS, ROOTS, m21_name

MAJOR_KEYS = [key for key in KEYS if key.mode is Mode.MAJOR]


# Common practice, no source: the degrees as lead guitar is taught, here of A.
@pytest.mark.parametrize(
    ("name", "degree"),
    [
        ("A", "R"), ("Bb", "♭2"), ("B", "2"), ("C", "♭3"), ("C#", "3"), ("D", "4"), ("D#", "♯4"),
        ("Eb", "♭5"), ("E", "5"), ("F", "♭6"), ("F#", "6"), ("G", "♭7"), ("G#", "7"),
        ("Gb", "♭♭7"), ("A#", "♯1"), ("Ab", "♭1"),
    ],
)  # fmt: skip
def test_degrees_of_a(name: str, degree: str) -> None:
    found = degree_of(parse_pitch_class(name), PitchClass("A", 0))
    assert str(found) == degree
    assert parse_degree(degree) == found
    assert name_at(found, PitchClass("A", 0)) == parse_pitch_class(name)


def test_degree_and_name_undo_each_other_everywhere() -> None:
    for name, tonic in product(ROOTS, ROOTS):
        degree = degree_of(name, tonic)
        assert name_at(degree, tonic) == name
        assert degree.semitones == (name.chroma - tonic.chroma) % 12
        assert parse_degree(str(degree)) == degree


@pytest.mark.parametrize("key", MAJOR_KEYS, ids=str)
def test_degrees_agree_with_music21(key: Key, m21: SimpleNamespace) -> None:
    # Source: music21 Key.getScaleDegreeAndAccidentalFromPitch in every major key.
    theirs = m21.key.Key(m21_name(key.tonic), "major")
    for name in ROOTS:
        number, accidental = theirs.getScaleDegreeAndAccidentalFromPitch(
            m21.pitch.Pitch(m21_name(name))
        )
        alter = int(accidental.alter) if accidental is not None else 0
        assert degree_of(name, key.tonic) == Degree(number, alter), name


@pytest.mark.parametrize("text", ["", "0", "8", "b", "R3", "#b3", "x"])
def test_words_that_are_no_degree(text: str) -> None:
    with pytest.raises(TheoryError, match="no degree; one is R, or 1 to 7"):
        parse_degree(text)


def test_a_degree_beyond_the_scale() -> None:
    with pytest.raises(TheoryError, match="from 1 to 7, not 8"):
        Degree(8, 0)


# Common practice, no source: one octave from the tonic, in keys with sharps, flats and minor.
@pytest.mark.parametrize(
    ("key", "tonic_midi", "names"),
    [
        ("A", 57, "A3 Bb3 B3 C4 C#4 D4 Eb4 E4 F4 F#4 G4 G#4"),
        ("A minor", 57, "A3 Bb3 B3 C4 C#4 D4 Eb4 E4 F4 F#4 G4 G#4"),
        ("C", 60, "C4 Db4 D4 Eb4 E4 F4 Gb4 G4 Ab4 A4 Bb4 B4"),
        ("Bb", 58, "Bb3 Cb4 C4 Db4 D4 Eb4 Fb4 F4 Gb4 G4 Ab4 A4"),
        ("F# minor", 54, "F#3 G3 G#3 A3 A#3 B3 C4 C#4 D4 D#4 E4 E#4"),
        ("E", 52, "E3 F3 F#3 G3 G#3 A3 Bb3 B3 C4 C#4 D4 D#4"),
    ],
)
def test_spelling_worksheet(key: str, tonic_midi: int, names: str) -> None:
    spelled = [str(spell(tonic_midi + step, parse_key(key))) for step in range(12)]
    assert spelled == names.split()


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_spelling_never_changes_the_sound(key: Key) -> None:
    chords = [None, NO_CHORD, *(parse_chord(f"{key.tonic}{kind.suffix}") for kind in CHORD_KINDS)]
    for midi, chord, toward in product(range(28, 89), chords, (None, 28, 88)):
        pitch = spell(midi, key, toward, chord)
        assert pitch.midi == midi
        assert abs(pitch.name.alter) <= 2


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_scale_notes_are_spelled_as_music21_spells_the_scale(
    key: Key, m21: SimpleNamespace
) -> None:
    # Source: music21 Key.pitches (major, and natural minor).
    for theirs in m21.key.Key(m21_name(key.tonic), key.mode.value).pitches:
        assert m21_name(spell(theirs.midi, key)) == theirs.nameWithOctave


def test_the_tritone_is_spelled_by_where_it_goes() -> None:
    key = parse_key("A minor")
    assert str(spell(63, key, toward=64)) == "D#4"
    assert str(spell(63, key, toward=62)) == "Eb4"
    assert str(spell(63, key, toward=63)) == "Eb4"
    assert str(spell(63, key)) == "Eb4"
    assert str(spell(62, key, toward=64)) == "D4"


@pytest.mark.parametrize(
    ("midi", "key", "chord", "name"),
    [
        (68, "A minor", "E7", "G#4"),
        (56, "A", "E7", "G#3"),
        (63, "A", "B7", "D#4"),  # its third, though it falls
        (63, "A", "F7", "Eb4"),  # its seventh
        (66, "C", "D7", "F#4"),
        (66, "C", "C7", "Gb4"),  # outside the chord: the flat fifth of the key
        (61, "A minor", "Db", "Db4"),
        (67, "A", "E7#9", "G4"),  # not F double sharp
        (69, "C", "Cdim7", "A4"),  # not B double flat
        (67, "G# minor", "D#7", "F##4"),  # the key says so too
        (71, "C", "C/Cb", "Cb5"),
        (60, "C", "N.C.", "C4"),
    ],
)
def test_a_chord_tone_is_spelled_as_in_its_chord(
    midi: int, key: str, chord: str, name: str
) -> None:
    assert str(spell(midi, parse_key(key), toward=0, chord=parse_chord(chord))) == name


def test_a_key_beyond_signing_still_gives_readable_names() -> None:
    key = Key(PitchClass("C", -2), Mode.MINOR)
    names = [str(spell(58 + step, key)) for step in (0, 1, 3, 5)]
    assert names == ["Cbb4", "B3", "Db4", "Fbb4"]  # not D or E with three flats


# Common practice, no source.
@pytest.mark.parametrize(
    ("key", "chords", "numerals"),
    [
        ("G", "G7 C7 D7", "I7 IV7 V7"),
        ("A minor", "Am Dm E7 F7 Am7 G", "i iv V7 ♭VI7 i7 ♭VII"),
        ("C", "Dm7 G7 Cmaj7 Bm7b5 Bdim F#dim7 C+ Caug7", "ii7 V7 Imaj7 viiø7 vii° ♯iv°7 I+ I+7"),
        ("Bb", "Bb6 Eb9 F7#9 Gb13 CmMaj7", "I6 IV9 V7♯9 ♭VI13 iimaj7"),
        ("C", "C5 Gsus4 C/E Cm7/Bb Fmadd9", "I5 Vsus4 I/3 i7/♭7 ivadd9"),
        ("C", "C6/9 N.C. E7 D7 A#7", "I6/9 N.C. III7 II7 ♯VI7"),
    ],
)  # fmt: skip
def test_roman_numerals(key: str, chords: str, numerals: str) -> None:
    found = [roman(parse_chord(symbol), parse_key(key)) for symbol in chords.split()]
    assert found == numerals.split()


@pytest.mark.parametrize("key", MAJOR_KEYS, ids=str)
@pytest.mark.parametrize(
    ("suffix", "figure"), [("", ""), ("m", ""), ("dim", "o"), ("7", ""), ("m7", "7")]
)
def test_numerals_agree_with_music21(
    key: Key, suffix: str, figure: str, m21: SimpleNamespace
) -> None:
    # Source: music21 roman.romanNumeralFromChord, major keys: numeral and accidental of each
    # diatonic and each lowered degree. Its figures are those of figured bass, so only the numeral
    # (and o for diminished) is compared.
    theirs_key = m21.key.Key(m21_name(key.tonic), "major")
    for text in "1 2 3 4 5 6 7 b2 b3 b6 b7".split():  # noqa: SIM905
        root = name_at(parse_degree(text), key.tonic)
        chord = parse_chord(f"{root}{suffix}")
        pitches = [f"{m21_name(tone.name)}{octave}" for octave, tone in enumerate(chord.tones, 3)]
        theirs = m21.roman.romanNumeralFromChord(m21.chord.Chord(pitches), theirs_key)
        alone = theirs.frontAlterationString.replace("b", "♭") + theirs.romanNumeralAlone
        ours = roman(chord, key)
        assert ours.rstrip("°7") == alone, chord
        assert ("°" in ours) == (figure == "o" and "o" in theirs.figure)
