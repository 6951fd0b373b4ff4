from __future__ import annotations

from types import SimpleNamespace

import pytest

from lickwright.theory import (
    Key,
    Mode,
    PitchClass,
    TheoryError,
    parallel,
    parse_key,
    parse_pitch_class,
    practical_key,
    relative,
    usual_key,
)

from .outside import KEYS, ROOTS, m21_key, m21_name


def test_there_are_thirty_keys() -> None:
    assert len(KEYS) == 30


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_signature_and_relative_agree_with_music21(key: Key, m21: SimpleNamespace) -> None:
    # Source: music21 key.Key: sharps, relative, parallel.
    theirs = m21.key.Key(*m21_key(key))
    assert key.fifths == theirs.sharps
    assert m21_key(relative(key)) == (theirs.relative.tonic.name, theirs.relative.mode)
    assert relative(relative(key)) == key
    assert relative(key).fifths == key.fifths
    assert m21_key(parallel(key)) == (theirs.parallel.tonic.name, theirs.parallel.mode)


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_a_key_reads_back_as_itself(key: Key) -> None:
    assert parse_key(str(key)) == key
    assert parse_key(key.pretty) == key
    assert practical_key(key) == key


@pytest.mark.parametrize(
    ("written", "text", "pretty"),
    [
        ("C", "C", "C"), ("C major", "C", "C"), ("C Major", "C", "C"), ("Cmaj", "C", "C"),
        ("A minor", "A minor", "A minor"), ("Am", "A minor", "A minor"),
        ("am", "A minor", "A minor"), ("a minor", "A minor", "A minor"),
        (" A  min ", "A minor", "A minor"), ("Bb", "Bb", "B♭"),
        ("B♭ minor", "Bb minor", "B♭ minor"), ("bb minor", "Bb minor", "B♭ minor"),
        ("F♯ minor", "F# minor", "F♯ minor"), ("F#m", "F# minor", "F♯ minor"),
        ("b major", "B", "B"),
    ],
)  # fmt: skip
def test_ways_to_write_a_key(written: str, text: str, pretty: str) -> None:
    key = parse_key(written)
    assert (str(key), key.pretty) == (text, pretty)


@pytest.mark.parametrize(
    ("text", "message", "mend"),
    [
        ("G#", "G# major would need 8 sharps; 7 are the most", "Ab"),
        ("D# major", "D# major would need 9 sharps; 7 are the most", "Eb"),
        ("Fb", "Fb major would need 8 flats; 7 are the most", "E"),
        ("Db minor", "Db minor would need 8 flats; 7 are the most", "C# minor"),
        ("H", "'H': the note H is written B here", "B"),
        ("H minor", "'H minor': the note H is written B here", "B minor"),
        ("a", "'a' may mean A major or A minor", "A minor"),
        ("CM", "'CM' may mean C major or C minor", "C"),
        ("C dorian", "'C dorian' is not a key such as C, Bb, A minor or F# minor", ""),
        ("", "'' is not a key such as C, Bb, A minor or F# minor", ""),
    ],
)
def test_what_is_said_about_a_wrong_key(text: str, message: str, mend: str) -> None:
    with pytest.raises(TheoryError) as caught:
        parse_key(text)
    assert (str(caught.value), caught.value.mend) == (message, mend)


def test_a_key_nobody_signs_has_one_that_sounds_the_same() -> None:
    for tonic in ROOTS:
        for mode in Mode:
            usable = practical_key(Key(tonic, mode))
            assert abs(usable.fifths) <= 7
            assert usable.tonic.chroma == tonic.chroma
            assert usable.mode is mode


# Source: the circle of fifths; six flats rather than six sharps is our choice.
def test_the_usual_twelve_keys_have_at_most_six_accidentals() -> None:
    majors = [str(usual_key(chroma, Mode.MAJOR)) for chroma in range(12)]
    assert majors == ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"]
    minors = [str(usual_key(chroma, Mode.MINOR).tonic) for chroma in range(12)]
    assert minors == ["C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B"]


def test_parallel_keeps_the_tonic_even_where_it_cannot_be_signed() -> None:
    minor = parallel(Key(parse_pitch_class("Db"), Mode.MAJOR))
    assert minor == Key(PitchClass("D", -1), Mode.MINOR)
    assert m21_name(practical_key(minor).tonic) == "C#"
    with pytest.raises(TheoryError, match="8 flats"):
        _ = minor.fifths
